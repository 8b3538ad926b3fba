"""A room from a pasted list: what each line means, faults beside their line, nothing kept by reading."""

from datetime import UTC, datetime

import pytest

from tankward.desk.border import Border
from tankward.desk.pasted import MOST, pasted
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.holds import water_of
from tankward.room.replay import Room, replay

NOW = datetime(2026, 5, 14, 16, tzinfo=UTC)
BORDER = Border(room=Room(), facts=load(), now=NOW)


def line(text, border=BORDER):
    (found,) = pasted(border, text).lines
    return found


def groups(text):
    return [(e.thing.kind, e.thing.number.value, e.thing.stage) for e in line(text).entries[1:]]


@pytest.mark.parametrize(
    ("text", "water"),
    [
        ("T1, 60x30x28 cm", 50.4),  # 60 * 30 * 28 / 1000
        ("T1,60x30x28cm,14 guppies", 50.4),
        ("T1\t60 × 30 × 28 cm\tsponge", 50.4),
        ("T1; 24 x 12 x 11 in", 51.91),  # 3168 cubic inches of 16.387 mL
        ("T1, 600 mm x 30 cm x 28 cm", 50.4),
        ("T1, 31,5 L", 31.5),
        ("T1, 10 US gal", 37.85),
        ("T1, about 20 litres", 20),
    ],
)
def test_the_water_of_a_line(text, water):
    assert water_of(line(text).tank).value == pytest.approx(water, rel=1e-3)


def test_every_part_is_known_by_its_form():
    tank = line("Left one, 25C, row B, sponge filter, 40x25x22 cm, 9 forktail blue-eye 3 cm").tank
    assert (tank.name, tank.temp_c.value, tank.shelf, tank.filter) == ("Left one", 25, "row B", "sponge")


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("T1, 14 cherry barbs 3.5 cm", [("cherry_barb", 14, "adult")]),
        ("T1, 2 guppies; 30 cherry shrimp", [("guppy", 2, "adult"), ("cherry_shrimp", 30, "adult")]),
        ("T1, 22 guppies fry", [("guppy", 22, "fry")]),
        ("T1, about 70 cherry shrimp, moss", [("cherry_shrimp", 70, "adult"), ("java_moss", 1, "adult")]),
        ("T1, empty", []),
        ("T1, 3 unknown", [("", 3, "adult")]),
    ],
)
def test_who_lives_there(text, found):
    assert groups(text) == found


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("T1, 60x30x28", "has no unit"),
        ("T1, 12 gal", "US gal or imp gal"),
        ("T1, 3 dragons", "not known here"),
        ("T1, 20 L, 30 L", "twice"),
        (", 20 L", "is empty"),
        ("T1, 900 C", "between 0 and 45"),
    ],
)
def test_a_fault_stands_beside_its_line(text, told):
    found = line(text)
    assert (found.entries, found.tank) == ((), None)
    assert any(told in str(fault) for fault in found.faults)


def test_every_fault_of_a_line_is_told():
    found = line("T1, 900 C, 3 dragons")
    assert {f.field for f in found.faults} == {"temp", "kind"}


def test_lines_know_each_other_and_the_room():
    text = "T1, 20 L\n\nT1, 30 L\nT2, 10 L, 3 guppies\n"
    found = pasted(BORDER, text)
    assert [bool(x.faults) for x in found.lines] == [False, True, False]
    assert [x.number for x in found.lines] == [1, 3, 4]
    assert not found.whole
    room = replay(pasted(BORDER, text.replace("T1, 30 L", "T3, 30 L")).entries)
    assert [(t.name, t.place) for t in room.tanks.values()] == [("T1", 1), ("T3", 2), ("T2", 3)]
    assert [s.tank for s in room.stock.values()] == ["t2"]
    again = Border(room=room, facts=load(), now=NOW)
    assert line("T2, 10 L", again).faults


def test_a_list_has_an_end():
    with pytest.raises(BadInput):
        pasted(BORDER, "T, 1 L\n" * (MOST + 1))
    assert pasted(BORDER, "\n \n").lines == ()
    assert not pasted(BORDER, "").whole
