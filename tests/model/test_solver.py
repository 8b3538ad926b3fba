"""Against a general solver of high order (DOP853, rtol 1e-11) with the same bodies."""

from functools import cache

import numpy as np
import pytest

from tankward.model.known import substance_rows
from tankward.model.living import Living
from tankward.model.oracle import trace
from tankward.model.record import recorded
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Dose, Feed, Heat
from tests.model.solved import solve
from tests.model.tanks import FACTS, START, after, exact, run_of, tank

HARD = {"ph": Estimate(7.6, 7.4, 7.8), "alkalinity": Estimate(70.0, 60.0, 80.0)}
SOILED = {"ammonia_n": exact(1.0), "nitrite_n": exact(0.4)}
DOSED = (
    (after(hours=2), Dose(actives={"formalin": 46 * 20.0})),
    (after(hours=20), Change(share=0.4)),
    (after(hours=30), Dose(actives={"methylene_blue": 92.0})),
)
FED = ((after(hours=6), Feed(usual=2.0)), (after(hours=20), Change(share=0.5)))
FEW = Living(mass_g=Estimate(6.0, 5.0, 7.0), breath_50g=Estimate(0.7, 0.6, 0.8), planted=True)
STRONG_AIR_1_H = 200 / 24
ROOMS = {
    "pH kept": (tank(levels=SOILED, temp_c=exact(26.0)), (), 48),
    "dosed": (tank(levels=SOILED, temp_c=exact(26.0)), DOSED, 48),
    "planted, pH moves": (tank(levels=SOILED, **HARD), DOSED, 36),
    "strong air": (tank(levels=SOILED, air=True, **HARD), FED, 30),
    "hot, 10 L": (
        tank(levels=SOILED, volume_l=exact(10.0), temp_c=exact(31.0), living=FEW, **HARD), FED, 30,
    ),
    "400 L": (tank(levels=SOILED, volume_l=exact(400.0), filter="canister", depth_cm=55.0, **HARD), FED, 30),
}  # fmt: skip
FIELDS = ("tan_mg", "nitrite_mg", "nitrate_mg", "oxygen_mg", "demand_mg", "filter_fit")
CARBONATE = ("co2_mg", "alkalinity_mg")
OF_ROOM = [(room, name) for room in ROOMS for name in (*FIELDS, *(CARBONATE if room != "pH kept" else ()))]


def prepared(room, step_min=None):
    setup, acts, hours = ROOMS[room]
    run = run_of(setup, acts, hours=hours, step_min=step_min)
    if room == "strong air":
        run.th.kla_20[:] = run.th.kla_more_20[:] = STRONG_AIR_1_H
    return run


@cache
def exactly(room):
    return solve(prepared(room, 60))


@cache
def ours(room, step_min=None):
    run = prepared(room, step_min)
    return run, trace(run)


def by_the_hour(found, hours):
    return [max(i for i, m in enumerate(found.minutes) if m == 60 * h) for h in range(hours + 1)]


def off(room, name, step_min=None):
    """Largest error of a field over hours and draws, as a share of its largest value in that draw."""
    run, found = ours(room, step_min)
    true = exactly(room)[1][:, run.body.state.index(name)]
    err = np.abs(found.fields[name][by_the_hour(found, ROOMS[room][2])] - true).max(axis=0)
    scale = np.abs(true).max(axis=0)
    return (err / np.where(scale > 0, scale, 1.0)).max()


@pytest.mark.parametrize(("room", "name"), OF_ROOM)
def test_every_field_of_every_room_holds_its_target(room, name):
    assert off(room, name) < 2e-4


def test_half_an_hour_is_enough_where_nothing_is_dosed():
    for name in ("tan_mg", "nitrite_mg", "nitrate_mg", "oxygen_mg"):
        assert off("pH kept", name, 30) < 2e-4


def told(room):
    """The record that the forecast reads, and the one who looked every three minutes."""
    run, found = ours(room)
    rows = [substance_rows(FACTS, s) for s in run.substances]
    return recorded(run, found, rows, START), exactly(room)[0]


@pytest.mark.parametrize("room", ROOMS)
def test_the_highest_nh3_is_found_to_two_thousandths(room):
    record, true = told(room)
    assert (np.abs(record.highest("nh3_n") - true.nh3) / true.nh3).max() < 2e-3


@pytest.mark.parametrize("room", ROOMS)
def test_the_least_oxygen_is_found_to_a_thousandth(room):
    record, true = told(room)
    assert np.abs(record.least("oxygen") - true.oxygen).max() < 1e-3


def test_by_records_alone_it_would_be_missed():
    """What the parabolas are for."""
    record, true = told("planted, pH moves")
    assert np.abs(record.levels("oxygen").min(axis=0) - true.oxygen).max() > 1e-3


@pytest.mark.parametrize("step_min", [20, 60])
def test_substances_are_exact_at_any_step(step_min):
    found = ours("dosed", step_min)[1]
    assert found.amounts[by_the_hour(found, 48)] == pytest.approx(exactly("dosed")[2], rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("name", ["tan_mg", "nitrite_mg", "oxygen_mg"])
def test_halving_the_step_divides_the_error_by_about_sixteen(name):
    assert 10 < off("pH kept", name, 20) / off("pH kept", name, 10) < 26


@pytest.mark.parametrize("room", ROOMS)
def test_no_pool_falls_below_nothing(room):
    found = ours(room)[1]
    for name, least in found.lowest.items():
        assert least >= -1e-9 * max(1.0, np.abs(found.fields[name]).max()), name


def test_a_ramp_of_warmth_is_taken_in_order():
    """While it warms, start, middle and end of a step are asked for: coarse against fine steps."""
    acts = [(after(hours=1), Heat(temp_c=30.0)), (after(hours=24), Heat(temp_c=None))]
    coarse, fine = (trace(run_of(tank(heater=True), acts, hours=48, step_min=m)) for m in (30, 5))
    for name in ("tan_mg", "nitrite_mg", "oxygen_mg"):
        scale = np.abs(fine.fields[name][-1]).max()
        of, at = ([t.minutes.index(60 * h) for h in range(49)] for t in (coarse, fine))
        assert np.abs(coarse.fields[name][of] - fine.fields[name][at]).max() / scale < 5e-4
