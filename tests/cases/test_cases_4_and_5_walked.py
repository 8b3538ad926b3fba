"""Arrivals with fry about, and winding down: as far as commands and sums answer them."""

import pytest

from tests.cases.rooms import CASE_4, CASE_5
from tests.cli.asking import NOW, ask, fill


@pytest.fixture(scope="module")
def arrivals(tmp_path_factory):
    folder = tmp_path_factory.mktemp("arrivals")
    fill(folder, CASE_4)
    return folder


@pytest.fixture(scope="module")
def leftovers(tmp_path_factory):
    folder = tmp_path_factory.mktemp("leftovers")
    fill(folder, CASE_5)
    return folder


def printed(room, *words):
    return ask(*words, "--room", str(room), "--now", NOW).out


# Case 4


def test_what_four_grams_make_of_ammonia_in_28_litres(arrivals):
    """4 g fed 3 % of food with 45 % protein: 0.18 mg/L TAN-N a day; at pH 8.0, 25 C 0.02 NH3-N on day 3."""
    said = printed(arrivals, "calc", "ammonia-made", "food=0.12g", "protein=45%", "volume=28L", "ph=8.0",
                   "temp=25C")  # fmt: skip
    assert "0.18 mg/L a day" in said
    assert "days to 0.02 mg/L of the poisonous part: 2.1 days" in said


def test_newcomers_who_look_well_get_no_medicine_named(arrivals):
    said = printed(arrivals, "causes", "A")
    assert "Nothing was seen, so no cause is named." in said


def test_how_long_they_stay_apart_is_known_with_its_source(arrivals):
    said = printed(arrivals, "facts", "quarantine")
    assert "30 d statement minimum used by 95 percent" in said
    assert "starts the clock again for the whole tank" in said


def test_young_are_presumed_where_both_sexes_may_be(arrivals):
    said = printed(arrivals, "options", "A", "--cause", "skin_flukes")
    assert "fry of platies" in said


# Case 5


def test_a_fish_nobody_can_name_is_held_to_the_strictest(leftovers):
    said = printed(leftovers, "options", "T1", "--cause", "camallanus")
    care = next(line for line in said.splitlines() if line.strip().startswith("care:"))
    assert "the timid two" in care


def test_the_bleach_of_the_last_day(leftovers):
    """63 L at 200 mg/L of 5 % bleach is 252 mL; 12.6 g of chlorine x 7 is 88 g of thiosulfate."""
    said = printed(leftovers, "calc", "bleach", "strength=5%", "target=200mg/L", "volume=63L")
    assert said.startswith("252 mL of bleach; after it, 88 g of thiosulfate pentahydrate.")
    assert "Never with animals in the water" in said


def test_what_goes_to_the_sewer_and_what_never_leaves(leftovers):
    said = printed(leftovers, "facts", "disposal")
    assert "never release fish" in said
    assert "foul sewer" in said
