"""The whole walk in an empty folder, and what a script may rely on in each of its answers."""

import msgspec
import pytest

from tankward.cli.main import _command, build, declared
from tests.cli import walk
from tests.cli.asking import ask, ask_room
from tests.cli.json_numbers import bare_numbers

NAMES = [*(f"write {n}" for n in range(len(walk.WRITES))), *walk.ASKS, *walk.NO_ROOM]


@pytest.fixture(scope="module")
def walked(tmp_path_factory):
    """Every answer of the walk by its name."""
    room = tmp_path_factory.mktemp("keeper")
    found = {}
    for n, words in enumerate(walk.WRITES):
        found[f"write {n}"] = (words, ask_room(room, *words))
    for name, words in walk.ASKS.items():
        found[name] = (words, ask_room(room, *words))
    for name, words in walk.NO_ROOM.items():
        found[name] = (words, ask(*words, "--now", walk.NOW, "--json"))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_each_command_answers_one_object_and_nothing_else(walked, name):
    words, said = walked[name]
    assert (said.code, said.err) == (0, ""), words
    assert said.json["says"]
    assert said.json["now"].startswith(walk.NOW)
    assert said.json["refused"] is False


@pytest.mark.parametrize("name", NAMES)
def test_every_number_has_its_working_or_its_source(walked, name):
    assert bare_numbers(walked[name][1].json) == []


@pytest.mark.parametrize("name", NAMES)
def test_the_answer_is_what_its_schema_says(walked, name):
    words, said = walked[name]
    kinds = declared(_command(build(), list(words)))
    assert any(_fits(said.out, kind) for kind in kinds), kinds


def _fits(text, kind):
    """Decodes into the declared record, and nothing is left over."""
    try:
        read = msgspec.json.decode(text, type=kind)
    except msgspec.ValidationError:
        return False
    return msgspec.to_builtins(read) == msgspec.json.decode(text)


def test_the_water_is_46_litres(walked):
    """By hand: (60 - 1.2) x (30 - 1.2) x 31 = 52.5 L, less 4 cm of gravel at 0.6 solid (4.1 L), less 2 L."""
    water = walked["tank"][1].json["water"]
    assert water["shown"] == "46 L"
    assert (round(water["low"]), round(water["high"])) == (44, 49)


def test_who_lives_there_is_told(walked):
    told = "\n".join(walked["stock"][1].json["rows"])
    for words in ("18", "barb", "30", "shrimp", "2", "nerite", "moss"):
        assert words in told


def test_the_look_leads_to_causes(walked):
    answer = walked["causes"][1].json
    flukes = next(row for row in answer["ranked"] if row["id"] == "skin_flukes")
    assert "flashing" in flukes["speaks_for"]
    assert all(row["low"] <= row["value"] <= row["high"] for row in answer["ranked"])


def test_gasping_is_answered_before_anything_else(walked):
    steps = walked["what-now said"][1].json["steps"]
    assert [s["act"] for s in steps][:2] == ["air", "stop"]  # safety: air first, then nothing more goes in


def test_the_forecast_has_bands_in_order(walked):
    answer = walked["forecast"][1].json
    assert {"ammonia_n", "oxygen"} <= {row["name"] for row in answer["series"]}
    for row in answer["series"]:
        assert len(row["low"]) == len(row["value"]) == len(row["high"]) == len(answer["times"])
        assert all(a <= b <= c for a, b, c in zip(row["low"], row["value"], row["high"], strict=True))
