"""Wait a day and count again: what it would tell, and when nobody may wait for it."""

from __future__ import annotations

from collections.abc import Sequence

from .asking import information_of
from .causes import Ranked
from .choices import LIKELY_ENOUGH
from .evidence import Evidence, fair
from .findings import Gate
from .network import Network
from .next_look import NextLook, burden_min, on_few_draws
from .trend import QUICK, TRENDS, trend_column
from .urgent import Urgent

WAIT = "wait:count"
COUNT_MIN = 10.0  # two counts of the ill, five minutes each (common practice)
WORTH_A_DAY = 0.05  # bit: for less nobody waits [our own choice]


def may_wait(ranked: Sequence[Ranked], urgent: Urgent | None, gate: Gate) -> bool:
    """Whether a day may pass.

    Parameters
    ----------
    ranked : sequence of Ranked
        What it may be.
    urgent : Urgent or None
        The next ten minutes, if there are such.
    gate : Gate
        What the water says.

    Returns
    -------
    bool
        Never while something is urgent, the water is bad or was not read, or a cause that kills within a
        day or two is likely (rules 17 and 20).
    """
    if urgent is not None or gate.blocked_by or gate.unknown:
        return False
    return not any(r.value >= LIKELY_ENOUGH.value and any(w in r.urgency for w in QUICK) for r in ranked)


def wait_and_count(evidence: Evidence, net: Network) -> NextLook | None:
    """A second count a day later, with what it would tell; None where it would tell as good as nothing.

    Parameters
    ----------
    evidence : Evidence
        What is known.
    net : Network
        The causes.

    Notes
    -----
    Three answers: more, the same, fewer. The gain is their mutual information with the causes at work; the
    day that passes counts as harm.
    """
    if not evidence.seen or evidence.trend:
        return None
    after = on_few_draws(fair(evidence), net)
    gain = information_of(after, [trend_column(net, answer) for answer in TRENDS])
    if gain < WORTH_A_DAY:
        return None
    return NextLook(
        id=WAIT, what="wait a day, then count the ill again", how="", minutes=COUNT_MIN, harm="a day lost",
        gain=gain, gain_per_minute=gain / burden_min(COUNT_MIN, "a day lost"),
    )  # fmt: skip
