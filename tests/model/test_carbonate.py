"""Carbon dioxide, alkalinity and the pH that comes of them."""

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from tankward.model.compiled import trace_compiled
from tankward.model.events import Read
from tankward.model.oracle import Water, trace
from tankward.model.processes.carbonate import co2_of
from tankward.model.record import running_ph
from tankward.model.simulate import simulate
from tankward.quantities.parse import Estimate
from tankward.room.acts import Air, Change, Dose, Feed, Light
from tankward.water.ammonia import unionised_share
from tankward.water.carbonate import CO2, co2_mg_l, co2_saturation_formula, ph_after_acid_closed, pkh
from tankward.water.nitrogen import CACO3_PER_N, nitrifier_ph_factor
from tests.model.solved import Solved
from tests.model.tanks import FACTS, START, after, exact, run_of, tank
from tests.model.test_kernels import acts, same
from tests.model.test_properties import PHASES

HARD = {"ph": Estimate(7.2, 7.0, 7.4), "alkalinity": Estimate(70.0, 55.0, 90.0)}
STILL = ("kla_20", "kla_more_20")


def ph_of(run, found):
    return running_ph(
        found.fields["co2_mg"] * run.th.per_l, found.fields["alkalinity_mg"] * run.th.per_l, found.temp_c
    )


def of(setup, told=(), hours=168, **more):
    return simulate(setup, told, FACTS, start=START, hours=hours, draws=64, **more)


def test_carbon_dioxide_of_a_reading_is_that_of_the_calculator():
    """Alkalinity of 70 mg/L at pH 7.2: the same to 2 %, up to the share of carbonate."""
    run = run_of(tank(**HARD), hours=1)
    th = run.th
    assert th.co2_usual == pytest.approx(co2_mg_l(th.ph, th.alkalinity, th.temp_c), rel=0.02)
    assert co2_saturation_formula(25.0, 1000.0) == pytest.approx(10.0 ** -pkh(25.0) * 1e-3 * CO2 * 1e3)
    assert 1.2 < co2_saturation_formula(25.0, 1000.0) < 1.7


def test_a_tank_as_it_is_kept_rests_at_its_reading():
    """pH falls only by the alkalinity that the filter takes, once what lies has come to its usual amount."""
    run = run_of(tank(**HARD, levels={"ammonia_n": exact(0.02)}), hours=168)
    run.th.planted[:] = 0.0
    found = trace(run)
    at_noon = ph_of(run, found)[[found.minutes.index(60 * 60), -1]]
    alkalinity = found.fields["alkalinity_mg"][[found.minutes.index(60 * 60), -1]]
    assert np.median(np.abs(at_noon[0] - run.th.ph)) < 0.1
    assert at_noon[1] - at_noon[0] == pytest.approx(np.log10(alkalinity[1] / alkalinity[0]), abs=0.05)


def test_without_alkalinity_ph_stays_as_it_was_read():
    found = of(tank(), [(after(hours=2), Feed(usual=5.0))], hours=48)
    assert "ph" not in found.names
    assert "alkalinity" not in found.names
    assert not found.lowest["co2_mg"]


def test_a_reading_of_ph_without_alkalinity_is_passed_over():
    read = [(after(hours=5), Read(quantity="ph", values=np.full(64, 5.0)))]
    plain, told = (of(tank(), hours=12, events=events) for events in ((), read))
    assert plain.levels("nh3_n").tobytes() == told.levels("nh3_n").tobytes()


def test_readings_are_taken_over():
    """pH 6.5, then alkalinity 20 mg/L: pH stays at what was read."""
    read = [
        (after(hours=5), Read(quantity="ph", values=np.full(64, 6.5))),
        (after(hours=5), Read(quantity="kh", values=np.full(64, 20.0))),
    ]
    found = of(tank(**HARD), hours=12, events=read)
    at = [n for n, m in enumerate(found.minutes) if m == 300][-1]
    assert found.levels("ph")[at] == pytest.approx(6.5, abs=1e-5)
    assert found.levels("alkalinity")[at] == pytest.approx(20.0)


def test_the_poisonous_part_goes_by_the_running_ph():
    found = of(tank(**HARD, levels={"ammonia_n": exact(1.0)}), [(after(hours=6), Air(more=True))], hours=48)
    share = unionised_share(found.levels("ph").astype(float), found.levels("temp_c").astype(float))
    assert found.levels("nh3_n") == pytest.approx(found.levels("ammonia_n") * share, rel=1e-4)


def closed(run):
    """No air, no animals, no plants, nothing that lies; the filter goes on."""
    th = run.th
    for name in (*STILL, "breath_50g", "planted", "waste_oxygen", "fasting_share", "co2_given_mg_h"):
        getattr(th, name)[:] = 0.0
    th.co2_taken_1_h[:] = 0.0
    return run


def test_a_closed_tank_turns_acid_as_the_closed_balance_says():
    """1 mg/L N turned over takes 7.146 mg/L of alkalinity and frees its carbon dioxide."""
    setup = tank(ph=exact(7.4), alkalinity=exact(60.0), levels={"ammonia_n": exact(1.0)})
    run = closed(run_of(setup, [(START, Feed(usual=0.0))], hours=96))
    found = trace(run)
    turned = (found.fields["nitrite_mg"] + found.fields["nitrate_mg"])[-1]
    lost = found.fields["alkalinity_mg"][0] - found.fields["alkalinity_mg"][-1]
    assert lost == pytest.approx(CACO3_PER_N * turned, rel=1e-9)
    gained = found.fields["co2_mg"][-1] - found.fields["co2_mg"][0]
    assert gained == pytest.approx(lost * CO2 / (CACO3_PER_N / 2) / 14.007, rel=1e-4)
    start = run.start["co2_mg"] * run.th.per_l / CO2 / 1e3
    log_pco2 = np.log10(start) + pkh(run.th.temp_c)
    acid = lost * run.th.per_l / 50.04
    expected = ph_after_acid_closed(np.full(64, 60.0 / 50.04), acid, run.th.temp_c, log_pco2)
    assert ph_of(run, found)[-1] == pytest.approx(expected, abs=0.06)


def test_an_aired_tank_comes_to_the_balance_with_the_room():
    """C(t) = full + (C0 − full) e^(−kt), in each draw."""
    run = run_of(tank(**HARD, filter="none"), [(START, Feed(usual=0.0))], hours=6)
    th = run.th
    for name in ("breath_50g", "planted", "fasting_share", "co2_given_mg_h", "co2_taken_1_h"):
        getattr(th, name)[:] = 0.0
    for guild in ("first_guild_mg_h", "second_guild_mg_h"):
        run.start[guild][:] = 0.0
    found = trace(run)
    rate = th.kla_20 * th.kla_theta ** (th.temp_c - 20.0) * th.co2_to_o2
    full = co2_saturation_formula(th.temp_c, th.room_co2_ppm) * th.volume_l
    expected = full + (run.start["co2_mg"] - full) * np.exp(-rate * 6.0)
    assert found.fields["co2_mg"][-1] == pytest.approx(expected, rel=1e-9)


def test_alkalinity_balance_through_changes():
    """Started + from food and rot + from the tap = in the water + taken by the filter + gone."""
    told = [(after(hours=20 * n + 5), Change(share=0.2)) for n in range(8)]
    setup = tank(**HARD, tap={"alkalinity": exact(120.0)})
    run = run_of(setup, told, hours=168)
    found = trace(run)
    jump = np.zeros(64)
    jump_n = {name: np.zeros(64) for name in ("tan_mg", "nitrite_mg", "nitrate_mg")}
    for n, (one, next_) in enumerate(zip(found.minutes, found.minutes[1:], strict=False)):
        if one == next_:
            jump += found.fields["alkalinity_mg"][n + 1] - found.fields["alkalinity_mg"][n]
            for name, sum_ in jump_n.items():
                sum_ += found.fields[name][n + 1] - found.fields[name][n]
    made = {name: found.fields[name][-1] - found.fields[name][0] - jump_n[name] for name in jump_n}
    turned = made["nitrite_mg"] + made["nitrate_mg"]
    given = made["tan_mg"] + turned  # every nitrogen that became ammonia
    rose = found.fields["alkalinity_mg"][-1] - found.fields["alkalinity_mg"][0] - jump
    assert rose == pytest.approx(CACO3_PER_N * (given / 2 - turned), rel=1e-9, abs=1e-9)
    assert (jump > 0).all()


def test_less_alkalinity_slows_the_filter_and_never_runs_out():
    """1 dKH and a lot of food: towards pH 6 nitrifiers stop, ammonia stays, alkalinity is not used up."""
    soft = {"ph": exact(7.0), "alkalinity": exact(18.0)}
    hungry = [(START, Feed(usual=6.0))]
    hard = soft | {"alkalinity": exact(300.0)}
    low, high = of(tank(**soft), hungry, hours=480), of(tank(**hard), hungry, hours=480)
    assert low.levels("ph")[-1].min() < 6.3
    assert low.lowest["alkalinity_mg"] >= 0.0
    assert np.median(low.levels("ammonia_n")[-1]) > 3 * np.median(high.levels("ammonia_n")[-1])


def test_the_series_of_the_ph_factor_is_true():
    """Nitrification at pH 5.8 to 7.5 against the straight line."""
    for ph in np.arange(5.8, 7.6, 0.1):
        setup = tank(ph=exact(ph), alkalinity=exact(50.0))
        run = run_of(setup, hours=1)
        run.th.ph[:] = ph
        th, body = run.th, run.body
        water = Water(run)
        water.y.tan_mg[:], water.y.co2_mg[:] = 46.0, 50.0 * 46.0 * co2_of(ph, th.temp_c)
        water.y.alkalinity_mg[:] = 50.0 * 46.0
        p = water.pace(run.table.steps[0], th.temp_c, True)
        block, dy = water.stages[0]
        body.rates(water.y, water.nothing, p, th, dy, block)
        speed = dy.first_guild_mg_h / water.y.first_guild_mg_h + th.first_decay_d / 24
        th.carbonate_read[:], th.ph[:] = 0.0, 7.3
        water.y.co2_mg[:] = 0.0
        p = body.pace(water.environment(run.table.steps[0], th.temp_c), th, 64)
        body.rates(water.y, water.nothing, p, th, dy, block)
        full = dy.first_guild_mg_h / water.y.first_guild_mg_h + th.first_decay_d / 24
        assert speed / full == pytest.approx(nitrifier_ph_factor(ph), abs=3e-4)


def test_more_air_lifts_ph_and_plants_lift_it_by_day():
    aired = of(tank(**HARD), [(after(hours=24), Air(more=True))], hours=48)
    plain = of(tank(**HARD), hours=48)
    assert np.median(aired.levels("ph")[-1]) > np.median(plain.levels("ph")[-1])
    light, dark = (of(tank(**HARD), [(START, Light(hours_per_day=h))], hours=48) for h in (24.0, 0.0))
    assert (light.levels("ph")[-1] >= dark.levels("ph")[-1] - 1e-6).all()
    assert np.median(light.levels("ph")[-1] - dark.levels("ph")[-1]) > 0.01


def test_formalin_gives_carbon_dioxide_as_it_takes_oxygen():
    dosed = of(tank(**HARD), [(after(hours=2), Dose(actives={"formalin": 46 * 25.0}))], hours=12)
    plain = of(tank(**HARD), hours=12)
    assert (dosed.levels("ph").min(axis=0) <= plain.levels("ph").min(axis=0)).all()


@cache
def compared():
    """48 h with a change and food, by the solver and by the oracle, at the end."""
    setup = tank(**HARD, levels={"ammonia_n": exact(1.0)}, temp_c=exact(26.0))
    run = run_of(setup, [(after(hours=20), Change(share=0.4)), (after(hours=5), Feed(usual=3.0))], hours=48)
    found, water = trace(run), Solved(run)
    for n, _ in enumerate(run.table.edges):
        for timed in run.table.before.get(n, ()):
            water.happens(timed.what)
        if n < len(run.table.steps):
            water.advance(run.table.steps[n])
    return found, dict(zip(run.body.state, water.block, strict=True))


@pytest.mark.parametrize("name", ["co2_mg", "alkalinity_mg", "tan_mg"])
def test_the_target_holds_against_a_general_solver(name):
    found, true = compared()
    off = np.abs(found.fields[name][-1] - true[name]) / found.fields[name].max(axis=0)
    assert off.max() < 2e-4


def bearable(act):
    """Not a dye at a thousand times its level: the oxygen that it asks for runs out within a step."""
    return not isinstance(act, Dose) or "malachite_green" not in act.actives


@settings(max_examples=15, phases=PHASES)
@given(
    some.floats(5.6, 8.6), some.floats(5, 300), some.sampled_from(["sponge", "none"]),
    some.lists(some.tuples(some.integers(0, 47), acts.filter(bearable)), max_size=8),
)  # fmt: skip
def test_any_hardness_runs_the_same_compiled_and_never_below_nothing(ph, alkalinity, filter, happening):
    setup = tank(ph=exact(ph), alkalinity=exact(alkalinity), filter=filter)
    run = run_of(setup, [(after(hours=h), act) for h, act in happening], hours=48)
    plain = trace(run)
    same(plain, trace_compiled(run))
    for name in ("co2_mg", "alkalinity_mg"):
        assert np.isfinite(plain.fields[name]).all()
        assert plain.lowest[name] >= -1e-9
