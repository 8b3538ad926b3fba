"""what-now as a script relies on it: steps with act, amount and why, then what to ask; kept when told to."""

import pytest

from .asking import ask, ask_room, digest, fill

NOW = "2026-05-14T18:00"
ROOM = [
    ("tank", "add", "name=A", "volume=35L", "temp=25C", "filter=sponge"),
    ("tank", "add", "name=B", "volume=20L", "temp=25C", "filter=sponge"),
    ("stock", "add", "A", "kind=10 neon_rainbow", "length=4cm"),
    ("stock", "add", "B", "kind=20 cherry_shrimp"),
    ("log", "reading", "A", "ph=7.4", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "temp=25C"),
    ("log", "dose", "A", "metronidazole=175mg", "when=2 hours ago"),
]
DID = (
    "dosed twice", "dosed ten times", "spilled half", "forgot a dose", "carbon left in", "wrong tank B",
    "heater stuck 31C", "heater went cold 19C", "power cut 6 h", "forgot the water change",
    "water change 80 %", "added 2 guppies", "they spat out the food", "tap water without dechlorinator",
    "water ran out, 80 %", "sang to them",
)  # fmt: skip


@pytest.fixture
def room(tmp_path):
    fill(tmp_path, ROOM, NOW)
    return tmp_path


@pytest.mark.parametrize("did", DID)
def test_every_slip_answers_steps_then_what_to_ask(room, did):
    said = ask_room(room, "what-now", "A", "--did", did, now=NOW)
    assert (said.code, said.err) == (0, "")
    found = said.json
    for step in found["steps"]:
        assert step["act"]
        assert step["says"]
        assert isinstance(step["amount"], str)
        assert step["why"]
    assert found["steps"][-1]["act"] == "look"
    assert found["ask"]


@pytest.mark.parametrize("did", DID)
def test_nothing_is_written_unless_asked(room, did):
    before = digest(room)
    said = ask_room(room, "what-now", "A", "--did", did, now=NOW).json
    assert digest(room) == before
    assert said["written"] == []


def test_kept_it_stands_in_the_log_and_undo_takes_it_back(room):
    said = ask_room(room, "what-now", "A", "--did", "dosed ten times", "--keep", now=NOW).json
    assert len(said["written"]) == 2
    assert said["would_write"]
    found = ask_room(room, "find", "metronidazole", now=NOW).json
    assert "1.8 g" in str(found) or "1750" in str(found)
    assert ask_room(room, "undo", said["written"][-1], now=NOW).code == 0
    again = ask_room(room, "what-now", "A", "--did", "dosed twice", now=NOW).json
    assert again["in_water"][0]["value"] == pytest.approx(10.0, rel=0.1)  # 350 mg in 35 L


def test_an_overdose_comes_with_litres_times_and_levels(room):
    said = ask_room(room, "what-now", "A", "--did", "dosed ten times", now=NOW).json
    changes = [s for s in said["steps"] if s["act"] == "change"]
    assert [s["amount"] for s in changes] == ["18 L"] * len(changes)
    assert len(changes) >= 3
    assert changes[0]["at"] == ""
    assert changes[1]["at"].startswith("2026-05-14T")
    assert changes[0]["how"]
    (water,) = said["in_water"]
    assert (water["safe"], water["unit"], water["changes"]) == (6.6, "mg/L", len(changes))


def test_the_wrong_tank_answers_for_the_tank_that_got_it(room):
    said = ask_room(room, "what-now", "A", "--did", "wrong tank B", now=NOW).json
    assert said["tank"] == "b"
    assert said["says"].startswith("B: ")


def test_a_power_cut_says_which_tank_comes_first(room):
    said = ask_room(room, "what-now", "A", "--did", "power cut", now=NOW).json
    assert {row["tank"] for row in said["first"]} == {"a", "b"}
    assert [s["act"] for s in said["steps"]][:2] == ["air", "oxygen"]


def test_danger_comes_before_the_slip(room):
    words = ("what-now", "A", "--seen", "gasping at the surface", "--did", "carbon left in")
    said = ask_room(room, *words, now=NOW).json
    assert [s["act"] for s in said["steps"]][:2] == ["air", "stop"]
    assert "short of air" in said["says"]


def test_without_a_tank_it_answers_for_any_water_and_keeps_nothing():
    for did in DID:
        said = ask("what-now", "--did", did, "--now", NOW, "--json")
        assert said.code == 0, said.err
        assert said.json["steps"]
    refused = ask("what-now", "--did", "dosed twice", "--keep", "--now", NOW)
    assert (refused.code, refused.out) == (2, "")
    assert "needs a tank" in refused.err


def test_what_cannot_be_taken_is_said_in_a_sentence(tmp_path):
    fill(tmp_path, ROOM[:5], NOW)
    said = ask_room(tmp_path, "what-now", "A", "--did", "dosed twice", now=NOW)
    assert said.code == 0
    assert "What went in, and how much?" in said.json["says"]
    assert said.json["steps"][0]["act"] == "stop"


def test_a_tank_that_is_none(room):
    said = ask("what-now", "Z", "--did", "dosed twice", "--room", str(room), "--now", NOW)
    assert (said.code, said.out) == (2, "")
    assert said.err.strip() == 'tank: "Z" is no tank here. There are A, B.'
