"""What medicated food leaves in the fish: in mg for each kg of the fish that eat, exact from step to step.

db/dt = strength × food eaten × not leached × bioavailability / mass − k b, with k = ln 2 / half-life ×
q10^((T − T of the figure)/10). Nothing flows back, so it is worked out after the run. From a bath no uptake
is known of any substance: there is no line then.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from statistics import median

import msgspec
import numpy as np

from tankward.knowledge.beliefs import drawn, widened
from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Drawn, Figure
from tankward.room.acts import Feed

from .draws import uniform
from .events import Timed
from .known import row
from .oracle import Run, Trace, Water
from .processes.substances import LN2, SLOTS
from .rows import Array

HOURS = {"h": 1.0, "d": 24.0}
UNKNOWN_TEMP_C = 20.0  # of a figure without one [memory]
OWN_TURN = 8  # further numbers of a column that losses and effects use too
UNIT = "mg/kg"


class ByMouth(msgspec.Struct, frozen=True):
    """What is known of a substance in food."""

    half_life_h: Drawn
    temp_c: float
    taken_up: Drawn  # share of what is swallowed
    leached: Drawn  # share of the dose that leaves the food before it is eaten


def by_mouth(facts: Facts, substance: str) -> ByMouth | None:
    """What the facts hold; None where half-life or bioavailability of food was found nowhere."""
    found = facts.substances.get(substance)
    rows = [k for k in (found.kinetics if found else ()) if k.route.startswith(("oral", "feed", "in feed"))]
    lasting = [k for k in rows if "half-life" in k.parameter and k.unit in HOURS]
    shares = [k for k in rows if k.parameter.endswith("bioavailability") and "relative" not in k.parameter]
    if not lasting or not shares:
        return None
    temps = [k.temp_c for k in lasting if k.temp_c is not None]
    return ByMouth(
        half_life_h=_span(lasting, "h"),
        temp_c=median(temps) if temps else UNKNOWN_TEMP_C,
        taken_up=_span(shares, "1"),
        leached=leached_share(facts, substance),
    )


def leached_share(facts: Facts, substance: str) -> Drawn:
    """Share of a dose that leaves the food in the water before it is eaten; general where none is known."""
    own = [r for r in facts.feeding.leaching if r.substance == substance and r.span is not None]
    return _span(own, "1") if own else row(facts, "food_leached")


def _span(figures: Sequence[Figure], unit: str) -> Drawn:
    """From the least to the most of all species and doses: whose fish it is nobody measured."""
    spans = [(f, f.span) for f in figures if f.span is not None]
    ends = [widened(low * s, high * s, f.status) for f, (low, high) in spans for s in [_scale(f)]]
    return Drawn(
        low=min(low for low, _ in ends), high=max(high for _, high in ends), unit=unit,
        source=figures[0].source, status="computed",
    )  # fmt: skip


def _scale(figure: Figure) -> float:
    return 0.01 if figure.unit == "%" else HOURS.get(figure.unit, 1.0)


def medicated(timed: Sequence[Timed]) -> tuple[str, ...]:
    """Substances that go into the food, in the order in which they do."""
    fed = [t.what for t in sorted(timed, key=lambda t: t.minute) if isinstance(t.what, Feed)]
    return tuple(dict.fromkeys(s for feed in fed for s in sorted(feed.actives_mg_per_g)))


def in_fish(
    run: Run, traced: Trace, timed: Sequence[Timed], facts: Facts, before: Mapping[str, Array] | None = None
) -> dict[str, Array]:
    """mg/kg of each substance of which enough is known: records × draws, as in the trace.

    `before`: what there is at the beginning of the run; nothing where it is not told.
    """
    found = {}
    for slot, substance in enumerate(medicated(timed)):
        known = by_mouth(facts, substance)
        if known is not None:
            held = (before or {}).get(substance, np.zeros(run.draws))
            found[substance] = _followed(run, traced, substance, known, slot, held, facts)
    return found


def _warmth(traced: Trace, minute: float) -> Array:
    """As warm as the water is at a minute, between two records. [°C]"""
    at = min(max(bisect_right(traced.minutes, minute), 1), len(traced.minutes) - 1)
    before, after = traced.minutes[at - 1], traced.minutes[at]
    share = (minute - before) / (after - before) if after > before else 0.0
    return np.asarray(traced.temp_c[at - 1] + share * (traced.temp_c[at] - traced.temp_c[at - 1]))


def _followed(
    run: Run, traced: Trace, substance: str, known: ByMouth, slot: int, held: Array, facts: Facts
) -> Array:
    def column(part: str) -> Array:
        turn = OWN_TURN + slot // SLOTS
        numbers = uniform(f"substance_{slot % SLOTS + 1}_{part}", run.drawn_of, turn)
        return numbers if run.kept is None else numbers[run.kept]

    rate = LN2 / drawn(known.half_life_h, column("dark"))
    q10 = drawn(row(facts, "elimination_q10"), column("theta"))
    reaches = drawn(known.taken_up, column("carbon")) * (1.0 - drawn(known.leached, column("light")))
    reaches = reaches * (1.0 - run.th.uneaten)
    water = Water(run)
    at: dict[int, Array] = {}
    for step in run.table.steps:
        at[step.minute] = held
        k = rate * q10 ** ((_warmth(traced, step.minute + 30.0 * step.hours) - known.temp_c) / 10.0)
        strength = step.standing.medicated.get(substance, 0.0)
        kilos = run.th.fish_g * step.standing.stock / 1000.0
        food_g_h = water.environment(step, run.th.temp_c).food_mg_h / 1000.0
        eaten = strength * food_g_h * reaches / np.maximum(kilos, 1e-9) if step.standing.stock else 0.0
        left = np.exp(-k * step.hours)
        held = held * left + eaten * (1.0 - left) / k
    at[run.table.end] = held
    return np.array([at[minute] for minute in traced.minutes])
