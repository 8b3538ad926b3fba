"""What medicated food leaves in the fish: in mg for each kg of the fish that eat, exact from step to step.

db/dt = strength × food eaten × not leached × bioavailability / mass − k b, with k = ln 2 / half-life ×
q10^((T − T of the figure)/10). Nothing flows back, so it is worked out after the run. From a bath no uptake
is known of any substance: there is no line then.
"""

from __future__ import annotations

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
from .record import changes
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


class _Warmth:
    """Of the water of a run, between its records. [°C]"""

    def __init__(self, traced: Trace) -> None:
        self.minutes, self.temp_c = np.array(traced.minutes), traced.temp_c
        self.moved = changes(traced.temp_c)

    def still(self, begin: int, end: int) -> bool:
        """Whether it keeps its warmth between two records."""
        first, last = np.searchsorted(self.minutes, (begin, end), side="left")
        return not self.moved[first + 1 : last + 1].any()

    def at(self, minutes: Array) -> Array:
        """Minutes × draws."""
        last = len(self.minutes) - 1
        at = np.minimum(np.maximum(np.searchsorted(self.minutes, minutes, side="right"), 1), last)
        before, wide = self.minutes[at - 1], self.minutes[at] - self.minutes[at - 1]
        share = np.where(wide > 0, (minutes - before) / np.maximum(wide, 1), 0.0)[:, None]
        return np.asarray(self.temp_c[at - 1] + share * (self.temp_c[at] - self.temp_c[at - 1]))


def _followed(
    run: Run, traced: Trace, substance: str, known: ByMouth, slot: int, held: Array, facts: Facts
) -> Array:
    """At each record; in closed form through a span in which nothing is set otherwise and the warmth stays,
    else step by step.
    """

    def column(part: str) -> Array:
        turn = OWN_TURN + slot // SLOTS
        numbers = uniform(f"substance_{slot % SLOTS + 1}_{part}", run.drawn_of, turn)
        return numbers if run.kept is None else numbers[run.kept]

    rate = LN2 / drawn(known.half_life_h, column("dark"))
    q10 = drawn(row(facts, "elimination_q10"), column("theta"))
    reaches = drawn(known.taken_up, column("carbon")) * (1.0 - drawn(known.leached, column("light")))
    reaches = reaches * (1.0 - run.th.uneaten)
    water, warmth, edges = Water(run), _Warmth(traced), np.array(run.table.edges)
    out = np.zeros((len(traced.minutes), run.draws))
    for span in run.table.spans:
        strength, stock = span.standing.medicated.get(substance, 0.0), span.standing.stock
        if not strength and not held.any():
            continue
        begin, end = int(edges[span.first]), int(edges[span.last])
        records = slice(*np.searchsorted(warmth.minutes, (begin, end), side="left"))
        eaten: Array | float = 0.0
        if strength and stock:
            food_g_h = water.environment(span.alone(begin, 0.0), run.th.temp_c).food_mg_h / 1000.0
            eaten = strength * food_g_h * reaches / np.maximum(run.th.fish_g * stock / 1000.0, 1e-9)
        still = warmth.still(begin, end)
        turns = np.array([begin, end]) if still else edges[span.first : span.last + 1]
        rates = rate * q10 ** ((warmth.at((turns[1:] + turns[:-1]) / 2) - known.temp_c) / 10.0)
        for since, until, k in zip(turns[:-1], turns[1:], rates, strict=True):
            inside = slice(*np.searchsorted(warmth.minutes, (since, until), side="left"))
            out[inside] = _after(held, eaten, k, (warmth.minutes[inside, None] - since) / 60.0)
            held = _after(held, eaten, k, (until - since) / 60.0)
        out[records.stop :] = held
    return out


def _after(held: Array, eaten: Array | float, k: Array, hours: Array | float) -> Array:
    """What is held after so many hours."""
    left = np.exp(-k * hours)
    return np.asarray(held * left + eaten * (1.0 - left) / k)
