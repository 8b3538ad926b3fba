"""What if a course went otherwise: the same forecast with one thing changed, never written down."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from typing import Literal

import msgspec
from msgspec.structs import replace

from tankward.judge.choices import OXYGEN_CARE
from tankward.knowledge.known import Facts
from tankward.model.forecast import forecast
from tankward.model.result import Extreme, Forecast, Outlook
from tankward.model.suspect import Suspect
from tankward.room.acts import AnyAct, Change, Dose, Heat
from tankward.room.replay import Room
from tankward.treat.medicine import is_medicine

from .acts import planned_acts
from .chances import course_forecast
from .records import Course

Kind = Literal["later", "skip", "more", "warmer"]
Of = Literal["", "dose", "change", "extra"]
PUT_OFF: tuple[Kind, ...] = ("later", "skip")
Planned = Sequence[tuple[datetime, AnyAct]]
TOGETHER = timedelta(hours=1)  # what is done in one go
LATER = timedelta(hours=24)
HALF = 0.5
WARMER_C = 2.0  # [our own choice]


class Offer(msgspec.Struct, frozen=True, kw_only=True):
    """One change of the plan, `of` the next dose or change, or one change more than planned ("extra").

    `why` it can't be asked: "nobody-knows" or "too-warm", of `who`, at `top_c`.
    """

    kind: Kind
    of: Of = ""
    why: str = ""
    who: str = ""
    top_c: float | None = None


class Beside(msgspec.Struct, frozen=True, kw_only=True):
    """One figure as planned and otherwise; `line`: the level that may be passed then, if one is."""

    plain: Extreme
    other: Extreme
    line: float | None = None


class WhatIf(msgspec.Struct, frozen=True, kw_only=True):
    """The course otherwise, beside the course as planned."""

    kind: Kind
    drugs: tuple[Beside, ...]
    oxygen: Beside
    gone: tuple[tuple[Outlook, Outlook], ...]


def offers(room: Room, tank: str, warm_c: float | None, planned: Planned, facts: Facts) -> tuple[Offer, ...]:
    """What may be asked of a course of which something is still to come; nothing where nothing is.

    `warm_c`: of the water now; where nobody knows it, warmer is not asked. [°C]
    """
    if not planned:
        return ()
    of = _of(planned, facts)
    made = [Offer(kind=kind, of=of) for kind in PUT_OFF] if of else []
    made.append(Offer(kind="more", of="" if _may_grow(planned) else "extra"))
    if warm_c is not None and not any(isinstance(act, Heat) for _, act in planned):
        made.append(_warmer(room, tank, warm_c, facts))
    return tuple(made)


def changed(kind: Kind, planned: Planned, found: Forecast, facts: Facts) -> Planned:
    """The plan with that change."""
    acts: dict[Kind, Callable[[], Planned]] = {
        "later": lambda: _later(planned, facts),
        "skip": lambda: _skipped(planned, facts),
        "more": lambda: _more(planned, found.now),
        "warmer": lambda: [(found.now, Heat(temp_c=warmth_now(found) + WARMER_C)), *planned],
    }
    return acts[kind]()


def what_if(room: Room, kind: Kind, found: Forecast, planned: Planned, facts: Facts) -> WhatIf:
    """The forecast once more with one thing changed; takes as long as the first.

    Parameters
    ----------
    room : Room
        As it stands.
    kind : str
        What is changed.
    found : Forecast
        As planned: the same draws, the same now.
    planned : sequence of (instant, act)
        What is to come.
    facts : Facts
        The facts.
    """
    other = forecast(
        room,
        found.tank,
        found.now,
        facts=facts,
        days=(found.times_h[-1] - found.now_h) / 24.0,
        planned=changed(kind, planned, found, facts),
        draws=found.weights.size,
        suspects=[Suspect(organism=o.organism, cause=o.cause, chance=o.likely) for o in found.outlooks],
    )
    drugs = [
        _peak(found.peak(s.name), other, facts)
        for s in found.series
        if s.kind == "substance" and is_medicine(s.name, facts)
    ]
    return WhatIf(
        kind=kind,
        drugs=tuple(drugs),
        oxygen=_least(found.least("oxygen"), other.least("oxygen")),
        gone=tuple(zip(found.outlooks, other.outlooks, strict=True)),
    )


def proposed_if(course: Course, room: Room, kind: Kind, now: datetime, facts: Facts) -> WhatIf:
    """The same of a course that is only proposed: both forecasts are made."""
    plain = course_forecast(course, room, course.tank, now, facts)
    return what_if(room, kind, plain, planned_acts(course), facts)


def _peak(plain: Extreme, found: Forecast, facts: Facts) -> Beside:
    """With the level above which it is refused, where that may be passed. What never goes in is none."""
    there = any(s.name == plain.name and s.kind == "substance" for s in found.series)
    other = found.peak(plain.name) if there else replace(plain, low=0.0, value=0.0, high=0.0)
    line = min((row.refuse_above for row in facts.substances[plain.name].ceiling), default=None)
    return Beside(plain=plain, other=other, line=line if line is not None and other.high > line else None)


def _least(plain: Extreme, other: Extreme) -> Beside:
    """With what sick fish want of oxygen, where it may fall under that."""
    line = OXYGEN_CARE.value
    return Beside(plain=plain, other=other, line=line if other.low < line else None)


def _of(planned: Planned, facts: Facts) -> Literal["", "dose", "change"]:
    """What comes next that can be put off: a dose, else a change."""
    if any(_medicine(act, facts) for _, act in planned):
        return "dose"
    return "change" if any(isinstance(act, Change) for _, act in planned) else ""


def _next(planned: Planned, facts: Facts) -> datetime:
    of = _of(planned, facts)
    return min(at for at, act in planned if _is(act, of, facts))


def _is(act: AnyAct, of: Of, facts: Facts) -> bool:
    return _medicine(act, facts) if of == "dose" else isinstance(act, Change)


def _medicine(act: AnyAct, facts: Facts) -> bool:
    return isinstance(act, Dose) and any(is_medicine(s, facts) for s in act.actives)


def _later(planned: Planned, facts: Facts) -> Planned:
    """The next of them and what is done with it; the rest as planned."""
    due = _next(planned, facts)
    return [(at + LATER, act) if abs(at - due) < TOGETHER else (at, act) for at, act in planned]


def _skipped(planned: Planned, facts: Facts) -> Planned:
    due, of = _next(planned, facts), _of(planned, facts)
    return [(at, act) for at, act in planned if not (_is(act, of, facts) and abs(at - due) < TOGETHER)]


def _may_grow(planned: Planned) -> bool:
    return any(isinstance(act, Change) and act.share < HALF for _, act in planned)


def _more(planned: Planned, now: datetime) -> Planned:
    """Half at every change; where that is planned already, half once more tomorrow."""
    if not _may_grow(planned):
        return [(now + LATER, Change(share=HALF)), *planned]
    return [(at, _half(act)) for at, act in planned]


def _half(act: AnyAct) -> AnyAct:
    return replace(act, share=HALF) if isinstance(act, Change) and act.share < HALF else act


def warmth_now(found: Forecast) -> float:
    """Of the water. [°C]"""
    return found.at("temp_c", 0.0).value


def _warmer(room: Room, tank: str, warm_c: float, facts: Facts) -> Offer:
    """Within what everyone bears: one whose warmth nobody knows stands against it."""
    tops: list[tuple[float, str]] = []
    for stock in room.stock_of(tank):
        top = warmest(stock.kind, facts)
        known = facts.animals.get(stock.kind) or facts.plants.get(stock.kind)
        who = stock.name or (known.common if known else stock.kind)
        if top is None:
            return Offer(kind="warmer", why="nobody-knows", who=who)
        tops.append((top, who))
    if tops and warm_c + WARMER_C > min(tops)[0]:
        return Offer(kind="warmer", why="too-warm", who=min(tops)[1], top_c=min(tops)[0])
    return Offer(kind="warmer")


def warmest(kind: str, facts: Facts) -> float | None:
    """The upper end of the range in which a kind is found; None where nobody knows it. [°C]"""
    if kind in facts.plants:
        return facts.plants[kind].temp_high_c
    rows = facts.animals[kind].fact if kind in facts.animals else ()
    return min((f.high for f in rows if f.quantity == "temperature" and f.high is not None), default=None)
