"""The level that everybody who lives there bears, who can bear none, and how long a level has been tested."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence

import msgspec

from tankward.knowledge.known import Facts
from tankward.room.things import Stock

from .figures import usual
from .limit import Limit
from .limits import limits
from .trials import Trial
from .verdicts import Verdict, judge_level, warn_up_to

DAY_H = 24.0  # what they are to bear they bear for a day at least [our own choice]
# Here nobody waits for a time that was tested: this level kills, or comes near to it.
AT_ONCE = frozenset({"class-lethal", "class-avoid", "quarter-of-lc50", "over-cap", "harms-young", "jar-harm"})


class Safe(msgspec.Struct, frozen=True, kw_only=True):
    """The most of a substance that may stay in the water. `level` None: nobody knows one.

    `who` sets it; "" where it is the highest published level. `none`: who can bear none of it; `unknown`: of
    whom nobody knows what they bear.
    """

    substance: str
    level: float | None
    who: tuple[str, ...] = ()
    none: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    source: str = "none"
    status: str = "memory"


class Harmed(msgspec.Struct, frozen=True, kw_only=True):
    """Those whom a level harms, each with how long it may be left in it: 0 is not at all. [h]"""

    rows: tuple[tuple[Verdict, float], ...] = ()

    @property
    def who(self) -> tuple[str, ...]:
        return _names(v.limit.who for v, _ in self.rows)

    @property
    def within_h(self) -> float:
        """The shortest of these times; no end where nobody is harmed."""
        return min((hours for _, hours in self.rows), default=math.inf)


def safe_level(
    substance: str,
    stock: Sequence[Stock],
    facts: Facts,
    *,
    published: float | None,
    published_from: tuple[str, str] = ("none", "memory"),
    trials: Sequence[Trial] = (),
    not_there: Collection[str] = (),
) -> Safe:
    """The most that may stay in the water: what the worst-off inhabitant bears, the published top at most.

    Parameters
    ----------
    substance : str
        Not a combination.
    stock : sequence of Stock
        Who lives there. Plants and eggs that are only presumed set no level.
    facts : Facts
        The facts.
    published : float or None
        Highest level of the recommended courses. [own unit]
    published_from : pair
        Source and status of that.
    trials : sequence of Trial
        Jar trials with animals of this tank.
    not_there : collection of str
        "fry", "egg": stages the keeper has said are not there.

    Returns
    -------
    Safe
        Of each the highest level that `judge_level` does not refuse for a day; the lowest of these.
    """
    found = [(x, bearable(x, facts)) for x in animals(substance, stock, facts, trials, not_there)]
    none = [x.who for x, level in found if level == 0.0]
    known = [(level, x) for x, level in found if level]
    unknown = [x.who for x, level in found if level is None]
    least = min(known, key=lambda pair: pair[0], default=None)
    who = _names(none), _names(unknown)
    if least is None or (published is not None and published <= least[0]):
        source, status = published_from
        return Safe(
            substance=substance, level=published, none=who[0], unknown=who[1], source=source, status=status
        )
    names = _names(x.who for level, x in known if level == least[0])
    return Safe(
        substance=substance, level=least[0], who=names, none=who[0], unknown=who[1],
        source=least[1].source, status=least[1].status,
    )  # fmt: skip


def animals(
    substance: str,
    stock: Sequence[Stock],
    facts: Facts,
    trials: Sequence[Trial] = (),
    not_there: Collection[str] = (),
) -> list[Limit]:
    """Limits of those for whom something must be done: no plants, no eggs that are only presumed."""
    made = limits(substance, stock, facts, trials=trials, not_there=not_there)
    return [x for x in made if x.kind_of != "plant" and x.presumed != "egg"]


def bearable(limit: Limit, facts: Facts) -> float | None:
    """The highest level that is not refused to one inhabitant for a day; 0: none; None: nobody knows."""
    rows = (*limit.usual.published, *limit.usual.practised, *limit.usual.recalled)
    tops = {limit.level or 0.0, limit.cap or 0.0, *(level for level, _ in rows)}
    fine = [x for x in tops if x > 0.0 and _says(limit, x, facts).says != "refused"]
    if fine:
        return max(fine) if limit.level is not None else None
    return 0.0 if any(x > 0.0 for x in tops) or limit.level == 0.0 else None


def _says(limit: Limit, level: float, facts: Facts) -> Verdict:
    return judge_level([limit], level, level, level, DAY_H, warn_up_to=warn_up_to(limit.part, facts))[0]


def harmed(
    substance: str,
    level: float,
    stock: Sequence[Stock],
    facts: Facts,
    trials: Sequence[Trial] = (),
    not_there: Collection[str] = (),
) -> Harmed:
    """Whom a level harms, and for how long it was tested.

    Returns
    -------
    Harmed
        Where it kills, or comes near to what does, nobody waits. Else as long as a recommended course or bath
        of this level or a higher one lasts; where there is none, a day (our own choice).
    """
    verdicts = [_says(x, level, facts) for x in animals(substance, stock, facts, trials, not_there)]
    tested = hours_tested(substance, level, facts) or DAY_H
    worse = [v for v in verdicts if v.says == "refused"]
    return Harmed(rows=tuple((v, 0.0 if v.why in AT_ONCE else tested) for v in worse))


def hours_tested(substance: str, level: float, facts: Facts) -> float:
    """Longest time of a recommended course or bath of this level or a higher one; 0: there is none. [h]"""
    found = [usual(substance, route, facts) for route in ("water", "bath")]
    rows = [row for u in found for row in (*u.published, *u.practised, *u.recalled)]
    return max((math.inf if h is None else h for x, h in rows if x >= level * (1 - 1e-9)), default=0.0)


def _names(of: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(of))
