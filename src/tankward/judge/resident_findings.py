"""Findings that depend on who lives there: warmth, pH, crowding, and a medicine that may have done it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.animal import Trait
from tankward.room.things import Stock

from .choices import CROWDED_G_L, MEDICINE_H
from .finding import Finding, Severity
from .water_findings import fresh
from .waterstate import Read, WaterState

ILL_AFTER_DOSE = frozenset(
    {"gasping_surface", "fast_gills", "on_side", "darting", "lethargy", "shrimp_snails_ill", "spinning",
     "sudden_deaths_many", "all_species"}
)  # fmt: skip


def resident_findings(state: WaterState, facts: Facts, seen: Collection[str] = ()) -> Iterator[Finding]:
    """What the water means to those who live in it, and what may have been done to them."""
    yield from _range(state, facts, "temp_c", "temperature", "C", _warm_or_cold)
    yield from _range(state, facts, "ph", "pH", "", lambda _: "")
    yield from _crowding(state)
    yield from _medicine(state, seen)
    if not state.fits:
        yield Finding(
            kind="readings-do-not-fit",
            severity="caution",
            because="what you entered does not fit together",
            ask="reading",
            status="computed",
        )


def _warm_or_cold(below: bool) -> str:
    return "cold" if below else "heat"


def _range(
    state: WaterState,
    facts: Facts,
    quantity: str,
    trait: str,
    unit: str,
    cause: Callable[[bool], str],
) -> Iterator[Finding]:
    """Outside the range where a resident was found: a caution. Such a range is no limit and stands before no
    medicine, however far outside; what kills is found by its own kind (ammonia, oxygen, a pH crash).
    """
    read = fresh(state.of(quantity))
    if read is None:
        return
    outside = [x for s in state.residents if (x := _outside(s, facts, trait, read)) is not None]
    kind = "temperature" if trait == "temperature" else "ph"
    if not outside:
        if state.residents:
            yield _made(read, kind, "fine", unit, None, ())
        return
    worst = max(outside, key=lambda o: abs(o[1]))
    found = _made(read, kind, "caution", unit, worst[2], tuple(o[0] for o in outside))
    yield _with(found, cause(worst[1] < 0), worst[3])


def _outside(stock: Stock, facts: Facts, trait: str, read: Read) -> tuple[str, float, float, Trait] | None:
    """(who, how far outside, the end passed, the row); negative: below. None: inside, or not known."""
    if stock.kind not in facts.animals:
        return None
    rows = [t for t in facts.animals[stock.kind].fact if t.quantity == trait and not t.measure and t.span]
    if not rows or rows[0].span is None:
        return None
    low, high = rows[0].span
    if read.value < low:
        return stock.name, read.value - low, low, rows[0]
    return (stock.name, read.value - high, high, rows[0]) if read.value > high else None


def _made(
    read: Read,
    kind: str,
    severity: Severity,
    unit: str,
    limit: float | None,
    who: tuple[str, ...],
) -> Finding:
    return Finding(
        kind=kind,
        severity=severity,
        value=read.value,
        low=read.low,
        high=read.high,
        unit=unit,
        limit=limit,
        age_h=read.age_h,
        who=who,
        status="memory",
    )


def _with(found: Finding, cause: str, row: Trait) -> Finding:
    return msgspec.structs.replace(
        found,
        cause=cause,
        because="outside the range in which they were found; such a range is no limit",
        source=row.source,
        status=row.status,
    )


def _crowding(state: WaterState) -> Iterator[Finding]:
    if state.fish_g is None or state.volume_l is None or state.volume_l.value <= 0.0:
        return
    per_l = state.fish_g.value / state.volume_l.value
    crowded = per_l > CROWDED_G_L.value
    yield Finding(
        kind="crowding",
        severity="caution" if crowded else "fine",
        value=per_l,
        low=state.fish_g.low / state.volume_l.high,
        high=state.fish_g.high / state.volume_l.low if state.volume_l.low > 0.0 else None,
        unit="g/L",
        limit=CROWDED_G_L.value,
        status=CROWDED_G_L.status,
    )


def _medicine(state: WaterState, seen: Collection[str]) -> Iterator[Finding]:
    """A dose within 48 h and signs that a medicine can make: it may have done it, and nothing more
    goes in.
    """
    recent = [d for d in state.doses if d.age_h <= MEDICINE_H.value]
    if not recent or not ILL_AFTER_DOSE & set(seen):
        return
    last = min(recent, key=lambda d: d.age_h)
    yield Finding(
        kind="medicine-did-it",
        severity="danger",
        age_h=last.age_h,
        cause="medicine_harm",
        because=", ".join(last.substances),
        ask="what, when, how much, and whose litres",
        blocks_medicine=True,
        until="the medicine is out and they are well",
        status=MEDICINE_H.status,
    )
