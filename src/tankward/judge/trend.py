"""More, the same or fewer ill a day later: how often each, by how fast a cause runs.

Nobody has measured it: the shares are our own judgement and kept wide (common practice).
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from .draws import Array, chance
from .network import ONSETS, UNLISTED, Cause, Network, Pair, answers

TRENDS = ("more", "same", "fewer")
Paced = Mapping[str, Pair]
# What came within hours has passed or spread by the next day; what came over weeks stands still.
PACES: Mapping[str, Paced] = {
    "hours": {"more": (0.35, 0.7), "same": (0.15, 0.4), "fewer": (0.1, 0.35)},
    "days": {"more": (0.4, 0.7), "same": (0.2, 0.5), "fewer": (0.05, 0.15)},
    "weeks": {"more": (0.04, 0.15), "same": (0.75, 0.95), "fewer": (0.03, 0.12)},
}
CALM: Paced = {"more": (0.02, 0.1), "same": (0.35, 0.65), "fewer": (0.3, 0.6)}  # where nothing is wrong
QUICK = ("minute", "hour", "a day", "1-2 d")  # words of an urgency that does not wait a day


def pace_of(urgency: str) -> str:
    """The pace of an urgency in the words of the facts; "" where it names none."""
    if any(word in urgency for word in QUICK):
        return "hours"
    return next((p for p in ("days", "weeks") if p in urgency), "")


def trend_column(net: Network, answer: str) -> tuple[Array, Array]:
    """Chance of "more", "same" or "fewer" under each cause, and with none. [256 draws, causes + 1]

    Notes
    -----
    Half by the cause's course (how fast it comes on), half by its urgency; what is on no list has its course
    alone.
    """
    rows = [(f"course {c.id}", c.course) for c in net.causes] + [("course unknown", net.course_unknown)]
    by_course = sum(
        answers(rows, onset, ONSETS) * _told(onset, PACES[onset], answer)[:, None] for onset in ONSETS
    )
    given = np.array(by_course)
    for i, cause in enumerate(net.causes):
        row = _of_urgency(cause)
        if row is not None:
            given[:, i] = (given[:, i] + _told(*row, answer)) / 2.0
    return given, _told(UNLISTED, CALM, answer)


def _of_urgency(cause: Cause) -> tuple[str, Paced] | None:
    if cause.urgency == "none":
        return "weeks", PACES["weeks"]
    pace = pace_of(cause.urgency)
    return (pace, PACES[pace]) if pace else None


def _told(name: str, row: Paced, answer: str) -> Array:
    """The draws of an answer over those of all three."""
    drawn = {a: chance(f"trend {name} {a}", *row[a]) for a in TRENDS}
    return np.asarray(drawn[answer] / (drawn["more"] + drawn["same"] + drawn["fewer"]))
