"""More dead than live there: asked back in one sentence, nothing is written."""

import pytest

from tests.cli.asking import ask_room, digest, fill

ROOM = (
    ("tank", "add", "name=T1", "volume=60L"),
    ("stock", "add", "T1", "kind=4 pygmy cory"),
)


@pytest.fixture
def room(tmp_path):
    fill(tmp_path, ROOM)
    return tmp_path


@pytest.mark.parametrize("kind", ["death", "remove", "not-found"])
def test_more_than_live_there_is_asked_back(room, kind):
    before = digest(room)
    said = ask_room(room, "log", kind, "T1", "stock=pygmy cory", "number=9")
    assert said.code == 2
    assert said.err.strip() == (
        'number: "9" is more than the 4 pygmy cory written down here. If there were more, write down how '
        "many there were first (counted), then this."
    )
    assert digest(room) == before


def test_the_dead_that_were_told_of_may_still_be_taken_out(room):
    fill(room, [("log", "death", "T1", "stock=pygmy cory", "number=4")])
    assert ask_room(room, "log", "remove", "T1", "stock=pygmy cory", "number=4", "why=dead").code == 0
    assert ask_room(room, "log", "remove", "T1", "stock=pygmy cory", "number=1", "why=dead").code == 2


def test_after_a_count_it_is_taken(room):
    fill(room, [("log", "counted", "T1", "stock=pygmy cory", "number=12")])
    assert ask_room(room, "log", "death", "T1", "stock=pygmy cory", "number=9").code == 0


def test_a_number_that_was_a_guess_is_held_against_its_high_end(room):
    fill(room, [("log", "counted", "T1", "stock=pygmy cory", "number=about 10")])
    assert ask_room(room, "log", "death", "T1", "stock=pygmy cory", "number=11").code == 0
