"""Too much in the water: who goes out first, then the changes that bring it down, one by one."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from tankward.judge.choices import Choice
from tankward.judge.first_aid import change_amount, dechlorinator
from tankward.judge.slips import mending
from tankward.judge.thinning import OneChange, Series
from tankward.judge.urgent import (
    AIR,
    NOTHING_MORE,
    UrgentStep,
    carbon_steps,
    change_step,
    whole_l,
)
from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer, Working
from tankward.room.time import add_hours

from .ground import Ground
from .inside import InIt
from .refuge import Refuge, refuge

MOST_TOLD = 4  # changes told one by one; the rest in one line
Steps = Iterator[UrgentStep]


class Thinning(msgspec.Struct, frozen=True, kw_only=True):
    """One change of a series: which, of what, with what goes into the new water."""

    series: Series
    change: OneChange
    number: int
    thiosulfate: Answer | None  # None: the tap holds neither chlorine nor chloramine
    temp_c: float | None
    safe_who: tuple[str, ...]
    unknown: tuple[str, ...]


class AndSoOn(msgspec.Struct, frozen=True, kw_only=True):
    """The changes of a series that are not told one by one."""

    series: Series
    told: int


class MoveOut(msgspec.Struct, frozen=True, kw_only=True):
    """Who goes out, of what, and where to. `slow`: changes alone would take longer than was tested."""

    who: tuple[str, ...]
    substance: str
    level: Estimate
    unit: str
    why: str  # of the verdict that is the hardest
    refuge: Refuge
    slow_h: float | None
    within_h: float


class StillFine(msgspec.Struct, frozen=True, kw_only=True):
    """It is too much and yet within what everybody bears."""

    inside: tuple[InIt, ...]


class Nobody(msgspec.Struct, frozen=True, kw_only=True):
    """Of a medicine in the water nobody knows what may stay there."""

    substance: str
    level: Estimate
    unit: str


def too_much(g: Ground) -> Steps:
    """Out with those that it kills, then the changes; nothing but watching where everybody bears it."""
    if not g.over and (g.nameless or not g.inside):
        yield from mending("too-much", g.told, g.facts)
        return
    if not g.over:
        unknown = [x for x in g.inside if x.safe.level is None]
        yield NOTHING_MORE
        if unknown:
            yield AIR
            x = unknown[0]
            yield _of(change_step(g.told), Nobody(substance=x.substance, level=x.level, unit=x.unit))
            yield from carbon_steps(g.told)
        else:
            yield UrgentStep(act="watch", of=StillFine(inside=g.inside), status="computed")
        return
    yield from (move_out(x, g) for x in g.over if x.out)
    yield from (NOTHING_MORE, AIR)
    yield from _changes(g)
    yield from carbon_steps(msgspec.structs.replace(g.told, dosed=tuple(x.substance for x in g.inside)))


def move_out(x: InIt, g: Ground) -> UrgentStep:
    first = min(x.out, key=x.within_h)
    who = tuple(dict.fromkeys(v.limit.who for v in x.out))
    out = MoveOut(
        who=who, substance=x.substance, level=x.level, unit=x.unit, why=first.why,
        refuge=refuge(g.room, g.tank, who, g.now, g.facts),
        slow_h=x.thin.hours if x.thin and x.thin.reached else None, within_h=x.within_h(first),
    )  # fmt: skip
    return UrgentStep(act="move", of=out, source=first.limit.source, status=first.status)


def _changes(g: Ground) -> Steps:
    """Those of the medicine that takes longest, one by one, then the rest in a line."""
    thin = [x for x in g.over if x.thin is not None and x.thin.changes]
    if not thin:
        yield change_step(g.told)
        return
    lead = max(thin, key=lambda x: (len(x.thin.changes) if x.thin else 0, x.level.value))
    assert lead.thin is not None
    for number, change in enumerate(lead.thin.changes[:MOST_TOLD], start=1):
        yield _change(lead, lead.thin, change, number, g)
    if len(lead.thin.changes) > MOST_TOLD:
        yield UrgentStep(
            act="change-on",
            of=AndSoOn(series=lead.thin, told=MOST_TOLD),
            at=add_hours(g.now, lead.thin.changes[MOST_TOLD].at_h),
            status="computed",
        )


def _change(x: InIt, series: Series, change: OneChange, number: int, g: Ground) -> UrgentStep:
    volume, described = whole_l(g.told), g.here.temp_c
    needs = g.here.tap != "none"
    of = Thinning(
        series=series, change=change, number=number,
        thiosulfate=_thiosulfate(volume, change.share, g.facts) if needs else None,
        temp_c=_warm(g) or (described.value if described else None),
        safe_who=x.safe.who, unknown=x.safe.unknown,
    )  # fmt: skip
    bare = change_step(g.told)
    return msgspec.structs.replace(
        bare,
        of=of,
        share=change.share,
        amount=_amount(x, series, change, number, volume),
        again_h=None,
        ask=bare.ask if number == 1 else None,
        at=add_hours(g.now, change.at_h) if change.at_h else None,
        status="computed",
    )


def _amount(x: InIt, series: Series, change: OneChange, number: int, volume: Estimate | None) -> Answer:
    """Litres of one change of the series, with the level that it meets and leaves."""
    litres = change_amount(volume, Choice(value=change.share, unit="share", why="as they bear it"))
    work = Working("nothing fades meanwhile, and carbon takes nothing: no rate of it is published")
    work.step("in the water now", "by the model, from what really happened", series.start.value, series.unit)
    whose = ", ".join(x.safe.who) or "the most that is published"
    work.step("may stay", whose, series.target, series.unit, source=x.safe.source, status=x.safe.status)
    work.step("changes", "until the high end is under it", float(len(series.changes)))
    work.step(f"before change {number}", "left by the one before", change.before.value, series.unit)
    work.step(f"after change {number}", "before × (1 − share)", change.after.value, series.unit)
    return msgspec.structs.replace(litres, how=(*work.steps, *litres.how), assumes=tuple(work.assumes))


def _thiosulfate(volume: Estimate | None, share: float, facts: Facts) -> Answer:
    """For the new water of one change."""
    return dechlorinator(None if volume is None else volume.scaled(share), facts)


def _warm(g: Ground) -> float | None:
    lately = [r.value for e in g.room.readings(g.tank) for r in e.values if r.quantity == "temp_c"]
    return lately[-1] if lately else None


def _of(step: UrgentStep, of: msgspec.Struct) -> UrgentStep:
    return msgspec.structs.replace(step, of=of)
