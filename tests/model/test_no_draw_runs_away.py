"""Every organism in all draws for four weeks, the widest beliefs in: numbers stay numbers, fish stay fish."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from tankward.model.follow import herd_of, prepared
from tankward.model.from_room import story
from tankward.model.organisms import life_of
from tankward.model.outbreak import run
from tankward.model.run import warm
from tankward.model.simulate import simulate
from tankward.room.text import room_of_text
from tests.model.tanks import FACTS

NOW = datetime(2026, 3, 1, 8, 0, tzinfo=UTC)
DRAWS, DAYS = 1024, 28
TANK = """
1 March 2026 08:00  tank     Nursery  volume="46 L" temp=25C filter=sponge filter-age="14 weeks" light=9h
1 March 2026 08:05  stock    Nursery  kind=guppy number=20 length=2.5cm
"""


@pytest.fixture(scope="module")
def water():
    warm(wait=True)
    told = story(room_of_text(TANK), "nursery", NOW, NOW + timedelta(hours=1), FACTS, ())
    return told, simulate(told.setup, told.acts, FACTS, start=told.start, hours=24.0 * DAYS, draws=DRAWS)


@pytest.mark.parametrize("organism", FACTS.organisms)
def test_no_draw_runs_away(water, organism):
    told, record = water
    herd = herd_of(told, FACTS, DRAWS)
    life = life_of(FACTS, organism, herd, DRAWS)
    rows = run(prepared(life, told, record, 0, None, FACTS).course).rows[:, 1:]
    assert np.isfinite(rows).all()
    assert rows.min() >= -1e-9 * rows.max()
    assert rows.max() < 1e8
    if life.organism.host != "none":  # row 0 stands for nothing and was left out
        assert (rows[:, life.table.lost - 1] <= 1.001 * herd.fish).all()
