"""What to do after a slip in a tank of the room, in order, danger first, each act with its amount.

The steps of `judge/slips.py` hold for any water; here they get the numbers of this one. Each carries the
decision that it rests on (`UrgentStep.of`); the words are made in `show/words/mending.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import msgspec

from tankward.judge.choices import Choice
from tankward.judge.finding import Finding
from tankward.judge.first_aid import change_amount
from tankward.judge.slips import mending
from tankward.judge.urgent import (
    UrgentStep,
    change_step,
    old_or_acid,
    whole_l,
)
from tankward.quantities.working import Answer, Working, answer
from tankward.room.acts import Change, Dose, Feed
from tankward.room.entries.acts import Done, Step
from tankward.treat.amounts.kitchen import OFFERED_MIN

from .back import Back, Ends, put_back_now
from .ground import Ground
from .late import TOGETHER, Late, is_dose, is_medicated, late_answer, late_doses
from .newcomer import newcomers
from .over import MoveOut, too_much
from .power import is_off, oxygen_lasts
from .refuge import refuge
from .uneaten import leaching, next_meal
from .warmth import Astray, astray, astray_answer

Steps = Iterator[UrgentStep]


class Also(msgspec.Struct, frozen=True, kw_only=True):
    """A step of the course, not a dose, that waits as well."""

    step: Step


class NextDose(msgspec.Struct, frozen=True, kw_only=True):
    """The next dose of the course comes as planned, or there is none."""

    step: Step | None


class ElseWhere(msgspec.Struct, frozen=True, kw_only=True):
    """The tank that went without, what for, and whether it is still due there."""

    tank: str
    name: str


class FoodOut(msgspec.Struct, frozen=True, kw_only=True):
    """Take out what was not eaten; how much leaches meanwhile."""

    minutes: float
    leaches: tuple[tuple[str, float, float], ...]  # active, least and most of the dose [share]


class NextMeal(msgspec.Struct, frozen=True, kw_only=True):
    """The next medicated meal; None: none is planned."""

    step: Step | None


class ByHand(msgspec.Struct, frozen=True, kw_only=True):
    """Air without power."""


class WaterFirst(msgspec.Struct, frozen=True, kw_only=True):
    """The water stands before any medicine: why, and until when."""

    blocked_by: tuple[Finding, ...]


class Rises(msgspec.Struct, frozen=True, kw_only=True):
    """A change was left out: what stands in the water all the more."""

    planned: Step | None
    share: float


def steps_after(slip: str, g: Ground) -> list[UrgentStep]:
    """What to do after one slip, in order; the first acts of every water where this one tells no more.

    Parameters
    ----------
    slip : str
        One of `judge.slips.SLIPS`.
    g : Ground
        The tank, with the slip in its logbook.
    """
    writer = WRITERS.get(slip)
    own = list(writer(g)) if writer is not None else mending(slip, g.told, g.facts)
    if slip not in TOO_MUCH and g.over:
        return [*too_much(g), *own]
    return own


def back_step(back: Back) -> UrgentStep:
    """What to put back as a step, with its working."""
    lead = back.lead
    if back.give is None or lead is None:
        return UrgentStep(act="wait", of=back, status="computed")
    return UrgentStep(act="put-back", of=back, amount=back_answer(lead, back), status="computed")


def back_answer(e: Ends, back: Back) -> Answer:
    """The working of an amount that is put back."""
    work = Working("what was lost is by the model; nobody measured it")
    work.step("full dose", "makes in this water", e.full, e.unit)
    work.step("in it now", "by the model, from what really happened", e.level.value, e.unit)
    work.step("if all of it had lasted", "(full − now) × volume", e.lasting, e.amount_unit)
    work.step("as is likely", "(full − now) × volume", e.likely, e.amount_unit)
    work.step("if it were gone", "full × volume", e.gone, e.amount_unit)
    amount = back.amounts.get(e.substance, 0.0)
    work.step("as you can measure it", "never over what everybody bears", amount, e.amount_unit)
    return answer(amount, e.amount_unit, work, low=e.lasting, high=e.gone, says="{shown}")


def _water_first(g: Ground) -> list[UrgentStep]:
    """Bad water: no dose before it is good again (safety rule 20)."""
    bad = g.gate.blocked_by
    if not bad:
        return []
    status = bad[0].status
    return [UrgentStep(act="water-first", of=WaterFirst(blocked_by=bad), source=bad[0].source, status=status)]


def _put_back(g: Ground, *, fill_up: bool = False) -> Steps:
    if first := _water_first(g):
        yield from first
        return
    found = put_back_now(g.room, g.tank, g.now, g.facts, g.inside, meant=g.meant, fill_up=fill_up)
    if found is not None:
        yield back_step(found)


def _too_little(g: Ground) -> Steps:
    """The part that did not go in goes in now; the next one as planned."""
    found = list(_put_back(g, fill_up=True))
    yield from found or mending("too-little", g.told, g.facts)
    yield from _next(g)


def _next(g: Ground) -> Steps:
    doses = [s for s in g.open if s.at > g.now and is_dose(s, g.facts)]
    if doses:
        yield UrgentStep(act="next-dose", of=NextDose(step=doses[0]), status="computed")


def _carbon_in(g: Ground) -> Steps:
    """Out first; then what is left, against what works."""
    out, wait = mending("carbon-in", g.told, g.facts)[:2]
    yield out
    found = list(_put_back(g))
    yield from found or [wait]


def _forgotten(g: Ground) -> Steps:
    """The change that belongs to it, then the dose: now, later, or not at all."""
    late = late_doses(g.room, g.tank, g.now, g.facts, g.open, g.inside, step=g.step)
    if not late:
        meant = [s for s in g.open if s.id == g.step]
        rest = meant or [s for s in g.open if s.at <= g.now and not isinstance(s.act, Dose)]
        yield from (UrgentStep(act="do-late", of=Also(step=s), status="computed") for s in rest)
        if not rest:
            yield from mending("forgot-one", g.told, g.facts)
        return
    if bad := _water_first(g):
        yield from bad
        return
    first = hardest(late)
    with_it = [s for s in g.open if isinstance(s.act, Change) and abs(s.at - first.due) <= TOGETHER]
    if first.advice != "leave-out":
        yield from (UrgentStep(act="do-late", of=Also(step=s), status="computed") for s in with_it)
    act = {"wait": "wait", "leave-out": "leave-out"}.get(first.advice, "give-late")
    at = first.give_at if act == "wait" else None
    yield UrgentStep(act=act, of=first, at=at, amount=late_answer(first), status="computed")


def hardest(late: tuple[Late, ...]) -> Late:
    """Of several actives in one dose the one that holds it back most."""
    order = ("give", "give-and-move", "wait", "leave-out")
    return max(late, key=lambda x: (order.index(x.advice), x.give_at, x.next_then or x.give_at))


def _wrong_tank(g: Ground) -> Steps:
    yield from too_much(g)
    if g.other and g.other in g.room.tanks:
        yield UrgentStep(
            act="elsewhere", of=ElseWhere(tank=g.other, name=g.room.tanks[g.other].name), status="computed"
        )


def _no_flow(g: Ground) -> Steps:
    """Air without power; how long it lasts; no food; the filter rinsed before it runs again."""
    air, rinse = mending("no-flow", g.told, g.facts)[:2]
    off = is_off(g.room, g.tank, g.now)
    yield msgspec.structs.replace(air, of=ByHand()) if off == "all" else air
    lasts = oxygen_lasts(g.room, g.tank, g.now, g.facts) if off in ("all", "filter") else None
    if lasts is not None and not lasts.fault:
        yield UrgentStep(act="oxygen", of=lasts, status="computed")
    if off in ("all", "filter"):
        yield UrgentStep(act="no-food", status="common-practice")
    yield rinse


def _too_warm(g: Ground) -> Steps:
    off, air = mending("too-warm", g.told, g.facts)[:2]
    found = astray(g.room, g.tank, g.now, g.facts)
    yield from (off, air)
    yield _back_home("cool", found)


def _too_cold(g: Ground) -> Steps:
    on = mending("too-cold", g.told, g.facts)[0]
    found = astray(g.room, g.tank, g.now, g.facts)
    yield on
    yield _back_home("warm", found)


def _back_home(act: str, found: Astray) -> UrgentStep:
    return UrgentStep(
        act=act, of=found, amount=astray_answer(found), source=found.source, status=found.status
    )


def _no_change(g: Ground) -> Steps:
    """The change now; then what it takes with it goes back."""
    late = [s for s in g.open if isinstance(s.act, Change) and s.at <= g.now]
    bare, planned = change_step(g.told), late[-1] if late else None
    share = bare.share or 0.0
    if planned is not None and isinstance(planned.act, Change) and not old_or_acid(g.told):
        share = planned.act.share
    chosen = Choice(value=share, unit="share", why="as it was planned", status="computed")
    amount = change_amount(whole_l(g.told), chosen)
    yield msgspec.structs.replace(bare, of=Rises(planned=planned, share=share), share=share, amount=amount)
    yield from _next(g)


def _big_change(g: Ground) -> Steps:
    """Air, calm, no further change; what it took with it goes back where too little is left."""
    yield from mending("big-change", g.told, g.facts)
    if _changed_since_dose(g):
        yield from _put_back(g)


def _changed_since_dose(g: Ground) -> bool:
    """Whether the last change came after the last medicine: it took nothing of what came later."""
    acts = [act for at, act in g.room.acts(g.tank) if at <= g.now]
    doses = [n for n, act in enumerate(acts) if isinstance(act, Dose) and is_medicated(act, g.facts)]
    changes = [n for n, act in enumerate(acts) if isinstance(act, Change)]
    return bool(doses and changes) and changes[-1] > doses[-1]


def _newcomer(g: Ground) -> Steps:
    found = newcomers(g.room, g.tank, g.now, g.zone, g.facts, g.inside)
    if found is None:
        yield from mending("newcomer", g.told, g.facts)
        return
    if found.out:
        hard = next(v for v in found.verdicts if v.says == "refused")
        x = next(x for x in g.inside if x.substance == hard.limit.part)
        out = MoveOut(
            who=found.out, substance=x.substance, level=x.level, unit=x.unit, why=hard.why,
            refuge=refuge(g.room, g.tank, found.out, g.now, g.facts), slow_h=None, within_h=0.0,
        )  # fmt: skip
        yield UrgentStep(act="move", of=out, source=hard.limit.source, status=hard.status)
    else:
        yield UrgentStep(act="stay", of=found, status="computed")
    yield UrgentStep(act="dose-stays", of=found, status="common-practice")
    yield UrgentStep(act="clock", of=found, source="VKQ", status="published-read")


def _not_eaten(g: Ground) -> Steps:
    """Out with the rest; that meal does not count; the next one when it is due."""
    out = FoodOut(minutes=OFFERED_MIN, leaches=_leaches(g))
    yield UrgentStep(act="food-out", of=out)
    yield UrgentStep(act="not-counted", of=NextMeal(step=next_meal(g.open, g.now)))
    yield UrgentStep(act="eats-not")


def _leaches(g: Ground) -> tuple[tuple[str, float, float], ...]:
    """Of each active in the last food, the least and the most of it that leaves the food. [share]"""
    fed = [e.act for e in g.room.of_tank(g.tank) if isinstance(e, Done) and isinstance(e.act, Feed)]
    medicated = [act.actives_mg_per_g for act in fed if act.actives_mg_per_g][-1:]
    actives = medicated[0] if medicated else {}
    return tuple((s, x.low, x.high) for s in actives for x in [leaching(s, g.facts)])


WRITERS: dict[str, Callable[[Ground], Steps]] = {
    "too-much": too_much, "wrong-tank": _wrong_tank, "too-little": _too_little, "carbon-in": _carbon_in,
    "forgot-one": _forgotten, "no-flow": _no_flow, "too-warm": _too_warm, "too-cold": _too_cold,
    "no-change": _no_change, "big-change": _big_change, "newcomer": _newcomer, "not-eaten": _not_eaten,
}  # fmt: skip
TOO_MUCH = ("too-much", "wrong-tank")
