"""docs/library.md: its blocks run, in order, and say what the page says they do."""

import re
from pathlib import Path

import numpy as np
import pytest

PAGE = Path(__file__).parents[2] / "docs" / "library.md"
BLOCKS = re.findall(r"^```python\n(.*?)^```$", PAGE.read_text(encoding="utf-8"), re.M | re.S)


@pytest.fixture(scope="module")
def ran():
    """The names that the page has made, once all of it ran."""
    names = {}
    for n, block in enumerate(BLOCKS, 1):
        exec(compile(block, f"{PAGE.name}, block {n}", "exec"), names)
    return names


def test_there_are_blocks_and_they_run(ran):
    assert len(BLOCKS) >= 8
    assert ran["room"].tanks == {"t8": "T8"}
    assert repr(ran["forecast"]) == "<forecast of T8 from 2026-05-12 21:00, 14 days ahead>"


def test_weights_and_draws_give_the_bands(ran):
    forecast, levels = ran["forecast"], ran["levels"]
    assert forecast.weights.sum() == pytest.approx(1.0)
    bands = forecast.bands("praziquantel")
    row = int(np.flatnonzero(forecast.hours >= 24)[0])
    inside = (levels[:, row] >= bands["low"][row]) & (levels[:, row] <= bands["high"][row])
    assert forecast.weights[inside].sum() == pytest.approx(0.9, abs=0.03)
    assert bands["low"][row] < ran["mean"][row] < bands["high"][row]


def test_times_are_instants_and_now_is_hour_nought(ran):
    forecast = ran["forecast"]
    assert forecast.times.dtype == np.dtype("datetime64[ms]")
    at = forecast.times[forecast.hours == 0.0]
    assert str(at[-1]) == "2026-05-12T21:00:00.000"
    assert forecast.hours[-1] == pytest.approx(14 * 24)


def test_the_table_has_a_row_for_each_time_and_line(ran):
    table, forecast = ran["table"], ran["forecast"]
    assert list(table) == [
        "time", "hours", "name", "where", "unit", "low", "q25", "value", "q75", "high",
    ]  # fmt: skip
    rows = {len(column) for column in table.values()}
    assert rows == {len(forecast.times) * len(forecast.quantities)}
    mine = (table["name"] == "praziquantel") & (table["where"] == "water")
    assert np.array_equal(table["value"][mine], forecast.bands("praziquantel")["value"])


def test_places_are_told_apart(ran):
    forecast, tw = ran["forecast"], ran["tw"]
    with pytest.raises(tw.BadInput, match="is followed in"):
        forecast.bands("ichthyophthirius")
    with pytest.raises(ValueError, match="This forecast holds"):
        forecast.bands("gold")
    assert np.isfinite(forecast.bands("ichthyophthirius", "surfaces")["value"][-1])


def test_an_open_folder_takes_in_what_is_written_meanwhile(ran, tmp_path):
    from tankward.desk.desk import Desk
    from tests.helpers.rooms import entries_from

    tw = ran["tw"]
    with Desk.open(tmp_path / "room", make=True) as desk, tw.open_room(tmp_path / "room") as room:
        assert room.tanks == {}
        desk.append(*entries_from('1 May 2026 08:00 tank A volume="20 L"'))
        assert room.tanks == {"a": "A"}
        with pytest.raises(tw.BadInput, match="has no zone"):
            room.forecast("A", now=ran["now"].replace(tzinfo=None))
