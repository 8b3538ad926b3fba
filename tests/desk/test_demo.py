"""The demo room: twelve tanks, six weeks, invented."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.desk.demo.generate import DAYS, SEED, Writer, demo_logbook
from tankward.desk.demo.truth import THIN
from tankward.knowledge.loader import load
from tankward.room.entries.looks import Look
from tankward.room.replay import replay

NOW = datetime(2026, 5, 12, 18, 10, tzinfo=UTC)


def test_the_same_seed_writes_the_same_logbook_and_another_seed_another() -> None:
    assert demo_logbook(NOW, load()) == demo_logbook(NOW, load())
    assert demo_logbook(NOW, load(), seed=SEED + 1) != demo_logbook(NOW, load())


def test_twelve_tanks_and_six_weeks_that_end_before_now() -> None:
    entries = demo_logbook(NOW, load())
    room = replay(entries)
    assert list(room.tanks) == [f"T{n}" for n in range(1, 13)]
    assert all(NOW - timedelta(days=DAYS + 1) < e.at < NOW for e in entries)
    assert len({e.id for e in entries}) == len(entries)
    assert room.stock["T7-0"].number.value == 10  # eleven bought, one found dead


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
