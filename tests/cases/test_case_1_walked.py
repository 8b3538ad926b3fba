"""Thin livebearers, walked at the command line: what is printed, compared with what an expert expects."""

import pytest

from tests.cases.rooms import CASE_1
from tests.cli.asking import NOW, ask, fill


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    folder = tmp_path_factory.mktemp("thin")
    fill(folder, CASE_1)
    return folder


def printed(room, *words):
    """What is read on the screen, not the JSON."""
    return ask(*words, "--room", str(room), "--now", NOW)


def test_the_water_is_63_litres_not_75(room):
    """By hand: 75.5 x 30 x 31 cm is 70.2 L; less 4 cm of grains at 0.6 solid, 5.4; less 2 of wood."""
    assert printed(room, "tank", "show", "T1").out.startswith("T1 holds about 63 L of water (60 to 66 L).")


def test_several_causes_and_none_certain_and_what_the_droppings_do_not_say(room):
    said = printed(room, "causes", "T1").out
    assert "Neither is certain." in said
    assert "White stringy droppings: an empty, slimy gut; it does not say why." in said
    for name in ("gut flagellates", "red gut worms", "too little food", "fish tuberculosis", "hair worms"):
        assert f"  {name}" in said


def test_tuberculosis_says_gloves(room):
    said = printed(room, "causes", "T1").out
    assert "gloves, no mouth siphon" in said


def test_the_next_look_scores_the_back_and_takes_a_torch_to_the_vent(room):
    said = printed(room, "causes", "T1").out.partition("The look that tells most:")[2]
    assert "Knife-like back" in said
    assert "Red threads at the vent (25 minutes)" in said  # five resting fish, five minutes each


def test_where_nothing_was_seen_nothing_is_named(tmp_path):
    fill(tmp_path, [CASE_1[0]])
    said = printed(tmp_path, "causes", "T1").out
    assert "Nothing was seen, so no cause is named." in said
    assert "Worth a look:" in said
    assert "tuberculosis" not in said and "perhaps" not in said
