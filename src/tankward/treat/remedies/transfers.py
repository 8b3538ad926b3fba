"""How often and how long fish are moved to clean water, and how long their tank stands without them."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from tankward.knowledge.records.organism import Organism, Stage
from tankward.knowledge.temperature import ByTemperature, parameters
from tankward.quantities.parse import Estimate

from .records import Number

EARLIEST, SLOWEST = 0.05, 0.95  # centiles of the published durations [our own choice]
USUAL_C = 24.5  # rule 15 speaks of 24 to 25 °C; used where the warmth is not known
ROUNDS_H = (24.0, 12.0, 8.0, 6.0, 4.0)  # what a keeper can keep up
STARVED = 1000.0  # one in so many swimmers is left [our own choice]
USUAL_Q10 = 2.0  # for a stage known at one temperature only, where the organism has no Q10 of its own


def transfer_numbers(organisms: list[Organism], temp_c: Estimate | None) -> tuple[Number, ...]:
    """Hours between two moves, days until the last, and how many moves that is.

    Parameters
    ----------
    organisms : list of Organism
        Those that have to leave the fish to multiply.
    temp_c : Estimate or None
        Water temperature; None counts as 24.5. [°C]

    Returns
    -------
    tuple of Number
        `hatch_h`, `move_every_h`, `move_days`, `moves`; empty where nothing leaves or no time is known.

    Notes
    -----
    Earliest hatch: the shortest swimming and cyst time (5th centile). Slowest leaver: the
    longest time on the fish (95th centile), and one round more. Computed from the organism's
    durations.
    """
    t = temp_c or Estimate.exact(USUAL_C)
    hatch = [h for o in organisms if (h := hatch_h(o, t.value)) is not None]
    stay = [d for o in organisms if (d := stay_d(o, t.value)) is not None]
    if not hatch or not stay:
        return ()
    every = next((r for r in ROUNDS_H if r <= min(hatch)), ROUNDS_H[-1])
    days = math.ceil(max(stay) + every / 24.0)
    moves = math.floor(days * 24.0 / every) - 1
    source = " ".join(dict.fromkeys(k for o in organisms for k in _sources(o))) or "none"
    rows = (
        ("hatch_h", min(hatch), "h"),
        ("move_every_h", every, "h"),
        ("move_days", days, "d"),
        ("moves", moves, "1"),
    )
    return tuple(Number(id=i, low=v, high=v, unit=u, source=source, status="computed") for i, v, u in rows)


def leaver(organism: Organism) -> Stage | None:
    """The stage on or in a fish that leaves it for the water or the floor as time goes by."""
    place = {s.id: s.place for s in organism.stage}
    return next((s for s in organism.stage if s.place in ("on_host", "in_host") and s.by == "time"
                 and place.get(s.next) in ("water", "surface")), None)  # fmt: skip


def stay_d(organism: Organism, temp_c: float) -> float | None:
    """The longest that the leaving stage stays on the fish. [d]"""
    stage = leaver(organism)
    return None if stage is None else _days(organism, stage.id, temp_c, SLOWEST)


def hatch_h(organism: Organism, temp_c: float) -> float | None:
    """The shortest time from leaving the fish until something can attach again. [h]"""
    first = leaver(organism)
    if first is None:
        return None
    stages = {s.id: s for s in organism.stage}
    total, at, seen = 0.0, stages.get(first.next), {first.id}
    while at is not None and at.by != "attach" and at.id not in seen:
        seen.add(at.id)
        total += _days(organism, at.id, temp_c, EARLIEST) or 0.0
        at = stages.get(at.next)
    return total * 24.0 or None


def starve_d(organism: Organism, temp_c: float) -> float | None:
    """The longest until what lies in a tank without fish has hatched and died. [d]

    The slowest through every stage off the fish (95th centile), then the swimmers down to one in a thousand
    at the slow end of their natural loss. None where no stage leaves the fish by itself or no loss is known.
    """
    first = leaver(organism)
    if first is None:
        return None
    stages = {s.id: s for s in organism.stage}
    total, at = 0.0, stages.get(first.next)
    while at is not None and at.by == "time" and at.id != first.id:
        total += _days(organism, at.id, temp_c, SLOWEST) or 0.0
        at = stages.get(at.next)
    lost = parameters(organism).get(("natural", at.id, "")) if at is not None else None
    if lost is None:
        return None
    slow = float(lost.draw(np.array([EARLIEST]), temp_c, _q10(parameters(organism)))[0])
    return total + math.log(STARVED) / slow if slow > 0 else None


def empty_days(
    organisms: list[Organism], temp_c: Estimate | None, usual_d: float, usual_c: float = USUAL_C
) -> int:
    """So long a tank stands without fish. [d]

    Parameters
    ----------
    organisms : list of Organism
        Those that have to leave the fish to multiply.
    temp_c : Estimate or None
        Of its water; None counts as 24.5. [°C]
    usual_d, usual_c : float
        The trade's figure, and the coolest water for which it is told. [d, °C]

    Returns
    -------
    int
        The longest of the trade's figure and of how long each lives without a host, as much longer in cooler
        water as `starve_d` grows there; in warmer water no shorter.
    """
    t = temp_c or Estimate.exact(USUAL_C)
    found = [usual_d]
    for organism in organisms:
        rows = [p.high for p in organism.parameter if p.name == "off_host_days" and p.use]
        here, usual = starve_d(organism, t.value), starve_d(organism, usual_c)
        slower = max(1.0, here / usual) if here is not None and usual else 1.0
        found.append(max([usual_d, *rows]) * slower)
    return math.ceil(max(found))


def _days(organism: Organism, stage: str, temp_c: float, share: float) -> float | None:
    known = parameters(organism)
    row = known.get(("days", stage, ""))
    if row is None:
        return None
    return float(row.draw(np.array([share]), temp_c, _q10(known))[0])


def _q10(known: Mapping[tuple[str, str, str], ByTemperature]) -> float:
    row = known.get(("q10", "", ""))
    return USUAL_Q10 if row is None else (row.low[0] * row.high[0]) ** 0.5


def _sources(organism: Organism) -> list[str]:
    rows = [p for p in organism.parameter if p.name == "days" and p.use]
    return [k for p in rows for k in p.keys]
