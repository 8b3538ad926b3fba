"""Sentences about what is suspected: whole per cents, the plain name, what is recalled said as recalled."""

from datetime import UTC, datetime

from tankward.knowledge.loader import load
from tankward.model.result import GoneBy, Outlook
from tankward.show.words.outlook import RECALLED, cleared_says, gone_says, percent, withheld_says

FACTS = load()
BY = datetime(2026, 3, 14, 9, 0, tzinfo=UTC)


def outlook(organism="dactylogyridae", cause="gill_flukes", **changed):
    chance = GoneBy(by=BY, days=7.0, low=0.0, value=0.2, high=0.4)
    told = {"likely": None, "since_h": 0.0, "counted": False, "series": (), "chances": (chance,)}
    told |= {"holds": "cautious-bound", "acts": ("praziquantel",)}
    return Outlook(organism=organism, cause=cause, **(told | changed))


def test_a_chance_has_its_plain_name_its_day_and_whole_per_cents():
    o = outlook()
    said = gone_says(o, o.chances[0], FACTS)
    assert said.startswith("Gill flukes, all gone in 7 days: ")
    assert said.endswith("(0 to 40 %).")


def test_what_lives_in_every_tank_is_told_by_the_fish():
    o = outlook("columnaris", "columnaris", holds="never-gone")
    assert ", no fish ill in 7 days: " in gone_says(o, o.chances[0], FACTS)
    assert "Gone is no goal" in cleared_says(o, FACTS)


def test_recalled_numbers_are_said_to_be_recalled():
    assert RECALLED in cleared_says(outlook(), FACTS)


def test_a_course_that_kills_none_of_it_says_so():
    assert "is known to kill gill flukes" in cleared_says(outlook(acts=()), FACTS)


def test_a_chance_that_nobody_can_give_is_withheld_with_the_reason():
    said = withheld_says(outlook(chances=(), withheld=("copper",)), FACTS)
    assert said.startswith("Gill flukes, how likely all gone: not said.")
    assert "copper" in said


def test_next_to_nothing_is_under_one_per_cent():
    assert percent(0.0, 0.001) == "under 1 %"
    assert percent(0.2, 0.204) == "20 %"
