"""Published figures of who bears how much, brought into the unit in which the substance is dosed."""

from __future__ import annotations

import re

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Status
from tankward.knowledge.records.substance import Regimen, Substance, Tolerance

LC50 = frozenset({"LC50", "LC50 about", "TLm"})
NO_EFFECT = frozenset(
    {"NOEC", "no effect", "no harm up to", "no toxicity", "no side effects", "normal feeding and breeding"}
)
# A level at which a stage was seen harmed; half of it is never passed.
HARM = frozenset(
    {"effect", "all species lethal", "deaths in every treatment, lowest tested", "dies", "lethal",
     "chronic effect", "chronic value growth", "deaths at the usual dose", "100 % dead",
     "harmed only at the highest tested"}
)  # fmt: skip
TO_MG_L = {"mg/L": 1.0, "g/L": 1000.0, "ug/L": 0.001, "ug/mL": 1.0}
WATER_ROUTES = {"water": ("water_long",), "bath": ("water_bath", "dip"), "heat": ("heat",)}
YOUNG = ("fry", "larva", "embryo", "post-larva", "early life")
EGGS = ("egg",)


class Figure(msgspec.Struct, frozen=True, kw_only=True):
    """One measured figure in the substance's own unit."""

    taxon: str
    level: float
    unit: str
    endpoint: str
    hours: float | None
    stage: str
    kind: str  # fish, shrimp, snail, crustacean, plant, bacteria
    applies_to: tuple[str, ...]
    source: str
    status: Status


def unit_of(substance: Substance) -> str:
    """Unit in which the level of a substance is given here: mg/L, uL/L of formalin, °C of heat."""
    units = [r.unit for r in substance.regimen if r.route in ("water_long", "water_bath", "dip", "heat")]
    return next((u for u in units if u in ("uL/L", "C")), "mg/L")


def level_in(value: float, unit: str, basis: str, substance: Substance) -> float | None:
    """A level in the substance's own unit, or None where it can't be brought into it.

    Notes
    -----
    Levels of copper are those of copper sulfate pentahydrate, in which it is dosed; "copper sulfate as
    written" is taken as the pentahydrate, the safe side.
    """
    own = unit_of(substance)
    if own != "mg/L":
        return value if unit == own else None
    if unit not in TO_MG_L or "extract" in basis:
        return None
    mg_l = value * TO_MG_L[unit]
    if basis.startswith("as Cu"):
        return mg_l / pentahydrate_share(substance)
    return mg_l


def pentahydrate_share(substance: Substance) -> float:
    """Copper in its sulfate pentahydrate, by mass."""
    return next(f.active_fraction for f in substance.form if f.name.startswith("pentahydrate"))


def figures(substance: Substance) -> list[Figure]:
    """Every published tolerance row that has a level in the substance's unit, worst end of a range."""
    return [f for row in substance.tolerance if (f := _figure(row, substance)) is not None]


def _figure(row: Tolerance, substance: Substance) -> Figure | None:
    if row.span is None or row.status == "memory":
        return None
    level = level_in(row.span[0], row.unit, row.basis, substance)
    if level is None:
        return None
    return Figure(
        taxon=row.taxon,
        level=level,
        unit=unit_of(substance),
        endpoint=row.endpoint,
        hours=_hours(row),
        stage=_stage(row),
        kind=row.group,
        applies_to=row.applies_to,
        source=row.source,
        status=row.status,
    )


def _hours(row: Tolerance) -> float | None:
    """Hours of exposure; of a range of times the longest, to which the lowest level belongs."""
    if row.exposure_h is not None:
        return row.exposure_h
    found = re.search(r"(\d+(?:\.\d+)?) h\b", row.exposure)
    return float(found[1]) if found else None


def _stage(row: Tolerance) -> str:
    """fry, egg or "" for all else: the text of the row's stage, exposure and animal."""
    said = f"{row.life_stage} {row.taxon} {row.exposure}".lower()
    if any(word in said for word in YOUNG):
        return "fry"
    return "egg" if any(word in said for word in EGGS) else ""


class Usual(msgspec.Struct, frozen=True, kw_only=True):
    """Levels that were recommended for a route: the highest of all, and the highest that was published."""

    highest: float | None = None
    lowest: float | None = None
    published: tuple[tuple[float, float | None], ...] = ()  # (level, hours); None: none stated
    practised: tuple[tuple[float, float | None], ...] = ()  # the same for usual practice without a source
    recalled: tuple[tuple[float, float | None], ...] = ()  # the same from memory


def usual(substance_id: str, route: str, facts: Facts) -> Usual:
    """What is recommended for a substance by this route, in its own unit."""
    substance = facts.substances[substance_id]
    # A humane end or a tool has a level too; only what is meant to help the living counts.
    helps = [r for r in substance.regimen if r.recommended and (r.treats or r.relieves)]
    rows = [r for r in helps if r.route in WATER_ROUTES[route] and r.high]
    levels = [(x, r) for r in rows if (x := _regimen_level(r, substance)) is not None]
    told = {
        status: tuple((x, _regimen_hours(r)) for x, r in levels if r.status == status)
        for status in ("published-read", "common-practice", "memory")
    }
    return Usual(
        highest=max((x for x, _ in levels), default=None),
        lowest=min((x for x, _ in levels), default=None),
        published=told["published-read"],
        practised=told["common-practice"],
        recalled=told["memory"],
    )


def _regimen_level(row: Regimen, substance: Substance) -> float | None:
    return level_in(row.high, row.unit, row.basis, substance) if row.high is not None else None


def _regimen_hours(row: Regimen) -> float | None:
    return None if row.left_in else row.duration_h_high
