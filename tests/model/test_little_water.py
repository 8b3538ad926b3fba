"""Almost no water left after a slip: everything in it goes faster, and a refill thins it."""

import numpy as np
import pytest

from tankward.model.oracle import trace
from tankward.model.simulate import simulate
from tankward.model.water_line import LEAST_LEFT
from tankward.room.acts import Change, Dose, Heat, Lost, TopUp
from tests.model.tanks import FACTS, START, after, exact, run_of, tank

LITRES = 50.0
FULL = {"volume_l": exact(LITRES)}
SLIP = (after(hours=6), Lost(share=0.9))


def of(told, hours=24, **more):
    return simulate(tank(**FULL | more), told, FACTS, start=START, hours=hours, draws=64)


def at(found, hour, after=True):
    rows = [n for n, m in enumerate(found.minutes) if m == hour * 60]
    return rows[-1] if after else rows[0]


def levels(found, name):
    return found.levels(name).astype(float)


def test_the_loss_itself_changes_no_level():
    found = of([(START, Dose(actives={"sodium_chloride": 50_000.0})), SLIP])
    for name in ("sodium_chloride", "ammonia_n", "oxygen", "nitrate_n"):
        before, then = (levels(found, name)[at(found, 6, after=a)] for a in (False, True))
        assert then == pytest.approx(before, rel=1e-5, abs=1e-9), name


def test_ammonia_builds_ten_times_as_fast_in_a_tenth_of_the_water():
    """Without a filter what the fish give off goes into five litres instead of fifty."""
    dry, wet = of([SLIP], filter="none"), of([], filter="none")
    rose = {k: levels(f, "ammonia_n")[at(f, 12)] - levels(f, "ammonia_n")[at(f, 6)] for k, f in
            (("dry", dry), ("wet", wet))}  # fmt: skip
    assert rose["dry"] == pytest.approx(10 * rose["wet"], rel=0.02)


def test_oxygen_falls_in_little_water_and_never_below_nothing():
    dry, wet = of([SLIP], filter="none"), of([], filter="none")
    assert (levels(dry, "oxygen")[at(dry, 12)] < levels(wet, "oxygen")[at(wet, 12)]).all()
    assert dry.lowest["oxygen_mg"] >= 0.0


@pytest.mark.parametrize("refill", [TopUp(volume_l=45.0), Change(share=1e-9)])
def test_a_refill_thins_what_was_left(refill):
    """Five litres of 1 g/L and 45 L of plain water are 0.1 g/L, by a top-up or by a change that fills it."""
    salted = (START, Dose(actives={"sodium_chloride": 50_000.0}))
    found = of([salted, SLIP, (after(hours=8), refill)])
    salt = levels(found, "sodium_chloride")
    assert salt[at(found, 8, after=False)] == pytest.approx(1000.0, rel=1e-3)
    assert salt[at(found, 8)] == pytest.approx(100.0, rel=1e-3)
    nitrate = levels(found, "nitrate_n")
    assert nitrate[at(found, 8)] == pytest.approx(nitrate[at(found, 8, after=False)] / 10, rel=1e-3, abs=1e-9)


def test_a_dose_into_little_water_is_ten_times_as_strong():
    found = of([SLIP, (after(hours=7), Dose(actives={"sodium_chloride": 50_000.0}))])
    assert levels(found, "sodium_chloride")[at(found, 7)] == pytest.approx(10_000.0, rel=1e-3)


def test_little_water_cools_faster():
    """Unplugged at the moment of the slip: what is left comes to the room ten times as fast."""
    off = (after(hours=6), Heat(temp_c=None))
    dry, wet = of([SLIP, off], hours=12, heater=True), of([off], hours=12, heater=True)
    run = run_of(tank(**FULL, heater=True), hours=1)
    room, begun = run.th.room_c, run.th.temp_c
    k = run.th.cooling_1_h
    for found, faster in ((dry, 10.0), (wet, 1.0)):
        expected = room + (begun - room) * np.exp(-k * faster * 3.0)
        assert levels(found, "temp_c")[at(found, 9)] == pytest.approx(expected, abs=2e-3)


def test_new_water_warms_little_water_more():
    warm = (after(hours=7), Change(share=0.5, temp_c=35.0))
    found = of([SLIP, warm], hours=8, temp_c=exact(20.0), heater=False)
    assert levels(found, "temp_c")[at(found, 7)] == pytest.approx(20 * 0.05 + 35 * 0.95, abs=0.2)


def test_two_losses_multiply():
    found = of([(START, Dose(actives={"sodium_chloride": 50_000.0})), SLIP,
                (after(hours=7), Lost(share=0.5)), (after(hours=8), TopUp(volume_l=2.5))])  # fmt: skip
    assert levels(found, "sodium_chloride")[at(found, 8)] == pytest.approx(500.0, rel=1e-3)


def test_all_of_it_gone_leaves_a_film_and_numbers():
    """Nobody lives in it; still no number is wild, and the oracle stays stable in its short steps."""
    run = run_of(tank(**FULL), [(after(hours=2), Lost(share=1.0))], hours=6)
    found = trace(run)
    assert run.line.share(3 * 60).max() == pytest.approx(LEAST_LEFT)
    for name, field in found.fields.items():
        assert np.isfinite(field).all(), name
        assert found.lowest[name] >= -1e-9 * max(1.0, np.abs(field).max()), name
    nitrogen = sum(found.fields[n] for n in ("tan_mg", "nitrite_mg", "nitrate_mg", "waste_mg"))
    at_loss = max(n for n, m in enumerate(found.minutes) if m == 120)
    assert (np.diff(nitrogen[at_loss:], axis=0) >= -1e-9).all()  # it only comes in


def test_in_little_water_the_filter_still_balances():
    """TAN + nitrite + nitrate + waste rise by what comes in, as in a full tank."""
    dry, wet = (trace(run_of(tank(**FULL), told, hours=12)) for told in ([(START, Lost(share=0.8))], []))
    total = [sum(f.fields[n] for n in ("tan_mg", "nitrite_mg", "nitrate_mg", "waste_mg")) for f in (dry, wet)]
    assert total[0][-1] == pytest.approx(total[1][-1], rel=1e-9)
