"""What a remedy asks of the keeper: minutes in all, and what is on the shelf for it at which cost."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.knowledge.known import Facts
from tankward.knowledge.records.substance import Regimen, Substance
from tankward.treat.label_parts import per_unit

from .levels import own_span, supply_of
from .records import Number, OnShelf
from .situation import Situation

# Minutes of one application by its way, low and high: weigh, dissolve, give slowly, watch. [common practice,
# our choice]
ONE = {
    "water_long": (15.0, 30.0),
    "water_bath": (20.0, 40.0),
    "dip": (15.0, 30.0),
    "heat": (10.0, 20.0),
    "swab": (10.0, 20.0),
}
MAKE_FOOD, FEED_DAY = (30.0, 60.0), (5.0, 10.0)
MOVE = (15.0, 30.0)  # fish to a clean tub, the old one scrubbed, rinsed and dried
CHANGE = (15.0, 30.0)  # half a change before it is given again
STATUS = "common-practice"


def work_of(regimen: Regimen, days: tuple[float, float] | None) -> Number | None:
    """Minutes of the keeper's time in all; None where the way has no known work."""
    times = (regimen.repeats_low or 1, regimen.repeats_high or regimen.repeats_low or 1)
    if regimen.route == "feed":
        fed = days or (1.0, 1.0)
        return _work(MAKE_FOOD[0] + FEED_DAY[0] * fed[0], MAKE_FOOD[1] + FEED_DAY[1] * fed[1])
    if regimen.route not in ONE:
        return None
    low, high = (one * n for one, n in zip(ONE[regimen.route], times, strict=True))
    if regimen.route == "water_long":
        low, high = low + CHANGE[0] * (times[0] - 1), high + CHANGE[1] * (times[1] - 1)
    if regimen.route == "water_bath":
        stays = [60.0 * (h or 0.0) for h in (regimen.duration_h_low, regimen.duration_h_high)]
        low, high = low + stays[0] * times[0], high + stays[1] * times[1]
    return _work(low, high)


def work_of_moves(figures: Sequence[Number]) -> Number | None:
    """Minutes of a remedy of moves from tub to tub."""
    moves = next((f.high for f in figures if f.id == "moves"), None)
    return None if moves is None else _work(MOVE[0] * moves, MOVE[1] * moves)


def _work(low: float, high: float) -> Number:
    return Number(id="work", low=low, high=high, unit="min", status=STATUS)


def on_shelf(
    one: Substance, regimen: Regimen, situation: Situation, facts: Facts, *, tub: bool
) -> OnShelf | None:
    """The packet for it, how many one dose takes and what they cost; None where none is on the shelf.

    A price that nobody wrote down is not known: never nothing.
    """
    packet = supply_of(one, situation.shelf)
    if packet is None:
        return None
    units = None if tub else _units(one, regimen, situation, facts)
    cost = (
        None if units is None or packet.price is None else (units[0] * packet.price, units[1] * packet.price)
    )
    enough = None if units is None or packet.left is None else packet.left >= units[0]
    return OnShelf(
        supply=packet.id, name=packet.name, unit=packet.unit, units=units, cost=cost, left=packet.left,
        enough=enough,
    )  # fmt: skip


def _units(
    one: Substance, regimen: Regimen, situation: Situation, facts: Facts
) -> tuple[float, float] | None:
    """Packets for one dose of the whole tank; None where the water or the strength is not known."""
    packet, span, litres = supply_of(one, situation.shelf), own_span(regimen, one), situation.volume_l
    if packet is None or span is None or litres is None or one.parts or regimen.route != "water_long":
        return None
    holds = next((d.amount for d in per_unit(packet, facts) if d.substance == one.id), 0.0)
    return (span[0] * litres.low / holds, span[1] * litres.high / holds) if holds > 0 else None
