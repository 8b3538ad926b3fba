"""What it may be: every cause of the facts with the range of its chance, never one alone and never none."""

from __future__ import annotations

import msgspec
import numpy as np

from .choices import FLOOR
from .context import Moved, told
from .draws import Array, band
from .evidence import Evidence, fair
from .inference import posterior
from .likely import word_of
from .network import UNLISTED, Cause, Network
from .observing import counting, observed
from .speaks import Spoken, looks, spoken

NOTHING_WRONG = "nothing_wrong"
WATER = "water"
BELLY = frozenset({"belly_sunken", "belly_swollen", "squared_belly"})  # read otherwise in a female with young


class Ranked(msgspec.Struct, frozen=True, kw_only=True):
    """One cause with the range of its chance and what moved it."""

    id: str
    low: float
    value: float
    high: float
    word: str
    group: str = ""
    water: bool = False  # judged by the water, before any medicine
    speaks_for: tuple[Spoken, ...] = ()
    speaks_against: tuple[Spoken, ...] = ()
    moved: tuple[Moved, ...] = ()
    urgency: str = ""
    human_hazard: str = ""


class Ranking(msgspec.Struct, frozen=True, kw_only=True):
    """All causes, likeliest first; beside them what is on no list, and that nothing may be wrong."""

    ranked: tuple[Ranked, ...]
    unlisted: Ranked
    nothing_wrong: Ranked
    missing: tuple[str, ...] = ()

    def of(self, cause: str) -> Ranked:
        return next(r for r in (*self.ranked, self.unlisted, self.nothing_wrong) if r.id == cause)


def causes(evidence: Evidence, net: Network) -> Ranking:
    """What it may be, by everything that was seen, looked for and told.

    Parameters
    ----------
    evidence : Evidence
        Signs, how fast, how many, hosts, what happened, tests.
    net : Network
        The causes of the facts.

    Returns
    -------
    Ranking
        Chance that each cause is at work, alone or beside another: median with the 5th and 95th centile
        over the 256 draws of the facts' own ranges. Chances do not add up to 1: two causes may be at work.

    Notes
    -----
    Every likelihood was elicited and not measured; the width of the answer is the width of what is known.
    No chance falls under the floor: signs alone rule nothing out.
    """
    evidence = fair(evidence)
    seen = observed(evidence, net)
    after = posterior(seen)
    each = np.maximum(after.each, FLOOR.value)
    rows = looks(evidence, net)
    ranked = [
        _ranked(c, each[:, i], spoken(rows, seen, i), told(counting(c, evidence, net)))
        for i, c in enumerate(net.causes)
    ]
    return Ranking(
        ranked=tuple(sorted(ranked, key=lambda r: (-r.value, r.id))),
        unlisted=_bare(UNLISTED, each[:, -1]),
        nothing_wrong=_bare(NOTHING_WRONG, np.maximum(after.none, FLOOR.value)),
        missing=missing(evidence),
    )


def _ranked(cause: Cause, draws: Array, said: tuple[Spoken, ...], moved: tuple[Moved, ...]) -> Ranked:
    return msgspec.structs.replace(
        _bare(cause.id, draws),
        group=cause.group,
        water=cause.group == WATER,
        speaks_for=tuple(s for s in said if s.ratio > 1.0),
        speaks_against=tuple(s for s in said if s.ratio < 1.0),
        moved=moved,
        urgency=cause.urgency,
        human_hazard=cause.human_hazard,
    )


def _bare(name: str, draws: Array) -> Ranked:
    low, value, high = band(draws)
    return Ranked(id=name, low=low, value=value, high=high, word=word_of(value))


def missing(evidence: Evidence) -> tuple[str, ...]:
    """What was not told and would move the answer: names of fields."""
    asked = {
        "seen": evidence.seen,
        "onset": evidence.onset,
        "share": evidence.share,
        "animals": evidence.hosts,
    }
    gaps = [name for name, given in asked.items() if not given]
    gaps += ["history"] if not evidence.happened else []
    gaps += ["sex"] if evidence.sex_unknown and BELLY & {*evidence.seen, *evidence.absent} else []
    return tuple(gaps + (["vent"] if "worms_at_vent" in evidence.unsure else []))
