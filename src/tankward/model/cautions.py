"""What a forecast does not know, each with what stands in for it and how sure that is."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Status
from tankward.knowledge.records.organism import Organism
from tankward.knowledge.temperature import parameters
from tankward.room.acts import AnyAct, Change, Dose, Feed, Lost

from .from_room import Story
from .in_fish import by_mouth
from .known import BREATH, GUILDS, NOT_DISSOLVED, dissolved, row, substance_rows, valid_c
from .parameters import carried_fact
from .record import Record
from .setup import Setup
from .water_line import LEAST_LEFT, MOST_GONE
from .weigh import UNEXPLAINED, Judged

WEEK_D = 7.0
HANGS_DRY = 0.5  # of the water: an inlet or a heater sits about half way down [memory]
NITROGEN = frozenset({"ammonia_n", "nitrite_n", "nitrate_n"})


class Caution(msgspec.Struct, frozen=True, kw_only=True):
    """Something unknown or assumed: `low` to `high` is what was taken instead, or what is known. `on`: the
    organism to which `about` is done.
    """

    kind: str
    about: str = ""
    on: str = ""
    source: str = "none"
    status: Status = "memory"
    low: float | None = None
    high: float | None = None
    unit: str = ""


def _stands_in(kind: str, fact: str, facts: Facts, about: str = "") -> Caution:
    r = row(facts, fact)
    return Caution(
        kind=kind, about=about, source=r.source, status=r.status, low=r.low, high=r.high, unit=r.unit
    )


def of_setup(setup: Setup, facts: Facts) -> list[Caution]:
    """What was not told of the tank itself."""
    found = []
    if setup.temp_c is None:
        found.append(_stands_in("temp-unknown", "temp_unknown", facts))
    if setup.ph is None:
        found.append(_stands_in("ph-unknown", "ph_unknown", facts))
    elif setup.alkalinity is None:
        ph = setup.ph
        found.append(Caution(kind="ph-kept", low=ph.low, high=ph.high, unit="pH", status="memory"))
    else:
        found.append(Caution(kind="ph-rests", status="computed"))
    if setup.evaporates_l_d is None and setup.surface_cm2 is not None:
        found.append(_water_line(setup, setup.surface_cm2, facts))
    if setup.living is None:
        found.append(_stands_in("stock-unknown", "fish_g_l", facts))
    if setup.filter == "":
        found.append(_stands_in("filter-unknown", "kla_unknown", facts))
    if setup.filter_age_d is None and setup.filter != "none":
        low, high = (row(facts, fact) for fact in carried_fact(setup, facts))
        found.append(Caution(kind="filter-age-unknown", low=low.low, high=high.high, unit="1"))
    return found


def _water_line(setup: Setup, surface_cm2: float, facts: Facts) -> Caution:
    """By how much levels may be higher after a week in which nothing was topped up, covered to open."""
    covered, bare = row(facts, "evaporation_covered"), row(facts, "evaporation_open")
    share = surface_cm2 * WEEK_D / 10.0 / 1000.0 / setup.volume_l.value
    low, high = (min(mm * share, MOST_GONE) for mm in (covered.low, bare.high))
    return Caution(
        kind="water-line-kept", source=bare.source, status=covered.status,
        low=100 * low / (1 - low), high=100 * high / (1 - high), unit="%",
    )  # fmt: skip


def of_acts(acts: Iterable[AnyAct], setup: Setup, facts: Facts) -> list[Caution]:
    """What is not known of the substances and of the new water."""
    acts = list(acts)
    changed = any(isinstance(act, Change) for act in acts)
    given = dict.fromkeys(
        [*(s for s in setup.levels if s in facts.substances)]
        + [s for act in acts if isinstance(act, Dose) for s in act.actives]
    )
    found = [caution for s in given for caution in _of_substance(s, facts)]
    fed = dict.fromkeys(s for act in acts if isinstance(act, Feed) for s in act.actives_mg_per_g)
    found += [Caution(kind="in-fish-unknown", about=s) for s in fed if by_mouth(facts, s) is None]
    bathed = [s for s in given if s not in fed and works_inside(s, facts)]
    found += [Caution(kind="in-fish-by-bath", about=s) for s in bathed]
    if not setup.tap.keys() & NITROGEN and changed:
        found.append(Caution(kind="new-water-unknown"))
    if setup.ph and setup.alkalinity and "alkalinity" not in setup.tap and changed:
        about = setup.alkalinity
        found.append(Caution(kind="tap-alkalinity-unknown", low=about.low, high=about.high, unit="mg/L"))
    return found


def of_line(acts: Iterable[AnyAct]) -> list[Caution]:
    """Water that was lost, down to so little that filter and heater may hang dry."""
    left, least = 1.0, 1.0
    for act in acts:
        left = 1.0 if isinstance(act, Change) else left * (1.0 - act.share) if isinstance(act, Lost) else left
        least = min(least, left)
    low = 100.0 * max(least, LEAST_LEFT)
    return [Caution(kind="little-water", low=low, high=low, unit="%")] if least < HANGS_DRY else []


def works_inside(substance: str, facts: Facts) -> bool:
    """Whether it is given in food too: then how much of a dose in the water gets into the fish matters."""
    found = facts.substances.get(substance)
    return found is not None and any(r.route == "feed" for r in found.regimen)


def _of_substance(substance: str, facts: Facts) -> list[Caution]:
    if not dissolved(facts, substance):
        known = facts.substances.get(substance)
        solid = known is not None and known.kind in NOT_DISSOLVED
        return [Caution(kind="not-a-solute" if solid else "combination-as-one", about=substance)]
    found = []
    rows = substance_rows(facts, substance)
    if rows.generic:
        found.append(_stands_in("loss-generic", "loss_dark", facts, substance))
    if rows.usual is None:
        found.append(Caution(kind="usual-level-unknown", about=substance))
    return found


def of_story(story: Story, facts: Facts) -> list[Caution]:
    """Everything that a room leaves open."""
    acts = [act for _, act in sorted(story.acts, key=lambda one: one[0])]
    found = of_setup(story.setup, facts) + of_acts(acts, story.setup, facts) + of_line(acts)
    found += [Caution(kind="mass-unknown", about=stock) for stock in story.unweighed]
    if not any(r.quantity == "nitrate_n" for _, r in story.readings):
        found.append(Caution(kind="nitrate-unknown"))
    return found


def of_readings(judged: Iterable[Judged], fits: bool) -> list[Caution]:
    """Readings that nothing here explains, and whether all that was entered fits together."""
    found = [
        Caution(kind="reading-unexplained", about=j.reading.quantity, low=j.low, high=j.high, unit="mg/L")
        for j in judged
        if j.explained < UNEXPLAINED
    ]
    return found if fits else [Caution(kind="readings-do-not-fit"), *found]


def of_lives(
    organisms: Collection[str], record: Record, present: Collection[str], facts: Facts, *, lamp: bool = False
) -> list[Caution]:
    """Where the water is warmer or colder than what is known of an organism, or of a substance on it.

    Parameters
    ----------
    organisms : collection of str
        Those that are followed.
    record : Record
        Of the water: its warmth, in the middle of the draws.
    present : collection of str
        Substances in the water or in the food.
    lamp : bool
        An ultraviolet lamp burns in the filter.
    """
    warmth = np.median(record.levels("temp_c"), axis=1)
    low, high = float(warmth.min()), float(warmth.max())
    found = (
        [Caution(kind="lamp-not-followed", status="computed")] if lamp and _swims(organisms, facts) else []
    )
    for one in dict.fromkeys(organisms):
        organism = facts.organisms[one]
        spans = [(r.temp_c[0], r.temp_c[-1]) for r in parameters(organism).values() if len(r.temp_c) > 1]
        found += _outside("life-beyond", spans, low, high, about=one)
        for substance in present:
            spans = list(_read_at(organism, substance))
            found += _outside("kill-beyond", spans, low, high, about=substance, on=one)
    return found


def _swims(organisms: Iterable[str], facts: Facts) -> bool:
    """Whether a stage of one of them drifts past a lamp in the filter."""
    return any(s.place == "water" for one in organisms for s in facts.organisms[one].stage)


def of_water(story: Story, record: Record, facts: Facts) -> list[Caution]:
    """Where the water is warmer or colder than the filter or the breath of fish was fitted for."""
    warmth = np.median(record.levels("temp_c"), axis=1)
    low, high = float(warmth.min()), float(warmth.max())
    lives = story.setup.living is None or story.setup.living.any
    asked = [("breath-beyond", BREATH)] * lives + [("filter-beyond", GUILDS)]
    found = []
    for kind, equation in asked:
        source = next(e.source for e in facts.water.equation if e.id == equation)
        one = _outside(kind, [valid_c(facts, equation)], low, high, about="")
        found += [msgspec.structs.replace(c, source=source) for c in one]
    return found


def _read_at(organism: Organism, substance: str) -> Iterator[tuple[float, float]]:
    """From the coldest to the warmest at which a substance was read, for each stage."""
    at: dict[tuple[str, str], list[float]] = {}
    for kill in organism.kill:
        if kill.use and kill.substance == substance and kill.temp_c is not None:
            ends = [kill.temp_c] if kill.temp_to_c is None else [kill.temp_c, kill.temp_to_c]
            at.setdefault((kill.route, kill.stage), []).extend(ends)
    yield from ((min(temps), max(temps)) for temps in at.values())


def _outside(
    kind: str, spans: Collection[tuple[float, float]], low: float, high: float, *, about: str, on: str = ""
) -> Iterator[Caution]:
    """One caution where a span does not hold the warmth: that from which it lies farthest."""
    far, first, last = max(
        ((max(first - low, high - last), first, last) for first, last in spans), default=(0.0, 0.0, 0.0)
    )
    if far > 0:
        yield Caution(kind=kind, about=about, on=on, status="computed", low=first, high=last, unit="C")
