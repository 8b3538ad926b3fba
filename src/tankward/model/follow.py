"""One organism run through the water of a tank as its logbook tells it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec
import numpy as np

from tankward.knowledge.beliefs import drawn, estimated
from tankward.knowledge.known import Facts

from .draws import uniform
from .events import Timed
from .from_room import Story
from .happening import EMPTY, on_the_fish
from .known import row
from .lives.columns import shares
from .lives.kills import Reach, not_met, reaches
from .lives.tables import Herd
from .memo import Memo, once
from .organisms import Life, start_of
from .outbreak import Course, Passed, filled, run, step_min
from .prepare import usual_standing
from .record import Record
from .rows import Array
from .setup import Setup
from .simulate import minutes
from .surroundings import Surroundings, Water, surroundings, water_of

CHARTED_MIN = 120  # rows are kept no closer, but where something happens


def herd_of(told: Story, facts: Facts, draws: int) -> Herd:
    """The fish of a tank; where none were entered, as many of a gram as such a tank holds."""
    volume = estimated(told.setup.volume_l, uniform("volume_l", draws))
    living, u = told.setup.living, uniform("fish_g", draws)
    if living is None or living.fish is None or living.fish_g is None or living.fish.value <= 0:
        grams = drawn(row(facts, "fish_g_l"), u) * volume
        number = np.maximum(grams, 1.0)
    else:
        grams = estimated(living.fish_g, u)
        number = np.maximum(estimated(living.fish, shares("fish_number", draws)), 1.0)
    filtered = told.setup.filter not in ("", "none")
    turns = drawn(row(facts, "turnover"), shares("turnover", draws)) * 24.0
    described = told.tank.length_cm is not None
    return Herd(
        fish=number,
        fish_g=grams / number,
        volume_l=volume,
        turnover_1_d=turns if filtered else np.zeros(draws),
        gravel=told.tank.substrate_cm > 0 or not described,
    )


class Prepared(msgspec.Struct, frozen=True, kw_only=True):
    """One organism, ready to run on or to go back through."""

    course: Course
    unknown: tuple[str, ...]  # substances of which no number can be made
    silent: dict[str, tuple[str, ...]]  # substances with the stages on which nothing is known of them


class Followed(msgspec.Struct, frozen=True, kw_only=True):
    """One organism, run: its course and what came of it."""

    course: Course
    passed: Passed
    unknown: tuple[str, ...]  # substances of which no number can be made
    silent: dict[str, tuple[str, ...]]  # substances with the stages on which nothing is known of them


def follow(
    life: Life, told: Story, record: Record, begin: int, start: Array | None, facts: Facts
) -> Followed:
    """Run one organism from `begin` (minutes from the record's start) to the record's end."""
    made = prepared(life, told, record, begin, start, facts)
    passed = run(made.course, apart=CHARTED_MIN)
    return Followed(course=made.course, passed=passed, unknown=made.unknown, silent=made.silent)


def prepared(
    life: Life, told: Story, record: Record, begin: int, start: Array | None, facts: Facts
) -> Prepared:
    """One organism in the water of a record, from `begin` (minutes from its start) to its end.

    `start`: on one fish, or the share of them that is ill; None: what is usual when a keeper first sees it.
    """
    happening = [Timed(minutes(at, told.start), what) for at, what in (*told.acts, *told.events)]
    found = met(life, told.setup, happening, water_of(record), facts)
    now, there = found.around.around(begin, after=True), found.around.stands(begin).fish
    rows = start_of(life, start, now.temp_c)
    # Of the fish that the herd was reckoned for, at the beginning of the record. Where all are out by now,
    # what they gave off before is still there.
    emptied = there < EMPTY
    rows[1:] *= 1.0 if emptied else there
    rows = filled(life, now, rows)
    rows[on_the_fish(life)] *= EMPTY if emptied else 1.0
    course = Course(
        life=life,
        around=found.around,
        begin=begin,
        end=record.minutes[-1],
        start=rows,
        reach=found.reach,
        feed=found.feed,
        every=step_min(life, now, dosed=bool(found.reach)),
    )
    return Prepared(course=course, unknown=found.unknown, silent=found.silent)


class Met(msgspec.Struct, frozen=True, kw_only=True):
    """What an organism meets in a tank: its surroundings, substances in the water and in the food."""

    around: Surroundings
    reach: tuple[Reach, ...]
    feed: tuple[Reach, ...]
    unknown: tuple[str, ...]
    silent: dict[str, tuple[str, ...]]


def met(
    life: Life,
    setup: Setup,
    happening: Sequence[Timed],
    water: Water,
    facts: Facts,
    before: Mapping[str, Array] | None = None,
    kept: Memo | None = None,
) -> Met:
    """What it meets in the water of a run.

    `before`: the highest level of each substance in each draw before the run begins. `kept`: what was made
    before for this life.
    """
    draws, herd = life.draws, life.herd
    units = water.units
    around = surroundings(
        water,
        happening,
        usual_standing(setup, facts),
        stress=once(
            kept, "stress", None, lambda: drawn(facts.tank["stress_index_ill"], shares("stress", draws))
        ),
        grams_l=herd.fish * herd.g_l,
    )
    highest = {s: np.maximum(water.levels[s].max(axis=0), (before or {}).get(s, 0.0)) for s in units}
    most = {s: float(np.median(levels)) for s, levels in highest.items()}
    present = {s: level for s, level in most.items() if level > 0}
    reach, unknown = reaches(life.organism, life.gathered, "water", present, units, draws, kept)
    feed, unfed = _fed(life, around, facts)
    return Met(
        around=around,
        reach=tuple(reach),
        feed=tuple(feed),
        unknown=tuple(dict.fromkeys((*unknown, *unfed))),
        silent=not_met(life.organism, present, facts),
    )


def _ration(life: Life, around: Surroundings, facts: Facts) -> Array:
    """Food offered: as it was weighed; else what is usually given, of the weight of the fish. [g/kg/d]"""
    weighed = {s.food_g for _, s in around.standing if s.medicated}
    if None in weighed:
        return drawn(row(facts, "feed_share"), uniform("feed_share", life.draws)) * 10.0
    kilos = np.maximum(life.herd.fish * life.herd.fish_g, 1e-9) / 1000.0
    return np.asarray(min(x for x in weighed if x is not None) / kilos)


def _fed(life: Life, around: Surroundings, facts: Facts) -> tuple[list[Reach], list[str]]:
    """Substances in the food: mg/kg of fish and day by what is eaten of it."""
    given = {s: mg_g for _, standing in around.standing for s, mg_g in standing.medicated.items()}
    if not given:
        return [], []
    ration = _ration(life, around, facts)
    eats = drawn(facts.conversion["sick_ration"], shares("eats", life.draws))
    strength = {s: float(mg_g * np.median(ration)) for s, mg_g in given.items()}
    per_fish, unknown = reaches(
        life.organism, life.gathered, "feed", strength, dict.fromkeys(given, "mg/kg/day"), life.draws
    )
    in_food, _ = reaches(
        life.organism, life.gathered, "feed", given, dict.fromkeys(given, "g/kg feed"), life.draws
    )
    found = [msgspec.structs.replace(r, scale=ration, acts=r.acts * eats) for r in per_fish]
    found += [msgspec.structs.replace(r, acts=r.acts * eats) for r in in_food]
    met = {r.substance for r in found}
    return found, [s for s in unknown if s not in met]
