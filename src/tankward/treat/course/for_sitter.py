"""Which steps of a course somebody who knows nothing of fish may do, and which wait for the keeper.

A sitter comes once a day, perhaps hours late. No dose that harms when it comes late may be theirs.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Literal

import msgspec

from tankward.judge.conditions import asks_people
from tankward.judge.limits import limits
from tankward.judge.verdicts import Says, judge_levels, worst
from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.acts import Apart, Bath, Change, Dose, Heat, LookAgain, Media, Siphon, Transfer
from tankward.room.entries.acts import Step
from tankward.room.things import Stock

from .changes import DECHLORINATOR

Why = Literal["timed", "first", "soon", "people", "warmth", "reading", "with", "ours"]
KIND = re.compile(r"(?:^|-)(?P<kind>[a-z]+(?:-[a-z]+)*)-\d+$")
A_DAY = timedelta(hours=24)  # a sitter comes once a day, so what follows sooner may be done too late
ROUNDED = 1.05  # what is rounded to what can be measured is not more [our own choice]
# Of the time to the next dose, so late a dose may be. Late by r of it, and faded to x of itself in all of it,
# the next dose meets x^(1-r) - x more: at most 1/4 for a half and 1/20 for an eighth, whatever x is.
HALF, EIGHTH = 1 / 2, 1 / 8  # [our own choice]
ANYBODY = ("watch", "dead-out")  # looks that need no knowledge of fish
JUDGED = ("look", "decide")


class SitterStep(msgspec.Struct, frozen=True, kw_only=True):
    """A step and why it is not a sitter's; `late_until`: how long a dose may still be given."""

    step: Step
    kind: str
    whys: tuple[Why, ...] = ()
    late_until: datetime | None = None


def kind_of(step: Step) -> str:
    """What kind of step it is, as its id says."""
    found = KIND.search(step.id)
    return found["kind"] if found else step.id


def for_sitter(
    steps: Iterable[Step],
    begins: datetime | None,
    stock: Sequence[Stock],
    volume_l: Estimate | None,
    facts: Facts,
    *,
    done: Collection[str] = (),
) -> tuple[SitterStep, ...]:
    """Every step of a course, with what keeps it from a sitter.

    Parameters
    ----------
    steps : iterable of Step
        All of the course, those done before too.
    begins : datetime, optional
        When the sitter takes over: what comes before is the keeper's. None: every step may be either's.
    stock : sequence of Stock
        Who lives in the tank.
    volume_l : Estimate, optional
        Its water. [L]
    facts : Facts
        The facts.
    done : collection of str
        Ids of steps that were done.

    Notes
    -----
    A dose is not a sitter's if it is the first of its substance, which nobody has yet seen to be borne; if
    something that takes it out or adds to it follows within a day; if it is a danger to people. Later doses
    may be late by half of the time to the next one where everybody would bear it had nothing faded at all;
    else by an eighth, which adds to the next peak less than a scale rounds. Later than that it is left out.
    """
    rows = sorted(steps, key=lambda s: s.at)
    free = _borne_unfaded(rows, stock, volume_l, facts)
    found = []
    for step in rows:
        before = [s.act for s in rows if s.at < (begins or step.at) or s.id in done]
        given = {a for act in before if isinstance(act, Dose) for a in act.actives}
        found.append(_judged(step, rows, given, free, facts))
    held = {f.step.at for f in found if f.whys and isinstance(f.step.act, Dose | Bath)}
    return tuple(_with_its_dose(f, held) for f in found)


def _with_its_dose(found: SitterStep, held: Collection[datetime]) -> SitterStep:
    """A change of water before a dose that waits is not made either: it would only thin what is there."""
    wet = isinstance(found.step.act, Change | Dose | Media | Siphon)
    together = wet and found.step.at in held and not found.whys
    return msgspec.structs.replace(found, whys=("with",)) if together else found


def _judged(
    step: Step, rows: Sequence[Step], given: Collection[str], free: Collection[str], facts: Facts
) -> SitterStep:
    kind, act = kind_of(step), step.act
    if isinstance(act, Dose) and tuple(act.actives) != (DECHLORINATOR,):
        whys, until = _dose(step, act, rows, given, free, facts)
        return SitterStep(step=step, kind=kind, whys=whys, late_until=until)
    return SitterStep(step=step, kind=kind, whys=_other(step, kind, rows))


def _other(step: Step, kind: str, rows: Sequence[Step]) -> tuple[Why, ...]:
    """Why a step that gives no medicine is not a sitter's."""
    act = step.act
    if isinstance(act, Bath | Apart | Transfer):
        return ("timed",)
    if isinstance(act, Heat):
        return ("warmth",)
    if isinstance(act, LookAgain) and kind not in ANYBODY:
        return ("ours",) if kind in JUDGED else ("reading",) if kind == "read-water" else ("timed",)
    if _takes_out(step) and any(_medicine(s) and timedelta() < step.at - s.at < A_DAY for s in rows):
        return ("soon",)
    return ()


def _dose(
    step: Step, act: Dose, rows: Sequence[Step], given: Collection[str], free: Collection[str], facts: Facts
) -> tuple[tuple[Why, ...], datetime | None]:
    whys: list[Why] = []
    if any(s.at == step.at and kind_of(s) == "read-water" for s in rows):
        whys.append("reading")
    if not set(act.actives) <= set(given):
        whys.append("first")
    if any(
        facts.substances[a].use == "hazard" or asks_people(a, facts)
        for a in act.actives
        if a in facts.substances
    ):
        whys.append("people")
    after = [s for s in rows if s.at > step.at and (_takes_out(s) or _same(s, act))]
    if after and after[0].at - step.at < A_DAY:
        whys.append("soon")
    again = next((s for s in after if _same(s, act)), None)
    part = HALF if step.id in free else EIGHTH
    return tuple(whys), step.at + part * (again.at - step.at) if again else None


def _dangerous(active: str, facts: Facts) -> bool:
    """Whether it is a danger to people; what is not known is."""
    known = facts.substances.get(active)
    return known is None or known.use == "hazard" or asks_people(active, facts)


def _medicine(step: Step) -> bool:
    return isinstance(step.act, Dose) and tuple(step.act.actives) != (DECHLORINATOR,)


def _same(step: Step, act: Dose) -> bool:
    return isinstance(step.act, Dose) and bool(set(step.act.actives) & set(act.actives))


def _takes_out(step: Step) -> bool:
    return isinstance(step.act, Change) or (isinstance(step.act, Media) and step.act.into)


def _borne_unfaded(
    rows: Sequence[Step], stock: Sequence[Stock], volume_l: Estimate | None, facts: Facts
) -> set[str]:
    """Doses after which everybody bears the next one too, had nothing faded since the first."""
    doses = [s for s in rows if _medicine(s)]
    if volume_l is None or volume_l.low <= 0:
        return set()
    hours = (rows[-1].at - rows[0].at) / timedelta(hours=1) if rows else 0.0
    left: dict[str, float] = {}
    borne: dict[str, float] = {}  # the level of the first dose, which the keeper saw them bear
    over: list[Step] = []
    # At one instant water goes out before a dose goes in, as everywhere.
    for step in sorted(rows, key=lambda s: (s.at, _medicine(s))):
        if isinstance(step.act, Change):
            left = {a: amount * (1.0 - step.act.share) for a, amount in left.items()}
        elif isinstance(step.act, Dose) and _medicine(step):
            for active, amount in step.act.actives.items():
                left[active] = left.get(active, 0.0) + amount
            levels = {a: left[a] / volume_l.low for a in step.act.actives}
            new = any(x > ROUNDED * borne.setdefault(a, x) for a, x in levels.items())
            says = _worst(levels, stock, hours, facts)
            if says == "refused" or (says == "unknown" and new):
                over.append(step)
    return {s.id for s in doses if not any(o.at > s.at for o in over)}


def _worst(levels: Mapping[str, float], stock: Sequence[Stock], hours: float, facts: Facts) -> Says:
    """What a level means for the one there who bears it least; a substance nobody knows is unknown."""
    if not all(a in facts.substances for a in levels):
        return "unknown"
    made = [limit for a in levels for limit in limits(a, stock, facts, hours=max(hours, 1.0))]
    return worst(judge_levels(made, {a: (x, x, x) for a, x in levels.items()}, hours, facts))
