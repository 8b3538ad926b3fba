"""A course closed and kept, on the command line: what follows is told, and the next time it is used."""

import shutil

import pytest

from tests.cli.asking import ask_room, fill

SALT = ("--substance", "sodium_chloride", "--route", "water_long", "--cause", "white_spot",
        "--supply", "cooking salt")  # fmt: skip
LATER = "2026-06-20T18:00"


@pytest.fixture(scope="module")
def begun(tmp_path_factory):
    """T1 of cherry barbs, with white spots, in a course of salt from a packet that was counted."""
    folder = tmp_path_factory.mktemp("begun") / "room"
    fill(folder, [
        ("tank", "add", "name=T1", "volume=50 L", "temp=25C", "filter=sponge", "tap=chloramine"),
        ("tank", "add", "name=T2", "volume=50 L", "temp=25C"),
        ("stock", "add", "T1", "kind=18 cherry barbs", "length=3.5cm"),
        ("stock", "add", "T2", "kind=6 cherry barbs"),
        ("shelf", "add", "name=cooking salt", "unit=g", "sodium chloride=1000 mg", "left=500",
         "price=0.01"),
        ("kit", "set", "scale=0.1g", "region=UK"),
        ("log", "reading", "T1", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "ph=7.4", "temp=25C"),
        ("log", "look", "T1", "seen=white spots"),
        ("course", "T1", *SALT, "--begin"),
    ])  # fmt: skip
    return folder


@pytest.fixture
def room(begun, tmp_path):
    """A copy of it."""
    return shutil.copytree(begun, tmp_path / "room")


def asked(room, *words, now=LATER):
    return ask_room(room, *words, now=now)


def test_the_round_asks_and_one_line_closes_it(room):
    due = {row["kind"]: row for row in asked(room, "round").json["due"]}
    assert due["close"]["says"] == "How did the course in T1 end?"
    said = asked(room, "course-close", "T1", "outcome=cleared", "note=none since Monday")
    assert said.code == 0
    found = said.json
    assert (found["outcome"], found["tank"]) == ("cleared", "t1")
    assert [row["tank"] for row in found["looks"]] == ["t1"] * len(found["looks"]) != []
    assert "Cleared, as far as could be seen" in found["says"]
    assert "close" not in {row["kind"] for row in asked(room, "round").json["due"]}
    assert asked(room, "undo", found["entry"][-12:]).code == 0
    assert "close" in {row["kind"] for row in asked(room, "round").json["due"]}


def test_rule_26_those_that_are_sold_too_early_are_told(room):
    asked(room, "course-close", "T1", "outcome=cleared", "cause=camallanus")
    sold = asked(room, "log", "remove", "T1", "stock=cherry barb", "number=2", "why=sold")
    assert sold.code == 0  # what happened is written down
    assert any("is sold, given or mixed before" in line for line in sold.json["cautions"])
    dead = asked(room, "log", "remove", "T1", "stock=cherry barb", "number=1", "why=dead")
    assert dead.json["cautions"] == []


def test_steps_that_were_not_ticked_are_said(room):
    said = asked(room, "course-close", "T1", "outcome=better", now="2026-05-16T18:00")
    assert any("not ticked" in line for line in said.json["cautions"])


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("T1",), "is missing. How did it end?"),
        (("T1", "outcome=gone"), "is not one of cleared, better, no change, worse, dont-know"),
        (("T2", "outcome=better"), "has no course that could be closed"),
        (("T1", "outcome=cleared", "seen=white spots"), "can't be while signs are still seen"),
        (("T1", "outcome=better", "cause=moonlight"), "moonlight"),
        (("T1", "outcome=better", "when=1 May 2026 08:00"), "lies before this course was begun"),
        (("T1", "ends=better"), "is not asked for"),
    ],
)
def test_bad_input_is_one_sentence(room, words, says):
    said = asked(room, "course-close", *words)
    assert said.code == 2
    assert says in said.err and "Traceback" not in said.err
    assert asked(room, "cases").json["cases"] == []


def test_the_case_is_kept_with_its_outcome_and_what_it_cost(room):
    asked(room, "course-close", "T1", "outcome=no change", "cause=velvet")
    (case,) = asked(room, "cases", "T1").json["cases"]
    assert (case["outcome"], case["cause"], case["signs"]) == ("no_change", "velvet", ["white_spots"])
    assert case["substance"] == "sodium_chloride" and case["cost"] is None and case["given"] == []
    assert "Taken to have been velvet" in case["says"]
    assert asked(room, "cases", "T2").json["cases"] == []


def test_what_worked_or_did_not_stands_with_the_remedy(room):
    asked(room, "course-close", "T1", "outcome=no change", "cause=white spot")
    salt = next(
        row for row in asked(room, "options", "T1", "--cause", "white_spot").json["open"]
        if (row["substance"], row["route"]) == ("sodium_chloride", "water_long")
    )  # fmt: skip
    assert salt["here"] == ["Here it did not help, 14 May."]
    asked(room, "log", "look", "T2", "seen=white spots")
    there = next(
        row for row in asked(room, "options", "T2", "--cause", "white_spot").json["open"]
        if (row["substance"], row["route"]) == ("sodium_chloride", "water_long")
    )  # fmt: skip
    assert there["here"] == ["In T1 it did not help, 14 May."]
