"""The water line between top-ups: substances stay, their levels rise, a top-up brings them back."""

from datetime import timedelta

import numpy as np
import pytest

from tankward.model.events import Read
from tankward.model.simulate import simulate
from tankward.model.water_line import MOST_GONE, evaporating
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Dose, TopUp
from tests.model.tanks import FACTS, START, after, exact, tank
from tests.model.test_forecast import NOW, NURSERY, kinds, of

SALT = "sodium_chloride"
DRY = {"volume_l": exact(50.0), "evaporates_l_d": exact(1.0)}
DOSED = (START, Dose(actives={SALT: 50_000.0}))


def levels(told, name=SALT, hours=96, **more):
    found = simulate(tank(**DRY | more), told, FACTS, start=START, hours=hours, draws=64)
    return found, found.levels(name).astype(float)


def at(found, hour, after=True):
    rows = [n for n, m in enumerate(found.minutes) if m == hour * 60]
    return rows[-1] if after else rows[0]


def test_a_litre_a_day_out_of_fifty():
    """1 g/L of salt: 50 g in 48 L after two days."""
    found, salt = levels([DOSED])
    assert salt[at(found, 48)] == pytest.approx(1000.0 * 50 / 48, rel=2e-3)


def test_topping_up_restores_and_half_of_it_half():
    found, salt = levels([DOSED, (after(days=2), TopUp(volume_l=2.0)), (after(days=4), TopUp(volume_l=1.0))])
    assert salt[at(found, 48, after=False)] == pytest.approx(1000.0 * 50 / 48, rel=2e-3)
    assert salt[at(found, 48)] == pytest.approx(1000.0, rel=2e-3)
    assert salt[at(found, 96)] == pytest.approx(1000.0 * 50 / 49, rel=2e-3)


def test_a_change_fills_it_up_too():
    found, salt = levels([DOSED, (after(days=2), Change(share=0.5))])
    assert salt[at(found, 48)] == pytest.approx(500.0, rel=2e-3)


def test_it_never_falls_without_end():
    salt = levels([DOSED], hours=30 * 24)[1]
    assert salt[-1] == pytest.approx(1000.0 / (1 - MOST_GONE), rel=2e-2)


def test_a_reading_is_of_the_water_there_is():
    read = Read(quantity="nitrate_n", values=np.full(64, 10.0))
    found = simulate(tank(**DRY), (), FACTS, start=START, hours=96, draws=64, events=[(after(days=3), read)])
    assert found.levels("nitrate_n")[at(found, 72)] == pytest.approx(10.0)


def test_oxygen_is_held_by_the_air():
    """Four litres less change it by what the same animals take of less water."""
    (falls, dry), (kept, wet) = (levels((), "oxygen", evaporates_l_d=e) for e in (exact(1.0), None))
    dry, wet = (line[[at(found, h) for h in range(97)]] for found, line in ((falls, dry), (kept, wet)))
    assert dry == pytest.approx(wet, rel=0.03)
    assert (dry[-1] < wet[-1]).all()


def test_topped_up_water_brings_the_tap_with_it():
    """2 L of 100 mg/L into 50 L are 4 mg/L."""
    hard = {"ph": exact(7.4), "alkalinity": exact(80.0), "tap": {"alkalinity": exact(100.0)}}
    found, told = levels([(after(days=2), TopUp(volume_l=2.0))], "alkalinity", **hard)
    rose = told[at(found, 48)] - told[at(found, 48, after=False)] * 48 / 50
    assert rose == pytest.approx(4.0, rel=1e-3)


def test_what_evaporates_is_told_by_the_top_ups():
    """2 and 4 L, four and two days after the one before: a litre a day; a change in between tells nothing."""
    told = [(START + timedelta(days=d), TopUp(volume_l=v)) for d, v in ((0, 3.0), (4, 4.0), (6, 2.0))]
    rate, falling_d = evaporating([*told, (after(days=7), Change(share=0.3))], after(days=9))
    assert isinstance(rate, Estimate)
    assert rate.value == pytest.approx(1.0)
    assert falling_d == pytest.approx(2.0)
    assert evaporating(told[:1], after(days=9)) == (None, 0.0)


def test_a_room_with_top_ups_has_a_line_and_one_without_says_so():
    sized = NURSERY.replace('volume="54 L"', "length=60cm width=30cm height=36cm fill=30cm")
    assert "water-line-kept" in kinds(of(sized))
    topped = sized + "".join(f"{day} March 2026 08:00  top_up  Nursery  volume=2L\n" for day in (2, 5))
    found = of(topped, [(NOW, Dose(actives={SALT: 54_000.0}))])
    assert "water-line-kept" not in kinds(found)
    assert found.at(SALT, 168).value > 1.05 * found.at(SALT, 0).value
