"""`tankward forecast`: everything it answers, in stable names; what can't be read is one sentence."""

from datetime import datetime

import pytest

from tests.cli.asking import NOW, ask, ask_room, fill

TANK = ("tank", "add", "name=T1", "volume=46L", "filter=sponge", "temp=25C")
WRITES = (
    TANK,
    ("stock", "add", "T1", "kind=18 cherry barbs", "length=3.5cm"),
    ("stock", "add", "T1", "kind=2 nerite snails"),
    ("shelf", "add", "name=invented powder", "unit=g", "praziquantel=100 mg"),
    ("log", "reading", "T1", "ammonia=0.25 mg/L as N", "nitrite=0 mg/L as N", "ph=7.6", "temp=25C"),
    ("log", "dose", "T1", "supply=invented powder", "units=0.93"),
)
GONE_ON = [3, 7, 14, 21, 28]


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    folder = tmp_path_factory.mktemp("rooms") / "room"
    fill(folder, WRITES)
    return folder


@pytest.fixture(scope="module")
def answer(room):
    said = ask_room(room, "forecast", "T1", "for", "gill_flukes")
    assert said.code == 0, said.err
    return said.json


def test_a_medicine_has_its_level_and_when_it_falls_under_what_matters(answer):
    (drug,) = answer["drugs"]
    assert (drug["substance"], drug["where"], drug["unit"]) == ("praziquantel", "water", "mg/L")
    assert 1.9 < drug["low"] <= drug["value"] <= drug["high"] < 2.1  # 93 mg in 46 L, just now
    for line in (drug["works"], drug["bothers"]):
        assert line["unit"] == "mg/L" and line["status"]
        first = line["first"]
        hours = [h for h in (first["low_h"], first["value_h"], first["high_h"]) if h is not None]
        assert hours == sorted(hours)
        told, at = first["low_h"], first["low_at"]
        assert (told is None) == (at is None)
        if at is not None:
            begun = datetime.fromisoformat(NOW).astimezone()
            assert (datetime.fromisoformat(at) - begun).total_seconds() / 3600 == pytest.approx(told, abs=0.1)
    assert drug["bothers"]["who"] == ["cherry barbs"]


def test_how_likely_it_is_gone_is_told_for_each_day_with_what_that_is_worth(answer):
    rows = [c for c in answer["chances"] if c["what"] == "gone dactylogyridae"]
    assert [c["days"] for c in rows] == pytest.approx(GONE_ON, abs=0.05)
    for c in rows:
        assert 0 <= c["low"] <= c["value"] <= c["high"] <= 1
        assert c["organism"] == "dactylogyridae"
        assert c["holds"] in ("cautious-bound", "while-few", "never-gone")


def test_parasites_are_told_by_place(answer):
    places = {row["where"] for row in answer["series"] if row["name"] == "dactylogyridae"}
    assert {"on fish", "water", "surfaces"} <= places
    (one,) = answer["suspects"]
    assert any("free in the water" in line for line in one["says"])


def test_what_todays_readings_changed_is_told(answer):
    told = answer["learned"]
    assert {"ammonia_n", "nitrite_n", "ph", "temp_c"} == set(told["read"])
    assert {m["kind"] for m in told["moved"]} <= {"peak", "least"}
    assert told["fits"] is True and told["draws"] > 1


def test_what_is_missing_is_said(answer):
    assert any(line.startswith("pH is taken to stay as it was read") for line in answer["missing"])
    assert "null" not in answer["says"] and "nan" not in answer["says"]


def test_the_text_says_the_same_shortly(room):
    said = ask("forecast", "T1", "days=3", "--room", str(room), "--now", NOW)
    assert said.code == 0
    lines = said.out.splitlines()
    assert any(line.startswith("Praziquantel in the water: ") for line in lines)
    assert "Not known here, so the ranges are wide:" in lines
    assert "If it is" not in said.out  # nothing was seen


def test_without_an_organism_it_reaches_a_week(room):
    times = ask_room(room, "forecast", "T1").json["times"]
    assert times[-1] == pytest.approx(14 * 24, abs=1)  # a week back, a week ahead


@pytest.mark.parametrize(
    ("words", "field", "accepted"),
    [
        (("days=40",), "days", "up to 28"),
        (("days=0",), "days", "over 0"),
        (("days=soon",), "days", "not a number"),
        (("weeks=2",), "forecast", "Write days=14"),
        (("for",), "for", "names no cause"),
        (("for", "nonsense"), "cause", "no cause known here"),
        (("for", "constipation"), "for", "no organism"),
    ],
)
def test_what_cannot_be_read_is_one_sentence(room, words, field, accepted):
    said = ask("forecast", "T1", *words, "--room", str(room), "--now", NOW)
    assert said.code == 2
    assert said.err.startswith(f"{field}: ")
    assert accepted in said.err
    assert len(said.err.splitlines()) == 1
