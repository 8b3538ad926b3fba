"""What the forecast adds: the worst to come, and when the water is good again."""

from datetime import UTC, datetime
from types import SimpleNamespace

import pytest

from tankward.judge.ahead import clear_from, with_forecast
from tankward.judge.findings import findings, medicine_gate
from tankward.judge.waterstate import said_water
from tankward.model.forecast import forecast
from tankward.quantities.parse import Estimate
from tankward.room.entries.animals import StockAdded
from tankward.room.entries.tanks import TankAdded
from tankward.room.entries.water import ReadingTaken
from tankward.room.replay import replay
from tankward.room.things import Reading, Tank
from tests.judge.tanks import FACTS, group

NOW = datetime(2026, 5, 14, 18, tzinfo=UTC)


def line(times, values, now=0.0):
    """A forecast of one line, as far as it is asked here."""
    series = SimpleNamespace(name="nh3_n", value=tuple(values))
    return SimpleNamespace(times_h=tuple(times), now_h=now, of=lambda name: series)


@pytest.mark.parametrize(
    ("values", "hours"),
    [
        ((0.05, 0.03, 0.01, 0.01), 2.0),
        ((0.05, 0.01, 0.03, 0.01), 3.0),
        ((0.01,) * 4, 0.0),
        ((0.05,) * 4, None),
    ],
)
def test_the_hour_from_which_it_stays_under_the_limit(values, hours):
    assert clear_from(line((0.0, 1.0, 2.0, 3.0), values), "nh3_n", 0.02) == hours


def test_hours_are_counted_from_now_and_not_from_the_start():
    assert clear_from(line((0.0, 10.0, 20.0), (0.05, 0.05, 0.01), now=10.0), "nh3_n", 0.02) == 10.0


def test_a_forecast_of_a_tank_gives_the_worst_to_come():
    tank = Tank(
        id="T", name="Nursery", volume_l=Estimate.exact(40.0), temp_c=Estimate.exact(25.0), filter="sponge",
        filter_age_d=200, air=True,
    )  # fmt: skip
    barbs = group("cherry_barb", 12, length_cm=Estimate.exact(3.5))
    values = {"ammonia_n": 1.0, "ph": 8.0, "temp_c": 25.0}
    read = tuple(Reading(quantity=q, value=v) for q, v in values.items())
    room = replay(
        [
            TankAdded(id="1", at=NOW, tank="T", thing=tank),
            StockAdded(id="2", at=NOW, tank="T", thing=barbs),
            ReadingTaken(id="3", at=NOW, tank="T", values=read),
        ]
    )
    ahead = forecast(room, "T", NOW, facts=FACTS, days=3, past_days=1, draws=64)
    state = with_forecast(said_water(read, FACTS), ahead)
    assert state.ahead["nh3_n"].value >= ahead.at("nh3_n", 0.0).value * 0.95
    assert state.ahead["oxygen"].value <= ahead.at("oxygen", 0.0).value * 1.01
    gate = medicine_gate(findings(state, FACTS), sure_parasite=True)
    assert gate.opens == "after-water"
    assert gate.until_h == state.clear_in_h.get("nh3_n")
