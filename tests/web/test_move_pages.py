"""A tank moved on the racks, animals to another tank: what carries it on is told before it is written."""

import pytest

from tankward.desk.several import shelves
from tankward.room.acts import Move
from tankward.room.entries.acts import Done
from tests.web.visitor import Visitor

RACKS = """
1 May 2026 08:00  tank  A1  volume="45 L" temp=25C shelf="row A" place=1
1 May 2026 08:00  tank  A2  volume="45 L" temp=25C shelf="row A" place=2
1 May 2026 08:00  tank  B1  volume="45 L" temp=20C shelf="row B" place=3
1 May 2026 08:01  stock A1  kind=guppy name=guppies number=12
12 May 2026 20:00  look A1  well=yes
1 May 2026 08:01  stock A2  kind=guppy name=others number=3
12 May 2026 20:00  look A2  seen=white_spots
"""


@pytest.fixture
def racks(tmp_path):
    """Three tanks on two shelves; one sick."""
    return Visitor(tmp_path / "racks", RACKS)


def rows(visitor: Visitor) -> dict[str, list[str]]:
    return {shelf: [t.name for t in row] for shelf, row in shelves(visitor.desk.room()).items()}


def moves(visitor: Visitor) -> list[Move]:
    return [e.act for e in visitor.entries if isinstance(e, Done) and isinstance(e.act, Move)]


@pytest.mark.parametrize(
    ("typed", "stands"),
    [
        ({"tank": "a1", "shelf": "row b"}, {"row A": ["A2"], "row B": ["B1", "A1"]}),
        ({"tank": "b1", "shelf": "row A", "after": "a1"}, {"row A": ["A1", "B1", "A2"]}),
        ({"tank": "a2", "after": "first"}, {"row A": ["A2", "A1"], "row B": ["B1"]}),
        ({"tank": "a1", "shelf": "by the door"}, {"by the door": ["A1"], "row A": ["A2"], "row B": ["B1"]}),
    ],
)
def test_a_tank_stands_where_it_was_put_and_back_again(typed: dict, stands: dict, racks: Visitor) -> None:
    before = rows(racks)
    answer = racks.post("/tanks/move", racks.get("/tanks/move"), **typed)
    assert answer.code == 303
    assert rows(racks) == stands
    page = racks.get(answer.to)
    entries = next(f["value"] for f in page.fields if f.get("name") == "entries")
    racks.post("/entries/undo", page, entries=entries, back="/")
    assert rows(racks) == before


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"tank": "a2"}, "is where A2 stands already"),
        ({"tank": "a1", "after": "b1"}, "does not stand on that shelf. There: A2."),
        ({"tank": "a1", "after": "a1"}, "is the tank that moves"),
        ({"tank": "c9"}, "c9"),
    ],
)
def test_a_place_that_is_none_is_asked_back(typed: dict, says: str, racks: Visitor) -> None:
    answer = racks.post("/tanks/move", racks.get("/tanks/move"), **typed)
    assert (answer.code, says in answer.words) == (422, True)
    assert rows(racks) == {"row A": ["A1", "A2"], "row B": ["B1"]}


def test_out_of_a_sick_tank_it_is_told_first_and_written_at_the_second_touch(racks: Visitor) -> None:
    typed = {"stock": "a2-others", "to": "b1", "number": "2"}
    first = racks.post("/tanks/a2/move", racks.get("/tanks/a2/move"), **typed)
    assert first.code == 200
    assert first.heading() == "What A2 may have goes with them."
    assert "A2: signs seen. Nets, water and the animals themselves carry it on." in first.words
    assert (
        "B1 is 5 °C colder. Let the bag or tub float until less than 2 °C are left (published)."
        in first.words
    )
    assert moves(racks) == []
    other = racks.post("/tanks/a2/move", first, **{**typed, "to": "a1"}, seen=first.hidden("seen")[0])
    assert other.heading() == "What A2 may have goes with them."  # another tank is another question
    then = racks.post("/tanks/a2/move", first, **typed, seen=first.hidden("seen")[0])
    assert then.to.startswith("/tanks/b1?kept=")
    room = racks.desk.room()
    assert [(s.tank, s.number.value) for s in room.stock.values() if s.name == "others"] == [
        ("a2", 1),
        ("b1", 2),
    ]


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"stock": "a1-guppies"}, "Choose the tank they go to."),
        ({"stock": "a1-guppies", "to": "a1"}, "is where they are"),
        (
            {"stock": "a1-guppies", "to": "b1", "number": "40"},
            "is more than live there: 12. Count them first.",
        ),
        ({"stock": "nobody", "to": "b1"}, "is no group here"),
    ],
)
def test_a_move_that_can_not_be_is_asked_back(typed: dict, says: str, racks: Visitor) -> None:
    answer = racks.post("/tanks/a1/move", racks.get("/tanks/a1/move"), **typed)
    assert (answer.code, says in answer.words) == (422, True)
    assert moves(racks) == []


def test_a_missing_one_that_was_moved_is_counted_once(racks: Visitor) -> None:
    page = racks.get("/today")
    racks.post("/tanks/a1/round", page, do="well", **{"n-a1-guppies": "11"})
    today = racks.get("/today")
    url = next(u for u in today.links if "/tanks/a1/move?" in u)
    form = racks.get(url)
    typed = {"stock": "a1-guppies", "to": "b1", "number": "1", "counted": form.hidden("counted")[0]}
    first = racks.post("/tanks/a1/move", form, **typed)
    done = racks.post("/tanks/a1/move", first, **typed, seen=first.hidden("seen")[0])
    assert done.to.startswith("/today")
    numbers = {s.tank: s.number.value for s in racks.desk.room().stock.values() if s.kind == "guppy"}
    assert numbers["a1"] == 11
    assert numbers["b1"] == 1
    assert "missing" not in racks.get("/today").words


def test_a_part_that_has_moved_on_stays_where_it_is(racks: Visitor) -> None:
    form = racks.get("/tanks/a1/log/move")
    for tank, stock, to, number in (
        ("a1", "a1-guppies", "a2", "3"), ("a2", "a1-guppies-a2", "b1", ""), ("a1", "a1-guppies", "a2", "2"),
    ):  # fmt: skip
        racks.post(f"/tanks/{tank}/log/move", form, stock=stock, to=to, number=number)
    found = sorted((s.tank, s.number.value) for s in racks.desk.room().stock.values() if s.name == "guppies")
    assert found == [("a1", 7), ("a2", 2), ("b1", 3)]


@pytest.mark.parametrize("url", ["/move", "/tanks/move", "/"])
def test_an_empty_room_has_nothing_to_move(url: str, stranger: Visitor) -> None:
    assert "/tanks/new" in stranger.get(url).links


def test_the_room_says_who_is_sick_and_names_the_well_ones(racks: Visitor) -> None:
    page = racks.get("/")
    assert page.heading() == "A2 shows white spots like salt."
    assert "3 tanks, 2 looked at today" in page.words
    assert "A1 and B1 (empty). The oldest look is from today." in page.words
