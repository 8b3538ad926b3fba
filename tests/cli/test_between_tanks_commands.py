"""contact, quarantine, wind-down: what they refuse to read, and what they write."""

import pytest

from tests.cli.asking import ask_room, fill
from tests.cli.json_numbers import bare_numbers


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    """Two tanks that shared a net, white spots in one; an empty one."""
    folder = tmp_path_factory.mktemp("between") / "room"
    fill(folder, [
        ("tank", "add", "name=T1", "volume=50 L", "temp=25C"),
        ("tank", "add", "name=T2", "volume=30 L", "temp=25C"),
        ("tank", "add", "name=Q", "volume=20 L", "temp=25C"),
        ("stock", "add", "T1", "kind=18 cherry barbs"),
        ("stock", "add", "T2", "kind=6 cherry barbs"),
        ("log", "look", "T1", "seen=white spots"),
        ("log", "clean", "T1", "what=net", "how=blue"),
        ("log", "clean", "T2", "what=net", "how=blue"),
    ])  # fmt: skip
    return folder


@pytest.mark.parametrize(
    ("words", "field"),
    [
        (("contact", "T9"), "tank"),
        (("quarantine", "Z"), "tank"),
        (("quarantine", "animals=8 dragons"), "animals"),
        (("quarantine", "T1", "auction=3 platies"), "tank"),
        (("quarantine", "--begin"), "animals"),
        (("quarantine", "auction=3 platies", "swap=2 guppies", "--begin"), "into"),
        (("wind-down", "T9"), "tank"),
        (("wind-down", "T1", "strength=blue"), "strength"),
        (("wind-down", "T1", "colour=red"), "colour"),
        (("wind-down", "T1", "stock=cherry barbs"), "goes"),
        (("wind-down", "T1", "stock=cherry barbs", "goes=Z"), "goes"),
    ],
)
def test_bad_input_is_one_sentence_that_names_its_field(room, words, field):
    said = ask_room(room, *words)
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith(f"{field}:") and said.err.count("\n") == 1


def test_contact_names_the_tank_the_way_the_day_and_its_numbers(room):
    found = ask_room(room, "contact", "T1").json
    (row,) = found["contacts"]
    assert (row["tank"], row["path"][0]["way"], row["path"][0]["what"]) == ("t2", "net", "blue")
    first = row["chances"][0]
    assert first["cause"] == "white_spot" and first["status"] == "memory" and first["known"]
    assert first["low"] < first["value"] < first["high"]
    assert row["looks"][-1]["on"] == row["until"]
    assert bare_numbers(found) == []


def test_a_tank_that_met_an_ill_one_is_told_both_ways(room):
    """A net knows no direction: the well one met the ill one by it, and the ill one the well."""
    assert [c["tank"] for c in ask_room(room, "contact", "T2").json["contacts"]] == ["t1"]


def test_who_is_on_hold_is_not_sold_by_way_of_winding_down(room):
    said = ask_room(room, "wind-down", "T1", "stock=cherry barbs", "goes=sold")
    assert (said.code, said.json["refused"]) == (3, True)
    assert said.json["reasons"][0]["kind"] == "held"


def test_every_number_of_a_closing_and_a_quarantine_can_be_checked(room):
    for words in (("wind-down", "T1"), ("quarantine", "auction=8 platies 2.5cm", "food=3 %")):
        assert bare_numbers(ask_room(room, *words).json) == []


def test_begin_writes_each_group_with_its_source(room, tmp_path):
    fill(tmp_path, [("tank", "add", "name=Q", "volume=20 L", "temp=25C")])
    kept = ask_room(tmp_path, "quarantine", "auction=8 platies 2.5cm; 2 guppies", "--begin").json
    assert len(kept["entries"]) == 2
    (apart,) = ask_room(tmp_path, "quarantine").json["apart"]
    assert (apart["tank"], len(apart["stock"]), apart["over"]) == ("q", 2, "2026-06-11")
    assert ask_room(tmp_path, "round", now="2026-05-17T20:00").json["due"][0]["kind"] == "newcomer-look"
