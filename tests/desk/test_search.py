"""Looking something up by words, by what the facts call it, and by days."""

from datetime import UTC, datetime

import pytest

from tankward.desk.search import search
from tankward.knowledge.loader import load
from tankward.room.replay import replay
from tests.helpers.rooms import entries_from

NOW = datetime(2026, 3, 10, 18, tzinfo=UTC)
LOG = entries_from("""
1 March 08:00  tank    "Left T7"  volume=30L tank=t7
1 March 08:05  stock   t7  kind=cherry_barb name="the reds" stock=t7-the-reds number=12
1 March 08:06  supply  "worm sachet"  unit=sachet praziquantel=90mg
3 March 08:00  dose    t7  praziquantel=108mg
4 March 08:00  note    t7  text="new sponge, squeezed out in T2"
5 March 08:00  look    t7  seen=white_spots
6 March 08:00  note    t7  text="wrong" id=wrong
6 March 08:01  undone  t7  entry=wrong
9 March 20:00  change  t7  share=50%
9 March 20:05  death   t7  stock=t7-the-reds number=1
""")


def look_up(text):
    return search(replay(LOG), LOG, text, NOW, "UTC", load())


def kinds(text):
    found = look_up(text)
    return [h.entry.__struct_config__.tag for h in found.hits], [h.gone for h in found.hits]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("sponge", ["note"]),
        ("yesterday", ["done", "death"]),
        ("last week", ["done", "note", "look", "note"]),
        ("9 March", ["done", "death"]),
        ("since yesterday", ["done", "death"]),
        ("reds", ["stock", "death"]),
        ("left 3 March", ["done"]),
        ("ich", ["look"]),
        ("nothing like it", []),
    ],
)
def test_entries_are_found(text, found):
    told, _ = kinds(text)
    assert told == found


def test_what_was_taken_back_is_found_and_marked():
    assert kinds("wrong") == (["note"], [True])


def test_things_are_found_by_their_names():
    assert [t.id for t in look_up("left").tanks] == ["t7"]
    assert [s.id for s in look_up("cherry barb").stock] == ["t7-the-reds"]
    assert [s.id for s in look_up("praziquantel").shelf] == ["worm-sachet"]
    assert look_up("yesterday").tanks == ()


def test_the_facts_know_it_too():
    assert ("substance", "praziquantel") in look_up("praziquantel").known


def test_nothing_asked_finds_every_entry_and_no_thing():
    found = look_up(" ")
    assert len(found.hits) == len(LOG) - 1  # the undo is told with what it took back
    assert (found.tanks, found.known) == ((), ())
