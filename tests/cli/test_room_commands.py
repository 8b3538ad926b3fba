"""Entries at the command line: several tanks at once, found by days, taken back, put right."""

import pytest

from .asking import ask, ask_room, fill

TANKS = (
    ("tank", "add", "name=T1", "volume=50 L", "shelf=row A"),
    ("tank", "add", "name=T2", "volume=30 L", "shelf=row B"),
    ("tank", "add", "name=T3", "volume=20 L", "shelf=row B"),
)


@pytest.fixture
def room(tmp_path):
    fill(tmp_path, TANKS)
    return tmp_path


def acts(room, tank):
    return [line for line in ask_room(room, "tank", "show", tank).json["log"] if "  change" in line]


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("T1,T2", {"T1", "T2"}),
        ("t3; T1; T3", {"T1", "T3"}),
        ("row B", {"T2", "T3"}),
        ("Row b, T1", {"T1", "T2", "T3"}),
        ("all", {"T1", "T2", "T3"}),
    ],
)
def test_one_entry_for_several_tanks(room, said, meant):
    answer = ask_room(room, "log", "change", said, "share=50%")
    assert answer.code == 0
    assert len(answer.json["entries"]) == len(answer.json["lines"]) == len(meant)
    assert "half of the water changed" in answer.json["says"].lower()
    assert {t for t in ("T1", "T2", "T3") if acts(room, t)} == meant


def test_a_tank_that_is_none_writes_in_none(room):
    said = ask_room(room, "log", "change", "T1,T9", "share=50%")
    assert said.code == 2
    assert '"T9"' in said.err
    assert "row B" in said.err
    assert acts(room, "T1") == []


def test_a_fault_is_told_once_for_all_tanks(room):
    said = ask_room(room, "log", "change", "all", "share=150%")
    assert said.code == 2
    assert said.err.count("150%") == 1


def test_a_dose_over_everything_published_is_said_for_the_tank_where_it_is(room):
    answer = ask_room(room, "log", "dose", "T1,T3", "metronidazole=500mg").json
    assert len([c for c in answer["cautions"] if "25 mg/L" in c]) == 1  # 500 mg in 20 L


@pytest.fixture
def logged(room):
    fill(room, [("log", "change", "T1", "share=50%", "when=yesterday 20:00")])
    fill(room, [("log", "note", "T2", "text=new sponge", "when=6 May 2026 09:00")])
    fill(room, [("log", "note", "T2", "text=slip of the pen")])
    return room


@pytest.mark.parametrize(
    ("words", "holds", "days"),
    [
        (("yesterday",), ["change"], "13 May 2026"),
        (("last", "week"), ["new sponge"], "4 May 2026 to 10 May 2026"),
        (("sponge", "6", "May"), ["new sponge"], "6 May 2026"),
        (("T2", "since", "1", "May"), ["new sponge", "slip"], "1 May 2026 to 14 May 2026"),
        (("sponge", "today"), [], "14 May 2026"),
    ],
)
def test_found_by_words_and_days(logged, words, holds, days):
    answer = ask_room(logged, "find", *words).json
    rows = [r for r in answer["rows"] if "  tank " not in r]
    assert (len(rows), answer["days"]) == (len(holds), days)
    assert all(w in row for w, row in zip(holds, rows, strict=True))


def test_what_was_taken_back_stays_in_sight(logged):
    slip = ask_room(logged, "find", "slip").json["rows"][0]
    entry = slip.rpartition("id=")[2]
    undone = ask_room(logged, "undo", entry).json["entry"]
    found = ask_room(logged, "find", "slip").json
    assert (found["rows"], found["taken_back"]) == ([], [slip])
    assert "Taken back or put right since" in ask("find", "slip", "--room", str(logged)).out
    ask_room(logged, "undo", undone)
    assert ask_room(logged, "find", "slip").json["rows"] == [slip]


def test_a_day_with_two_meanings_is_asked_for(logged):
    said = ask_room(logged, "find", "3/4/2026")
    assert said.code == 2
    assert "3 April" in said.err


def test_an_entry_is_moved_to_the_tank_it_happened_in(logged):
    entry = acts(logged, "T1")[0].rpartition("id=")[2]
    assert ask_room(logged, "correct", entry, "of=T3").code == 0
    assert acts(logged, "T1") == []
    assert len(acts(logged, "T3")) == 1


def test_the_tap_of_the_room_is_that_of_new_tanks(room):
    fill(room, [("kit", "set", "tap=chloramine"), ("tank", "add", "name=T4", "volume=10 L")])
    told = {t: ask_room(room, "tank", "show", t).json["log"][0] for t in ("T1", "T4")}
    assert "tap=" not in told["T1"]
    assert "tap=chloramine" in told["T4"]


def test_the_kit_is_shown_and_the_hose_tells_minutes(room):
    fill(room, [
        ("tank", "add", "name=T4", "volume=40 L", "temp=25C"), ("stock", "add", "T4", "kind=8 guppy"),
        ("kit", "set", "scale=0.1g", "tests=strips"),
        ("kit", "spoon", "spoon=teaspoon", "powder=salt", "spoons=10", "mass=58g"),
        ("kit", "hose", "volume=10L", "time=75s"),
    ])  # fmt: skip
    things = ask_room(room, "kit").json["things"]
    held = {(t["what"], t["of"] or t["name"]): t["value"] for t in things}
    assert held[("scale", "")] == 0.1
    assert held[("hose", "")] == 8.0
    assert round(held[("spoon", "sodium_chloride")], 3) == 5.8
    assert ("test", "strips") in held
    steps = ask_room(room, "what-now", "T4", "--seen", "gasping at the surface").json["steps"]
    assert any("of your hose" in s["says"] for s in steps if s["act"] == "change")
