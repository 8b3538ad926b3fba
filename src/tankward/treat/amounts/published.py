"""What the facts say about amounts: published levels, what dissolves, how far over is too far."""

from __future__ import annotations

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.plain import plain
from tankward.knowledge.records.substance import Ceiling, Regimen, Substance
from tankward.quantities.digits import shown, shown_range
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.quantities.units import BASE, unit_of

WATER_ROUTES = ("water_long", "water_bath", "dip")
OVER_REFUSED = 3.0  # safety rule 10 for food; the same factor is used for water [common practice, no source]
DIMENSIONS = ("level", "volume_level", "fish_dose", "feed_strength")


class Published(msgspec.Struct, frozen=True, kw_only=True):
    """The span of the recommended regimens of one route, in the base unit of its dimension."""

    substance: str
    routes: tuple[str, ...]
    dimension: str
    low: float
    high: float
    source: str
    status: str
    regimens: tuple[str, ...]

    @property
    def unit(self) -> str:
        return BASE[self.dimension]

    @property
    def shown(self) -> str:
        return shown_range(self.low, self.high, self.unit)


def substance_called(words: str, facts: Facts) -> Substance:
    """The substance with this id or name.

    Raises
    ------
    BadInput
        If there is none.
    """
    wanted = plain(words)
    for one in facts.substances.values():
        if wanted in {
            plain(one.id),
            *(plain(n) for n in one.names),
            *(plain(n.split(",")[0]) for n in one.names),
        }:
            return one
    raise BadInput("substance", words, "is no substance that is known here. See tankward facts for the list.")


def published(one: Substance, routes: tuple[str, ...], dimension: str = "level") -> Published | None:
    """The span of the recommended regimens of these routes, or None where there is none with a number.

    Rows that count another thing ("as Cu" beside the pentahydrate) are left out: not the same number. Rows
    that treat or relieve something come first; only where there is none do others (sedation) count.
    """
    rows = [r for r in one.regimen if r.recommended and r.route in routes and not r.basis.startswith("as ")]
    aimed = [r for r in rows if r.treats or r.relieves] or rows
    usable = [(r, span) for r in aimed if (span := _in_base(r, dimension)) is not None]
    if not usable:
        return None
    return Published(
        substance=one.id,
        routes=routes,
        dimension=dimension,
        low=min(span[0] for _, span in usable),
        high=max(span[1] for _, span in usable),
        source=" ".join(dict.fromkeys(r.source for r, _ in usable if r.source != "none")) or "none",
        status=worst_status(r.status for r, _ in usable),
        regimens=tuple(r.id for r, _ in usable),
    )


SURENESS = ("published-read", "computed", "common-practice", "memory")


def worst_status(statuses: object) -> str:
    """The least sure of several."""
    found = [s for s in statuses if s in SURENESS]  # type: ignore[attr-defined]
    return max(found, key=SURENESS.index) if found else "memory"


def _in_base(row: Regimen, dimension: str) -> tuple[float, float] | None:
    """A regimen's level in the base unit, None if it has no number in that dimension."""
    unit = unit_of("mg/kg/day" if row.unit == "mg/kg" and row.route == "feed" else row.unit, dimension)
    if unit is None or row.low is None or row.high is None:
        return None
    return float(row.low * unit.factor), float(row.high * unit.factor)


def solubility_g_l(one: Substance) -> tuple[float | None, str, str]:
    """How much dissolves [g/L], with source and status; None where nothing is known or it mixes freely."""
    for row in one.solubility:
        if row.span is not None and row.unit == "g/L":
            return row.span[0], row.source, row.status
    return None, "none", "memory"


def ceiling_of(one: Substance) -> Ceiling | None:
    """Our own limit on the level in the water."""
    return next(iter(one.ceiling), None)


def beyond(value: float, range_: Published) -> str:
    """ "refused", "above", "within" or "below" the published span."""
    if value > range_.high * OVER_REFUSED * (1 + 1e-9):
        return "refused"
    if value > range_.high * (1 + 1e-9):
        return "above"
    return "below" if value < range_.low * (1 - 1e-9) else "within"


def refuse_if_beyond(value: float, unit: str, range_: Published) -> None:
    """Stop at more than three times the highest published dose.

    Raises
    ------
    Refused
        Naming the published span.
    """
    if beyond(value, range_) != "refused":
        return
    times = value / range_.high
    raise Refused(
        Reason(
            kind="over-published",
            because=f"{shown(value, unit)} is {shown(times)} times the highest published dose of "
            f"{range_.substance.replace('_', ' ')} ({range_.shown}).",
            would_change=f"A dose within {range_.shown}.",
            source=range_.source,
            status=range_.status,
        )
    )
