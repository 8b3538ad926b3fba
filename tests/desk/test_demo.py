"""The demo room: twelve tanks, half a year, invented."""

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

import tankward
from tankward.desk.demo.generate import DAYS, SEED, Writer, demo_logbook
from tankward.desk.demo.told import dated
from tankward.desk.demo.truth import THIN
from tankward.knowledge.loader import load
from tankward.room.entries.looks import Look
from tankward.room.replay import replay
from tankward.rounds.round import round_of
from tankward.rounds.states import states

NOW = datetime(2026, 5, 12, 18, 10, tzinfo=UTC)


def test_the_same_seed_writes_the_same_logbook_and_another_seed_another() -> None:
    assert demo_logbook(NOW, load()) == demo_logbook(NOW, load())
    assert demo_logbook(NOW, load(), seed=SEED + 1) != demo_logbook(NOW, load())


def test_twelve_tanks_and_half_a_year_that_ends_before_now() -> None:
    entries = demo_logbook(NOW, load())
    room = replay(entries)
    assert list(room.tanks) == [f"T{n}" for n in range(1, 13)]
    assert all(NOW - timedelta(days=DAYS + 1) < e.at < NOW for e in entries)
    assert len({e.id for e in entries}) == len(entries)
    assert room.stock["T7-0"].number.value == 10  # twelve bought, one jumped, one found dead


@pytest.mark.parametrize("seed", range(30))
def test_t7_shows_the_same_trouble_whatever_is_behind_it(seed: int) -> None:
    writer = Writer(NOW, seed, load())
    last = [e for e in replay(writer.all()).looks("T7") if isinstance(e, Look)][-1]
    assert writer.truth.cause in THIN
    assert {"white_stringy_faeces", "belly_sunken"} <= set(last.seen)
    assert "worms_at_vent" in last.absent
    assert not set(last.seen) & set(last.absent)


def test_truths_differ_from_seed_to_seed() -> None:
    assert len({Writer(NOW, seed, load()).truth.cause for seed in range(40)}) > 1


# How many live where, by the list of the room; T3's and T8's came in two lots, T4 is a pair and one more.
WHO = {
    "T1": 14, "T2": 22, "T3": 9, "T4": 3, "T5": 16, "T6": 12 + 5, "T7": 10 + 8 + 4, "T8": 18 + 2, "T9": 15,
    "T10": 70 + 3, "T11": 0, "T12": 40,
}  # fmt: skip


@pytest.mark.parametrize(
    "now", [NOW, datetime(2026, 1, 1, 0, 20, tzinfo=UTC), datetime(2026, 10, 25, 3, 30, tzinfo=UTC)]
)
def test_the_half_year_ends_in_the_same_room_whenever_it_is_opened(now: datetime) -> None:
    room = replay(demo_logbook(now, load(), zone="Europe/Berlin"))
    assert {t: sum(s.number.value for s in room.stock_of(t)) for t in room.tanks} == WHO
    assert list(room.courses) == ["T2"]
    assert all(e.at < now for e in room.log)
    standing = {s.tank: s.state for s in states(room, now)}
    assert [t for t, state in standing.items() if state == "sick"] == ["T7"]
    assert [t for t, state in standing.items() if state == "watch"] == ["T2", "T6", "T8", "T10"]
    visits = [v.tank for v in round_of(room, now, "Europe/Berlin", load()).visits]
    assert set(WHO) - set(visits) == {"T11"}
    assert visits[-1] == "T7"


def test_an_outbreak_is_told_from_its_first_sign_to_the_healed_tank() -> None:
    looks = [e for e in replay(demo_logbook(NOW, load())).looks("T3") if e.seen or e.absent]
    assert "white_spots" in looks[0].seen
    assert "white_spots" in looks[-1].absent
    assert len(looks) >= 5


def test_nothing_but_the_generator_reads_what_is_hidden() -> None:
    source = Path(tankward.__file__).parent
    readers = [
        p for p in source.rglob("*.py") if re.search(r"demo\.truth|from \.truth", p.read_text("utf-8"))
    ]
    assert {p.name for p in readers} == {"generate.py", "rhythm.py"}


def test_moments_are_counted_back_from_now() -> None:
    at = dated("170d 18:30 look T3 well=yes", NOW, "UTC")
    assert at == "2025-11-23T18:30Z  look T3 well=yes"
    assert dated("fri 17:30 clean T6", NOW, "UTC") == "2026-05-08T17:30Z  clean T6"
    assert dated("31d 08:00 note text={month:31}", NOW, "UTC").endswith("text=April")
