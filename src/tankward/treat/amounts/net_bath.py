"""How a net or tool is made clean, by the germ it may carry (safety rule 24)."""

from __future__ import annotations

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.substance import Regimen

from .bleach import bleach_ml, thiosulfate_mg

WORM_EGGS, MYCOBACTERIA, WASTING, GENERAL = "worm_eggs", "mycobacteria", "wasting", "general"
GERM_OF_CAUSE = {
    "camallanus": WORM_EGGS,
    "capillaria": WORM_EGGS,
    "tapeworms": WORM_EGGS,
    "mycobacteriosis": MYCOBACTERIA,
}
# What makes clean of each, best first: (substance, regimen).
BATHS: dict[str, tuple[tuple[str, str], ...]] = {
    WORM_EGGS: (("heat", "worm_eggs"), ("sodium_hypochlorite", "worm_eggs")),
    MYCOBACTERIA: (("sodium_hypochlorite", "tool"), ("ethanol", "tools")),
    WASTING: (("heat", "worm_eggs"), ("sodium_hypochlorite", "worm_eggs")),
    GENERAL: (("sodium_hypochlorite", "tool"),),
}


class NetBath(msgspec.Struct, frozen=True, kw_only=True):
    """One way to make a net clean. Bleach figures are for one litre, from a bottle of `bottle_mg_l`."""

    substance: str
    low: float
    high: float
    unit: str  # mg/L, C, %
    minutes_low: float
    minutes_high: float
    bleach_ml_l: float | None = None
    thiosulfate_mg_l: float | None = None
    sure: bool = True
    note: str = ""
    source: str
    status: str


class NetPlan(msgspec.Struct, frozen=True, kw_only=True):
    """The baths that suffice, best first. `own_net`: it stays with this tank; `all_of`: all, in turn."""

    germ: str
    own_net: bool
    all_of: bool
    dry_after: bool
    baths: tuple[NetBath, ...]


def germ_of(causes: tuple[str, ...]) -> str:
    """The hardest germ among the open causes; worms and mycobacteria both open is wasting without a cause."""
    germs = {GERM_OF_CAUSE.get(c, GENERAL) for c in causes}
    if WORM_EGGS in germs and MYCOBACTERIA in germs:
        return WASTING
    return next((g for g in (WORM_EGGS, MYCOBACTERIA) if g in germs), GENERAL)


def net_plan(germ: str, facts: Facts, bottle_mg_l: float) -> NetPlan:
    """How to make the net clean of this germ.

    Parameters
    ----------
    germ : str
        "worm_eggs", "mycobacteria", "wasting" (cause unknown) or "general".
    facts : Facts
        What is known.
    bottle_mg_l : float
        Chlorine in the bleach bottle. [mg/L]

    Notes
    -----
    100 to 1000 mg/L of chlorine for 10 min made more worm eggs develop, 3000 mg/L or 50 to 60 °C stopped them
    (MARTINS17, published-read). Bleach does not surely kill mycobacteria; 70 % alcohol does in a minute, on a
    dry net (MAIN05, published-read).
    """
    baths = tuple(_bath(facts, sub, row, bottle_mg_l, germ) for sub, row in BATHS[germ])
    return NetPlan(
        germ=germ, own_net=germ != GENERAL, all_of=germ == MYCOBACTERIA, dry_after=True, baths=baths
    )


def _bath(facts: Facts, substance: str, row_id: str, bottle_mg_l: float, germ: str) -> NetBath:
    row = next(r for r in facts.substances[substance].regimen if r.id == row_id)
    low, high, start, end = _numbers(row)
    chlorine = substance == "sodium_hypochlorite"
    return NetBath(
        substance=substance,
        low=low,
        high=high,
        unit=row.unit,
        minutes_low=start,
        minutes_high=end,
        bleach_ml_l=bleach_ml(bottle_mg_l, high, 1.0) if chlorine else None,
        thiosulfate_mg_l=thiosulfate_mg(high, chlorine_binding(facts)[0]) if chlorine else None,
        sure=not (chlorine and germ == MYCOBACTERIA),
        note=row.note,
        source=row.source,
        status=row.status,
    )


def _numbers(row: Regimen) -> tuple[float, float, float, float]:
    """Strength and minutes of a tool regimen; such a row without them can't be followed."""
    numbers = (row.low, row.high, row.duration_h_low, row.duration_h_high)
    low, high, start, end = (0.0 if n is None else n for n in numbers)
    return low, high, round(start * 60), round(end * 60)


def chlorine_binding(facts: Facts) -> tuple[float, str, str]:
    """Milligrams of thiosulfate pentahydrate for a milligram of chlorine, with source and status."""
    rows = facts.substances["sodium_thiosulfate"].regimen
    row = next(r for r in rows if r.recommended and r.basis == "pentahydrate" and r.high is not None)
    return float(row.high or 0.0), row.source, row.status
