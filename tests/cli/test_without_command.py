"""`tankward course --remedy`: fish out and the like as dated steps, begun, in the round, on paper."""

import pytest

from tankward.desk.desk import Desk
from tankward.room.entries.acts import CourseBegun
from tests.cases.rooms import CASE_2

from .asking import ask_room, fill
from .json_numbers import bare_numbers

OUT = ("--remedy", "fish_out", "--cause", "white_spot", "--tub", "40 L")


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    folder = tmp_path_factory.mktemp("grains")
    fill(folder, CASE_2)
    return folder


@pytest.fixture(scope="module")
def answer(room):
    said = ask_room(room, "course", "W", *OUT)
    assert said.code == 0, said.err
    return said.json


def of(answer, kind):
    return [s for s in answer["steps"] if s["kind"] == kind]


def test_it_says_who_leaves_for_how_long_and_into_what(answer):
    assert answer["says"].startswith(
        "Tonight in W: all fish out of the tank for 14 days in two tubs of 40 L, "
    )
    assert "moved every 12 hours for 8 days" in answer["says"]
    assert (answer["remedy"], answer["substance"], answer["place"]) == ("fish_out", "", "tub")


def test_fifteen_moves_each_with_its_litres(answer):
    moves = of(answer, "transfer")
    assert len(moves) == 15
    assert {m["value"] for m in moves} == {40.0}
    (empty,) = of(answer, "tank-empty")
    assert empty["value"] == 14.0
    assert empty["how"][-1]["step"] == "without fish"


def test_no_number_is_bare(answer):
    assert bare_numbers(answer) == []


def test_the_chances_tell_where(answer):
    where = {(c["what"], c["where"]) for c in answer["chances"]}
    assert {("nh3", "tank"), ("nh3", "tub"), ("clear", "both"), ("clear", "tank"), ("clear", "tub")} <= where


def test_the_remedy_may_be_written_as_a_route_and_in_its_own_words(room):
    for words in (("--route", "fish-out"), ("--remedy", "fish out")):
        said = ask_room(room, "course", "W", *words, "--cause", "white_spot", "--every", "8h", "--tub", "40L")
        assert said.code == 0, said.err
        assert len(of(said.json, "transfer")) == 23


@pytest.mark.parametrize(
    ("more", "field"),
    [
        (("--remedy", "prayer"), "remedy"),
        ((), "substance"),
        (("--remedy", "fish_out", "--substance", "copper"), "substance"),
        (("--remedy", "fish_out", "--every", "often"), "every"),
        (("--remedy", "daily_siphon", "--change", "90%"), "change"),
    ],
)
def test_bad_input_is_one_sentence(room, more, field):
    said = ask_room(room, "course", "W", *more, "--cause", "white_spot")
    assert said.code == 2
    assert said.err.startswith(f"{field}: ")
    assert len(said.err.strip().splitlines()) == 1


def test_begun_it_is_in_the_round_and_what_is_done_in_the_tub_is_not_done_in_the_tank(tmp_path):
    fill(tmp_path, CASE_2)
    said = ask_room(tmp_path, "course", "W", *OUT, "--begin")
    assert said.code == 0, said.err
    with Desk.open(tmp_path) as desk:
        (begun,) = [e for e in desk.entries() if isinstance(e, CourseBegun)]
    assert begun.remedy == "fish_out"
    assert {type(s.act).__name__ for s in begun.steps if s.tub} >= {"Dose", "Transfer", "Feed", "Change"}
    today = ask_room(tmp_path, "round").json
    assert any("two bare tubs ready" in row["says"].lower() for row in today["steps"])
    out = tmp_path / "sheet.pdf"
    assert ask_room(tmp_path, "print", "course", "W", "--out", str(out)).code == 0
    assert out.read_bytes().startswith(b"%PDF")
