"""Findings in the water itself: ammonia by pH and temperature, nitrite, chlorine, oxygen, pH,
warmth, nitrate.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from tankward.water.ammonia import unionised_share
from tankward.water.oxygen import oxygen_saturation_formula

from .choices import (
    CHLORINE_SEEN,
    NH3_CARE,
    NH3_DANGER,
    NITRATE_CARE,
    NITRITE_CARE,
    NITRITE_DANGER,
    OXYGEN_CARE,
    OXYGEN_DANGER,
    OXYGEN_OVERFULL,
    PH_LOW,
    READING_OLD_H,
    READING_STALE_H,
    TAN_SEEN,
    Choice,
)
from .finding import Finding, Severity
from .little_water import little_water
from .waterstate import Read, WaterState


def water_findings(state: WaterState) -> Iterator[Finding]:
    """Every finding in the water, the fine ones too; a reading that is missing or too old is one."""
    yield from little_water(state.full_l, state.left)
    yield from _ammonia(state)
    yield from _over(state, "nitrite_n", "nitrite", NITRITE_CARE, NITRITE_DANGER, blocks=True)
    yield from _over(state, "nitrate_n", "nitrate_chronic", NITRATE_CARE, None, blocks=False)
    yield from _chlorine(state)
    yield from _oxygen(state)
    yield from _overfull(state)
    yield from _acid(state)
    yield from _to_come(state)
    yield from _missing(state)


def fresh(read: Read | None) -> Read | None:
    """A reading that still says something of today."""
    return read if read is not None and read.age_h <= READING_STALE_H.value else None


def _graded(value: float, care: Choice, danger: Choice | None) -> Severity:
    if danger is not None and value > danger.value:
        return "danger"
    return "caution" if value > care.value else "fine"


def nh3_n(tan: Read, ph: Read, temp_c: Read) -> Read:
    """The poisonous part of total ammonia, worst and best ends taken together. [mg/L as N]

    Notes
    -----
    Without salts: their effect would make it smaller, so leaving them out is the safe side. pH and
    temperatures beyond the range of the formula are taken at its ends.
    """

    def part(t: float, p: float, c: float) -> float:
        return t * float(unionised_share(min(max(p, 5.0), 11.0), min(max(c, 0.0), 50.0)))

    return Read(
        value=part(tan.value, ph.value, temp_c.value),
        low=part(tan.low, ph.low, temp_c.low),
        high=part(tan.high, ph.high, temp_c.high),
        age_h=max(tan.age_h, ph.age_h),
    )


def _ammonia(state: WaterState) -> Iterator[Finding]:
    tan, ph, temp_c = (fresh(state.of(q)) for q in ("ammonia_n", "ph", "temp_c"))
    if tan is None:
        return
    if ph is None or temp_c is None:
        if tan.value > 0.0:
            yield _without_ph(tan, ph is None)
        return
    nh3 = nh3_n(tan, ph, temp_c)
    severity = _graded(nh3.value, NH3_CARE, NH3_DANGER)
    if severity == "fine" and tan.value >= TAN_SEEN.value:
        severity = "caution"
    yield _of(
        nh3,
        "ammonia",
        severity,
        "mg/L as N",
        NH3_CARE,
        state.clear_in_h.get("nh3_n"),
        nh3.value > NH3_CARE.value,
    )


def _without_ph(tan: Read, no_ph: bool) -> Finding:
    """Ammonia is there, and how poisonous it is can't be said."""
    bare = _of(tan, "ammonia", "caution", "mg/L as N", NH3_CARE, None, True)
    return msgspec.structs.replace(
        bare,
        because="total ammonia; the poisonous part needs pH and temperature",
        ask="ph" if no_ph else "temp_c",
    )


def _over(
    state: WaterState, quantity: str, kind: str, care: Choice, danger: Choice | None, *, blocks: bool
) -> Iterator[Finding]:
    read = fresh(state.of(quantity))
    if read is None:
        return
    severity = _graded(read.value, care, danger)
    yield _of(
        read, kind, severity, care.unit, care, state.clear_in_h.get(quantity), blocks and severity != "fine"
    )


CHLORINE_NOT_SEEN = "it may be gone by the time it is tested, and a free kit misses chloramine"


def _chlorine(state: WaterState) -> Iterator[Finding]:
    """Any chlorine that a kit can see is too much. None seen proves little: it may be gone, or be
    chloramine.
    """
    read = fresh(state.of("chlorine"))
    if read is None:
        return
    there = read.value > 0.0
    found = _of(read, "chlorine", "danger" if there else "fine", "mg/L", CHLORINE_SEEN, None, there)
    yield found if there else msgspec.structs.replace(found, because=CHLORINE_NOT_SEEN)


def _oxygen(state: WaterState) -> Iterator[Finding]:
    read = fresh(state.of("oxygen"))
    ahead = state.ahead.get("oxygen")
    if read is not None:
        severity: Severity = "fine"
        if read.value < OXYGEN_CARE.value:
            severity = "danger" if read.value < OXYGEN_DANGER.value else "caution"
        yield _of(read, "low_oxygen", severity, "mg/L", OXYGEN_CARE, None, severity != "fine")
    elif ahead is not None and ahead.value < OXYGEN_CARE.value:
        low = Read(value=ahead.value, low=ahead.low, high=ahead.high, age_h=0.0)
        found = _of(low, "low_oxygen", "caution", "mg/L", OXYGEN_CARE, None, False)
        yield msgspec.structs.replace(found, because="by the forecast, not measured", status="computed")


def _overfull(state: WaterState) -> Iterator[Finding]:
    """More oxygen than water of this warmth holds, even at the low end of the reading.

    Only where no plants give it off by day could it be a fault, which nobody here can know: a caution.
    """
    read, temp_c = fresh(state.of("oxygen")), fresh(state.of("temp_c"))
    if read is None or temp_c is None:
        return
    full = float(oxygen_saturation_formula(min(max(temp_c.value, 0.0), 40.0)))
    if read.low > OXYGEN_OVERFULL.value * full:
        share = Read(value=read.value / full, low=read.low / full, high=read.high / full, age_h=read.age_h)
        yield _of(share, "gas_supersaturation", "caution", "1", OXYGEN_OVERFULL, None, False)


def _acid(state: WaterState) -> Iterator[Finding]:
    read = fresh(state.of("ph"))
    if read is not None and read.value < PH_LOW.value:
        yield _of(read, "ph_crash", "danger", "", PH_LOW, None, True)


AHEAD = (("nh3_n", "ammonia", NH3_CARE), ("nitrite_n", "nitrite", NITRITE_CARE))


def _to_come(state: WaterState) -> Iterator[Finding]:
    """Water that is good, or not read, and will not stay so: a caution, as nobody has measured it."""
    for name, kind, care in AHEAD:
        worst = state.ahead.get(name)
        now = state.of("ammonia_n" if name == "nh3_n" else name)
        bad_now = now is not None and state.clear_in_h.get(name, 0.0) > 0.0
        if worst is not None and worst.value > care.value and not bad_now:
            read = Read(value=worst.value, low=worst.low, high=worst.high, age_h=0.0)
            found = _of(read, f"{kind}-ahead", "caution", care.unit, care, None, False)
            yield msgspec.structs.replace(
                found, cause="", because="by the forecast, not measured", status="computed"
            )


NEEDED = ("ammonia_n", "nitrite_n", "ph", "temp_c")
KIND_OF = {"ammonia_n": "ammonia", "nitrite_n": "nitrite", "ph": "ph", "temp_c": "temperature"}


def _missing(state: WaterState) -> Iterator[Finding]:
    """What has to be known before a medicine and is not, or was read too long ago."""
    for quantity in NEEDED:
        read = state.of(quantity)
        if read is None:
            yield _unread(quantity, "unknown", None, "no reading")
        elif read.age_h > READING_STALE_H.value:
            yield _unread(quantity, "unknown", read, "read too long ago")
        elif read.age_h > READING_OLD_H.value:
            yield _unread(quantity, "old", read, "older than a day")


def _unread(quantity: str, how: str, read: Read | None, because: str) -> Finding:
    return Finding(
        kind=f"{KIND_OF[quantity]}-{how}",
        severity="unknown",
        value=None if read is None else read.value,
        age_h=None if read is None else read.age_h,
        because=because,
        ask=quantity,
        status="common-practice",
    )


def _of(
    read: Read, kind: str, severity: Severity, unit: str, limit: Choice, until_h: float | None, blocks: bool
) -> Finding:
    return Finding(
        kind=kind,
        severity=severity,
        value=read.value,
        low=read.low,
        high=read.high,
        unit=unit,
        limit=limit.value,
        age_h=read.age_h,
        cause=kind,
        blocks_medicine=blocks,
        until=_until(kind, limit) if blocks else "",
        until_h=until_h if blocks else None,
        source=limit.source,
        status=limit.status,
    )


def by_kind(found: Iterable[Finding], kind: str) -> Finding | None:
    return next((f for f in found if f.kind == kind), None)


NAMED = {
    "ammonia": "the poisonous part of ammonia",
    "low_oxygen": "oxygen",
    "ph_crash": "pH",
    "nitrate_chronic": "nitrate",
}
FLOORS = ("low_oxygen", "ph_crash")  # too little of it is what harms


def _until(kind: str, limit: Choice) -> str:
    """When medicine is open again."""
    name = NAMED.get(kind, kind)
    if limit.value == 0.0:
        return f"{name} is gone"
    unit = "" if limit.unit == "pH" else f" {limit.unit}"
    return f"{name} is {'over' if kind in FLOORS else 'under'} {limit.value:g}{unit}"
