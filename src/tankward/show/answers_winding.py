"""A tank wound down, as the record that the command answers with."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.rounds.closing import Dry, Leaving

from .answers_after import hold_row
from .results import Source
from .results_winding import ClosingStep, DryRow, GoesRow, HomeRow, WindDownResult
from .words import winding as words


def wind_down_result(
    found: words.Found,
    room: Room,
    now: datetime,
    zone: str,
    facts: Facts,
    told: str,
    sources: list[Source],
    written: tuple[str, str] = ("", ""),
) -> WindDownResult:
    """What the command answers; `written`: the entry that was kept, and what it says."""
    c = found.closing
    parts = {
        "animals": words.CATCH if c.groups else (),
        "water": words.water_steps(found),
        "things": words.thing_steps(found),
        "glass": words.glass_steps(found, facts),
    }
    animals = [g for g in c.groups if g.kind != "plant"]
    says = [written[1], words.finding(found), words.why(found, room, now, zone, facts)]
    return WindDownResult(
        says="\n".join(line for line in says if line), tank=c.tank, causes=list(c.causes),
        holds=[hold_row(c.hold, room, now, zone, facts)] if c.hold else [],
        animals=[_goes(g, room) for g in c.groups],
        steps=[row for part, steps in parts.items() for row in _steps(part, steps)],
        bleach=found.bleach, dry=[_dry(d, facts) for d in c.dry], never=list(words.never(found)),
        can_close=not animals, closed=False, entry=written[0],
        assumes=[] if found.strength_known else [words.OLD_BLEACH.rstrip(".")],
        cautions=[*(found.bleach.cautions if found.bleach else ()), words.END, words.left_says(found)],
        sources=sources, now=told,
    )  # fmt: skip


def closed_result(tank: str, name: str, entry: str, told: str) -> WindDownResult:
    """The record closed."""
    return WindDownResult(
        says=f"{name} is wound down. {words.CLOSED}", tank=tank, causes=[], holds=[], animals=[], steps=[],
        bleach=None, dry=[], never=[], can_close=False, closed=True, entry=entry, now=told,
    )  # fmt: skip


def _goes(one: Leaving, room: Room) -> GoesRow:
    row = words.goes(one, room)
    return GoesRow(
        stock=one.stock.id, name=one.stock.name, kind=one.kind, held=one.held,
        homes=[
            HomeRow(
                tank=h.tank, why=h.why, differ_c=h.differ_c, fits=h.fits, source="none", status="computed"
            )
            for h in one.homes
        ],
        apart_days=one.apart_d, apart_until=one.apart.isoformat(), worms_days=one.worms_d,
        worms_until=one.worms.isoformat() if one.worms else "",
        says=" ".join(t for t in (f"{row.margin} {one.stock.name}:", row.held, row.where, row.apart) if t),
        source="none", status=one.status,
    )  # fmt: skip


def _steps(part: str, steps: Sequence[words.Step]) -> list[ClosingStep]:
    return [ClosingStep(part=part, says=s.head, how_to=s.how, hazard=s.hazard, sure=s.sure) for s in steps]


def _dry(one: Dry, facts: Facts) -> DryRow:
    off = one.off_host_d or (None, None)
    name, says = words.dry_line(one, facts)
    return DryRow(
        organism=one.organism, dry_low_h=one.dry_h[0], dry_high_h=one.dry_h[1], off_host_low_days=off[0],
        off_host_high_days=off[1], says=f"{name}: {says}", source="none", status=one.status,
    )  # fmt: skip
