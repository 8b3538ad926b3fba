"""The whole walk in an empty folder, and what a script may rely on in each of its answers."""

from pathlib import Path

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
    out = tmp_path_factory.mktemp("prints")
    for name, words in walk.ASKS.items():
        found[name] = (words, ask_room(room, *(w.replace("{folder}", str(out)) for w in words)))
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
    return msgspec.json.decode(msgspec.json.encode(read)) == msgspec.json.decode(text)


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


def test_what_can_be_done_and_what_is_ruled_out_for_whom(walked):
    answer = walked["options"][1].json
    assert "praziquantel" in {row["substance"] for row in answer["open"]}
    formalin = next(row for row in answer["ruled_out"] if row["substance"] == "formalin")
    assert formalin["because"] and formalin["would_change"]


def test_the_course_has_amounts_dates_and_what_to_put_back(walked):
    """2 mg/L in 46.4 L is 93 mg of praziquantel: 0.93 g of a powder that holds a tenth of it."""
    answer = walked["course"][1].json
    dose = next(row for row in answer["steps"] if row["kind"] == "dose")
    assert "0.93 g" in dose["amount"]
    assert dose["value"] == pytest.approx(2 * 46.43 / 0.1, rel=0.01)
    times = [row["at"] for row in answer["steps"]]
    assert times == sorted(times) and times[0] >= walk.NOW
    assert answer["put_back"][0]["lasting"] < answer["put_back"][0]["likely"] <= answer["put_back"][0]["gone"]
    assert answer["begun"] == "" and walked["begin"][1].json["begun"]


def test_the_sheet_is_a_pdf(walked):
    for name, paper in (("print", "a4"), ("print what runs", "letter")):
        (row,) = walked[name][1].json["sheets"]
        assert row["paper"] == paper and row["pages"] >= 2
        assert Path(row["path"]).read_bytes().startswith(b"%PDF")


def test_a_begun_course_is_in_the_forecast(walked):
    before, after = (walked[n][1].json for n in ("forecast", "forecast of the course"))
    assert "praziquantel" not in {row["name"] for row in before["series"]}
    dosed = next(row for row in after["series"] if row["name"] == "praziquantel")
    assert max(dosed["value"]) == pytest.approx(2.0, rel=0.1)  # mg/L, as the course gives


def test_the_forecast_has_bands_in_order(walked):
    answer = walked["forecast"][1].json
    assert {"ammonia_n", "oxygen"} <= {row["name"] for row in answer["series"]}
    for row in answer["series"]:
        assert len(row["low"]) == len(row["value"]) == len(row["high"]) == len(answer["times"])
        known = [
            t for t in zip(row["low"], row["value"], row["high"], strict=True) if t != (None, None, None)
        ]
        assert known  # an organism has no number before it is followed
        assert all(a <= b <= c for a, b, c in known)
