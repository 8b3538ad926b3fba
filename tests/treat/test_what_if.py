"""What if: one thing of a plan changed, only where it would change anything and everyone bears it."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.knowledge.loader import load
from tankward.model.forecast import forecast
from tankward.model.suspect import Suspect
from tankward.room.acts import Change, Dose, Heat, LookAgain
from tankward.room.text import room_of_text
from tankward.show.words.what_if import SAME, not_asked, other_rows
from tankward.treat.course.what_if import changed, offers, warmth_now, what_if

FACTS = load()
NOW = datetime(2026, 3, 7, 9, 20, tzinfo=UTC)
TANK = """
1 March 2026 08:00  tank     Nursery  volume="54 L" temp={temp} filter=sponge filter-age="12 weeks" light=8h
1 March 2026 08:05  stock    Nursery  kind=guppy name=guppies number=20 length=2.5cm
6 March 2026 20:00  reading  Nursery  temp={temp}
"""
DOSE = Dose(actives={"praziquantel": 135.0})
D1, D2 = NOW + timedelta(hours=9), NOW + timedelta(days=4)
PLAN = [(D1, Change(share=0.3)), (D1, DOSE), (D2, Change(share=0.3)), (D2, DOSE)]


def room_at(temp="24C", more=""):
    return room_of_text(TANK.format(temp=temp) + more)


def found_in(room, planned=PLAN, suspects=()):
    return forecast(room, "nursery", NOW, facts=FACTS, planned=planned, draws=64, days=7, suspects=suspects)


def asked_of(room, found, planned):
    return offers(room, "nursery", warmth_now(found), planned, FACTS)


@pytest.fixture(scope="module")
def found():
    return found_in(room_at())


def test_a_dose_a_day_later_takes_its_change_along_and_leaves_the_rest(found):
    day = timedelta(days=1)
    assert changed("later", PLAN, found, FACTS) == [(D1 + day, PLAN[0][1]), (D1 + day, DOSE), *PLAN[2:]]


def test_a_dose_that_is_skipped_leaves_its_change(found):
    assert changed("skip", PLAN, found, FACTS) == [PLAN[0], *PLAN[2:]]


def test_more_is_half_at_every_change_and_half_once_more_where_it_is_half_already(found):
    more = changed("more", PLAN, found, FACTS)
    assert [act.share for _, act in more if isinstance(act, Change)] == [0.5, 0.5]
    half = [(D1, Change(share=0.5))]
    assert changed("more", half, found, FACTS) == [(NOW + timedelta(days=1), Change(share=0.5)), *half]
    assert [o.of for o in asked_of(room_at(), found, half)][:3] == ["change", "change", "extra"]


def test_nothing_is_asked_of_a_plan_that_is_over(found):
    assert asked_of(room_at(), found, []) == ()


def test_a_plan_of_looks_has_nothing_to_put_off(found):
    looks = [(D1, LookAgain())]
    assert [o.kind for o in asked_of(room_at(), found, looks)] == ["more", "warmer"]


def test_two_degrees_more_are_asked_within_what_everyone_bears(found):
    cool = room_at("24C")
    assert [o.why for o in asked_of(cool, found, PLAN)] == ["", "", "", ""]
    warm = room_at("29C")
    refused = asked_of(warm, found_in(warm), PLAN)[-1]
    assert (refused.kind, refused.why, refused.who) == ("warmer", "too-warm", "guppies")
    assert "guppies stand" in not_asked(refused)


def test_where_nobody_knows_how_warm_it_is_warmer_is_not_asked():
    assert "warmer" not in [o.kind for o in offers(room_at(), "nursery", None, PLAN, FACTS)]


def test_an_animal_whose_warmth_nobody_knows_stands_against_it(found):
    strange = room_at(more="1 March 2026 08:06  stock Nursery  kind=unheard_of name=strangers number=2\n")
    refused = asked_of(strange, found, PLAN)[-1]
    assert (refused.why, refused.who) == ("nobody-knows", "strangers")
    assert "nobody knows" in not_asked(refused)


def test_plants_are_asked_too(found):
    top = FACTS.plants["anubias"].temp_high_c
    planted = "1 March 2026 08:06  stock Nursery  kind=anubias number=2\n"
    assert asked_of(room_at(more=planted), found, PLAN)[-1].why == ""
    hot = offers(room_at(more=planted), "nursery", top - 1.0, PLAN, FACTS)[-1]
    assert hot.why == "too-warm"
    assert hot.top_c is not None and hot.top_c <= top


def test_a_course_of_warmth_is_not_made_warmer(found):
    heat = [(D1, Heat(temp_c=28.0))]
    assert "warmer" not in [o.kind for o in asked_of(room_at(), found, heat)]


def test_a_skipped_dose_lowers_the_peak_and_the_plan_stands_beside_it():
    room = room_at()
    once = PLAN[:2]
    plain = found_in(room, once)
    told = what_if(room, "skip", plain, once, FACTS)
    (drug,) = told.drugs
    assert drug.plain == plain.peak("praziquantel")
    assert (drug.other.low, drug.other.high) == (0.0, 0.0)
    assert other_rows(told, FACTS)[0].says == "none"


def test_two_doses_on_one_evening_peak_higher():
    room = room_at()
    plan = [(D1, DOSE), (D1 + timedelta(days=1), DOSE)]
    plain = found_in(room, plan)
    (drug,) = what_if(room, "later", plain, plan, FACTS).drugs
    assert drug.other.value > drug.plain.value
    row = other_rows(what_if(room, "later", plain, plan, FACTS), FACTS)[0]
    assert row.what == "Praziquantel, highest"
    assert row.planned.startswith("As planned: ") and row.planned != SAME


def test_warmer_water_holds_less_oxygen_and_the_chance_stands_beside(found):
    room = room_at()
    suspects = (Suspect(organism="dactylogyridae", cause="gill_flukes"),)
    plain = found_in(room, suspects=suspects)
    told = what_if(room, "warmer", plain, PLAN, FACTS)
    assert told.oxygen.other.value < told.oxygen.plain.value
    row = other_rows(told, FACTS)[-1]
    assert row.what.startswith("Gill flukes, all gone in 7 days")
    assert row.low is not None and row.high is not None and row.low <= row.high
