"""White grains, loaches and shrimp, walked at the command line and on the page."""

import pytest

from tests.cases.rooms import CASE_2
from tests.cli.asking import NOW, ask, fill


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    folder = tmp_path_factory.mktemp("grains")
    fill(folder, CASE_2)
    return folder


def printed(room, *words):
    return ask(*words, "--room", str(room), "--now", NOW).out


def test_the_signs_head_the_tank_not_a_range_of_nature(room):
    """Kuhli loaches were found in softer water; that is told, and is no limit (rule 7)."""
    first, *rest = printed(room, "now", "W").splitlines()
    assert first == "White spots like salt, today. See what it may be."
    assert any("such a range is no limit" in line for line in rest)


def test_white_spot_likely_and_the_torch_for_gold_dust(room):
    said = printed(room, "causes", "W")
    assert "White spot: extremely likely, perhaps likely. Not certain." in said
    assert "Gold dust" in said.partition("The look that tells most:")[2]


def test_fish_out_comes_first_with_its_days_its_moves_and_cups(room):
    said = printed(room, "options", "W", "--cause", "white_spot")
    assert "First: fish out, the tank without fish." in said
    first = said.partition("What can be done:")[2].partition("in a tub (2 g/L)")[0]
    for words in ("The tank without fish: 14 days", "move the fish every: 12 hours", "moves in all: 15",
                  "with a cup and not with a net", "Moved out, they count as carriers"):  # fmt: skip
        assert words in first


@pytest.mark.parametrize(
    ("remedy", "who"),
    [
        ("Copper sulfate pentahydrate in the tank", "kills cherry shrimp"),
        ("Salt (sodium chloride) in the tank", "more than kuhli loaches bear"),
        ("Malachite green in the tank", "Cherry shrimp must be kept from it"),
        ("Formalin in the tank", "Cherry shrimp must be kept from it"),
        ("Warmer water", "Kuhli loaches must be kept from it"),
    ],
)
def test_each_is_ruled_out_in_plain_sight_with_whom_it_harms(room, remedy, who):
    out = printed(room, "options", "W", "--cause", "white_spot").partition("Ruled out here:")[2]
    assert any(line.startswith(f"  {remedy}: ") and who in line for line in out.splitlines())


def test_no_lower_dose_of_copper_is_a_way(room):
    said = ask("course", "W", "--substance", "copper", "--route", "water_long", "--cause", "white_spot",
               "--level", "0.05", "--room", str(room), "--now", NOW)  # fmt: skip
    assert said.code == 3
    assert "cherry shrimp" in said.err
