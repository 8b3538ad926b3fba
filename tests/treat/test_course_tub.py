"""Courses beside the tank: in a tub, in baths, in the food. Their chances count what is done there."""

from datetime import UTC, datetime, timedelta
from functools import cache

import numpy as np
import pytest
from msgspec.structs import replace

from tankward.model import run as forms
from tankward.model.events import Timed
from tankward.model.from_room import story
from tankward.model.happening import by_minute, spared
from tankward.model.living import living_of
from tankward.model.prospect import prospect
from tankward.model.suspect import of_causes
from tankward.room.acts import Apart, Bath, Change, Dose, Feed, LookAgain, Transfer
from tankward.treat.course.acts import planned_acts, tub_acts
from tankward.treat.course.beside import Beside, stays
from tankward.treat.course.chances import course_chances, course_forecast
from tankward.treat.course.make import make_course
from tankward.treat.course.request import request_from_room
from tankward.treat.course.without import without_course
from tests.helpers.rooms import room_from
from tests.model.lives import course as on_a_fish
from tests.treat.tanks import FACTS

PARTS = (forms._ready, forms._rows, forms._bands)


@pytest.fixture(autouse=True, scope="module")
def compiled():
    """The compiled form, as keepers have it; afterwards as it was."""
    before = [list(part) for part in PARTS]
    if not forms.compiled_runs() or not forms.compiled_rows():
        forms._load()
    yield
    for part, told in zip(PARTS, before, strict=True):
        part[:] = told


NOW = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)
SPOTS, FLUKES, GUT = "white_spot", "skin_flukes", "hexamita"
T8 = """
1 May 2026 08:00  kit    scale=0.1g syringes="1/5/20 mL" region=UK
1 May 2026 08:00  tank   T8  length=40cm width=25cm fill=22cm filter=sponge filter-age="300 days" temp=24.5C
1 May 2026 08:01  stock  T8  kind=pearl_danio_celestial number=18 length=2cm stock=danios
14 May 2026 17:00 reading T8  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.2 temp=24.5C oxygen="7.5 mg/L"
"""
LOACHES = "1 May 2026 08:02  stock  T8  kind=kuhli_loach number=3 length=6cm stock=loaches\n"
MALES = T8.replace("pearl_danio_celestial number=18 length=2cm", "guppy sex=male number=18 length=3cm")
OTHERS = "1 May 2026 08:02  stock  T8  kind=guppy sex=male number=3 length=3cm stock=others\n"
SHRIMP = "1 May 2026 08:03  stock  T8  kind=cherry_shrimp number=20 mass=0.2g stock=shrimp\n"


def asked(text, *causes):
    return request_from_room(room_from(text), "t8", FACTS, NOW, causes=causes, not_there=("fry", "egg"))


def out(text=T8, cause=SPOTS, remedy="fish_out", **knobs):
    return without_course(asked(text, cause), remedy, FACTS, NOW, NOW, **knobs)


def given(text, substance, route="water_long", causes=(SPOTS,), **more):
    return make_course(asked(text, *causes), substance, route, facts=FACTS, start=NOW, now=NOW, **more)


@cache
def ready(text=T8, cause=SPOTS, days=30.0):
    room = room_from(text)
    tank = prospect(room, "t8", NOW, FACTS, days=days, suspects=of_causes([(cause, None)], FACTS), draws=64)
    return Beside(tank, room, "t8", FACTS)


def gone(course, organism="ichthyophthirius", beside=None, by=None):
    beside = beside or ready()
    found = beside.judged(course, by or course.ends)
    return beside.tank.mean(found.gone[organism].chance[-1], organism)


def of(chances, what, where):
    return next(r.value for r in chances.rows if (r.what, r.where) == (what, where))


# Without medicine


def test_the_tank_clears_and_the_fish_are_the_weak_part():
    """Rule 15: a fortnight at 24.5 °C clears the tank; the fish depend on how they are moved."""
    tank, tub = ready().apart(out(tub_l=10.0), NOW + timedelta(days=14))
    there, here = (j.gone["ichthyophthirius"].chance[-1] for j in (tank, tub))
    assert np.median(there) > 0.99
    assert np.median(here) < np.median(there)


def test_moved_oftener_and_longer_more_are_free():
    usual, oftener, longer = (
        gone(out(tub_l=10.0, **knobs))
        for knobs in ({}, {"every_h": 6.0}, {"every_h": 6.0, "move_days": 12.0})
    )
    assert usual < oftener < longer
    assert longer > 0.9


def test_what_is_not_moved_catches_it_again():
    assert gone(out(tub_l=10.0, every_h=0.0)) < 0.05


def test_moved_after_the_hatch_is_too_late():
    """At 24.5 °C the earliest hatch after half a day: every two days is far behind it."""
    assert gone(out(tub_l=10.0, every_h=48.0)) < 0.05


def test_both_waters_have_to_be_clear():
    beside, course = ready(), out(tub_l=10.0, every_h=6.0)
    tank, tub = beside.apart(course, course.ends)
    both = beside.judged(course, course.ends)
    name = "ichthyophthirius"
    assert (both.gone[name].chance == tank.gone[name].chance * tub.gone[name].chance).all()
    assert (both.peaks["nh3_n"] == np.maximum(tank.peaks["nh3_n"], tub.peaks["nh3_n"])).all()
    assert (both.lowest["oxygen"] == np.minimum(tank.lowest["oxygen"], tub.lowest["oxygen"])).all()


def test_nothing_done_clears_next_to_nothing():
    idle = out(remedy="daily_siphon")
    assert gone(replace(idle, steps=())) < 0.05


def test_a_small_tub_gathers_more_ammonia():
    def peak(litres):
        course = out(tub_l=litres, every_h=0.0)
        return np.median(ready().apart(course, course.ends)[1].peaks["nh3_n"])

    assert peak(3.0) > 1.5 * peak(20.0)


def test_a_tub_is_made_once_for_courses_that_share_it():
    beside = ready()
    one, other = out(tub_l=12.0), out(tub_l=12.0, every_h=6.0)
    assert beside.tub(one) is beside.tub(other)
    assert beside.tub(one) is not beside.tub(out(tub_l=13.0))
    assert beside.tub(out(remedy="daily_siphon")) is None


def test_the_chances_name_both_waters_and_each_part():
    room = room_from(T8)
    found = course_chances(out(tub_l=10.0), room, "t8", NOW, FACTS, draws=64)
    assert {(r.what, r.where) for r in found.rows} >= {("nh3", "tank"), ("nh3", "tub"), ("oxygen", "tub")}
    assert [p.where for p in found.parts] == ["tank", "tub"]
    (both,) = found.cleared
    assert both.chances[-1].value <= min(p.value for p in found.parts) + 1e-9
    assert found.without
    assert found.withheld == ()


# A medicine in a tub


def test_a_tub_course_leaves_the_tank_and_doses_the_tub():
    course = given(T8 + SHRIMP, "sodium_chloride", regimen_id="ich", place="tub", tub_l=10.0)
    assert {type(a) for _, a in planned_acts(course)} == {Apart}
    inside = tub_acts(course)
    assert any(isinstance(a, Dose) for _, a in inside)
    assert any(isinstance(a, Change) for _, a in inside)
    assert not any(isinstance(a, LookAgain) for _, a in inside)


def test_a_tub_course_has_chances_of_its_own_water():
    """It was withheld before: ammonia of the filterless tub, oxygen, its level against those in it."""
    room = room_from(T8 + SHRIMP)
    course = given(T8 + SHRIMP, "sodium_chloride", regimen_id="ich", place="tub", tub_l=10.0)
    found = course_chances(course, room, "t8", NOW, FACTS, draws=64)
    assert "tub" not in found.withheld
    assert {r.where for r in found.rows} == {"tank", "tub"}
    over = [r for r in found.rows if r.what == "over-limit"]
    assert over and {r.where for r in over} == {"tub"}
    assert found.cleared[0].acts == ("sodium_chloride",)


def test_salt_in_the_tub_clears_more_than_the_tub_alone():
    text = T8 + SHRIMP
    course = given(text, "sodium_chloride", regimen_id="ich", place="tub", tub_l=10.0)
    plain = replace(course, steps=tuple(s for s in course.steps if not isinstance(s.act, Dose)))
    beside = ready(text)
    salted, bare = (
        beside.apart(c, course.ends)[1].gone["ichthyophthirius"].chance[-1].mean() for c in (course, plain)
    )
    assert salted > bare + 0.05


def test_where_some_fish_stay_the_tank_has_hosts():
    """Loaches stay: what sits on them is not cleared by a tub for the others."""
    text = T8 + LOACHES
    course = given(text, "sodium_chloride", regimen_id="ich", place="tub", tub_l=10.0, stock_ids=["danios"])
    tank, _ = ready(text).apart(course, course.ends)
    assert tank.gone["ichthyophthirius"].chance[-1].mean() < 0.1


# Baths


def bath(text=MALES, **more):
    """Salt, half an hour of 10 g/L and the first time half of that."""
    return given(
        text,
        "sodium_chloride",
        "water_bath",
        causes=("costia_trichodina",),
        regimen_id="bath",
        tub_l=5.0,
        **more,
    )


def test_a_timed_bath_counts_on_what_sits_on_the_fish():
    course = bath()
    assert any(isinstance(a, Bath) for _, a in planned_acts(course))
    none = replace(course, steps=tuple(s for s in course.steps if s.kind != "bath"))
    on_fish = []
    for one in (course, none):
        found = course_forecast(one, room_from(MALES), "t8", NOW, FACTS, draws=64)
        outlook = next(o for o in found.outlooks if o.organism == "ichthyobodo")
        on_fish.append(next(s.value[-1] for s in outlook.series if s.where == "on fish"))
    assert on_fish[0] < 0.9 * on_fish[1]


def test_a_bath_is_in_the_chances_of_its_course():
    found = course_chances(bath(), room_from(MALES), "t8", NOW, FACTS, draws=64)
    assert {o.organism for o in found.cleared} == {"ichthyobodo", "trichodina"}
    assert found.withheld == ()


def test_a_bath_of_some_leaves_the_others_as_they_were():
    """Two baths of half of the fish that each leave w of what is on them: 0.5 + 0.5 w² of all is left."""
    life = on_a_fish("gyrodactylus", 16).life
    act = Bath(actives={"sodium_chloride": 250_000.0}, volume_l=10.0, minutes=15.0)
    whole = spared(act, life, ())
    told = by_minute([Timed(n, replace(act, share=0.5)) for n in (1, 2)], 0, 10)
    left = spared(told[1][0], life, ()) * spared(told[2][0], life, ())
    assert left == pytest.approx(0.5 + 0.5 * whole**2)
    assert (whole[life.table.hosted] < 0.5).any()


def test_who_goes_into_the_bath_is_a_share_of_the_fish():
    course = bath(MALES + OTHERS, stock_ids=["danios"])
    (share,) = {s.act.share for s in course.steps if isinstance(s.act, Bath)}
    assert 0 < share < 1
    assert {s.act.share for s in bath().steps if isinstance(s.act, Bath)} == {None}


def test_a_bath_of_one_group_in_the_logbook_counts_for_that_group():
    text = (
        T8
        + LOACHES
        + ('13 May 2026 18:00 bath T8 volume=5L minutes="30 min" stock=danios sodium_chloride=50g\n')
    )
    told = story(room_from(text), "t8", NOW - timedelta(days=7), NOW, FACTS, ())
    (act,) = [a for _, a in told.acts if isinstance(a, Bath)]
    assert 0 < act.share < 1


# Food


def fed():
    text = T8.replace("region=UK", "region=UK") + (
        '1 May 2026 08:04  supply sachet unit=sachet metronidazole="200 mg" held-lawfully=yes\n'
    )
    return text, given(text, "metronidazole", "feed", causes=(GUT,))


def test_medicated_food_counts_on_the_germ_and_leaches_into_the_water():
    """Story 4: the day's drug is under a milligram; what leaches is in the water's level."""
    text, course = fed()
    act = next(s.act for s in course.steps if isinstance(s.act, Feed) and s.act.actives_mg_per_g)
    assert act.food_g * act.actives_mg_per_g["metronidazole"] < 1.0  # mg a day
    beside = ready(text, GUT)
    plain = replace(course, steps=tuple(s for s in course.steps if not isinstance(s.act, Feed)))
    by = NOW + timedelta(days=14)
    with_, without = (beside.judged(c, by) for c in (course, plain))
    on_it, left_alone = (f.gone["spironucleus"].chance[-1].mean() for f in (with_, without))
    assert on_it > left_alone
    assert 0 < with_.peaks["metronidazole"].max() <= course.recipe.food.level_if_leached_mg_l * 5


def test_transfers_are_an_act_of_the_tub_alone():
    course = out(tub_l=10.0)
    assert not any(isinstance(a, Transfer) for _, a in planned_acts(course))
    assert sum(isinstance(a, Transfer) for _, a in tub_acts(course)) == course.without.moves


def test_fish_that_go_into_the_tub_twice_are_not_left_in_it_between():
    """Levamisole a day at a time, a fortnight apart: two tubs, and no chance that they are rid of it."""
    worms = {"causes": ("camallanus",), "regimen_id": "bath", "place": "tub", "tub_l": 10.0}
    course = given(MALES, "levamisole", **worms)
    spans = stays(course)
    assert len(spans) == 2
    assert all((home - out) <= timedelta(days=2) for out, home in spans)
    beside = ready(MALES, "camallanus")
    _, tub = beside.apart(course, course.ends)
    once = replace(course, steps=tuple(s for s in course.steps if s.at <= spans[0][1]))
    _, first = beside.apart(once, course.ends)
    assert np.median(tub.peaks["ammonia_n"]) < 1.5 * np.median(first.peaks["ammonia_n"])
    assert tub.gone == {}
    found = course_chances(course, room_from(MALES), "t8", NOW, FACTS, draws=64)
    assert found.withheld == ("tub-again",)
    assert found.cleared == ()


def test_weighed_food_counts_by_what_was_weighed():
    """The course gives 50 mg for each kilogram of fish a day; a tenth of that food does next to nothing."""
    text, course = fed()
    feeds = [s for s in course.steps if isinstance(s.act, Feed) and s.act.actives_mg_per_g]
    grams = room_from(text).stock["danios"]
    fish_g = living_of([grams], FACTS).fish_g.value
    act = feeds[0].act
    assert act.food_g * act.actives_mg_per_g["metronidazole"] / fish_g * 1000 == pytest.approx(50.0, rel=0.3)
    little = replace(
        course,
        steps=tuple(
            replace(s, act=replace(s.act, food_g=s.act.food_g / 10)) if s in feeds else s
            for s in course.steps
        ),
    )
    beside, by = ready(text, GUT), NOW + timedelta(days=14)
    usual, tenth = (beside.judged(c, by).gone["spironucleus"].chance[-1].mean() for c in (course, little))
    assert usual > 2 * tenth
