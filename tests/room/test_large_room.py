"""Ten years of forty tanks: the logbook replays, and each tank's entries are found by itself."""

import time

import pytest

from tankward.desk.search import search
from tankward.knowledge.loader import load
from tankward.room.log import Log
from tankward.room.replay import Room, replay
from tankward.rounds.round import round_of
from tests.helpers.big_room import NOW, big_room

FACTS = load()


@pytest.fixture(scope="module")
def logbook():
    return big_room()


@pytest.fixture(scope="module")
def room(logbook):
    return replay(logbook)


def cpu(work):
    begun = time.process_time()
    work()
    return time.process_time() - begun


def test_it_is_as_large_as_it_says(logbook, room):
    assert 25_000 < len(logbook) < 35_000
    assert len(room.tanks) == 40
    assert len(room.stock_of("t1")) == 30
    assert len(room.courses["t2"].steps) == 60


def test_what_is_kept_sorted_is_what_a_walk_through_the_log_finds(room):
    assert isinstance(room.log, Log)
    for tank in ("t1", "t7", "", "nowhere"):
        assert room.of_tank(tank) == [e for e in room.log if e.tank == tank]
    named = room.of_group("t3-0")
    assert len(named) == 11  # set up, and one dead a year
    assert list(named) == [
        e
        for e in room.log
        if getattr(getattr(e, "thing", e), "id", "") == "t3-0" or getattr(e, "stock", "") == "t3-0"
    ]
    assert Room(log=tuple(room.log)).of_tank("t1") == room.of_tank("t1")


def test_a_round_through_it_takes_less_time_than_a_touch(logbook, room):
    assert cpu(lambda: replay(logbook)) < 1.0
    round_of(room, NOW, "UTC", FACTS)
    assert cpu(lambda: round_of(room, NOW, "UTC", FACTS)) < 0.5


def test_it_is_searched_once_and_then_known(logbook, room):
    found = search(room, logbook, "T7", NOW, "UTC", FACTS)
    assert {h.entry.tank for h in found.hits} == {"t7"}
    assert len(found.hits) == len(room.of_tank("t7"))
    assert cpu(lambda: search(room, logbook, "T7", NOW, "UTC", FACTS)) < 1.0
