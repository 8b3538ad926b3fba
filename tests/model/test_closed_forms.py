"""Cases that can be worked out by hand."""

import numpy as np
import pytest

from tankward.model.levels import levels
from tankward.model.oracle import Water, trace
from tankward.model.processes.substances import ROUND, effect
from tankward.model.simulate import simulate
from tankward.model.warmth import after as warmth_after
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Dose, Feed, Heat, Light, Media
from tests.model.tanks import FACTS, START, after, exact, run_of, tank

SALT = "sodium_chloride"


def course(*acts, **more):
    told = {"facts": FACTS, "volume_l": exact(50.0), "temp_c": exact(20.0), "light_h": 8.0, **more}
    return levels("praziquantel", acts, **told)


def test_a_half_life_halves():
    """100 mg in 50 L is 2 mg/L; half-lives of 24 h leave 1 after a day, 0.25 after three."""
    found = course(
        (START, Dose(actives={"praziquantel": 100})),
        (after(days=1), Change(share=0.0)),
        half_life_h=(24, 24),
        until=after(days=3),
    )
    assert [found.points[0].after.value, found.points[1].before.value, found.end.value] == pytest.approx(
        [2, 1, 0.25], rel=1e-12
    )


def test_changes_dilute_by_the_power():
    """Ten changes of 30 % leave 0.7^10 = 2.82 %."""
    changes = [(after(days=day), Change(share=0.3)) for day in range(1, 11)]
    found = levels(
        SALT, [(START, Dose(actives={SALT: 100_000})), *changes], facts=FACTS, volume_l=exact(50.0)
    )
    # "No loss" is kept as half-lives of 100,000 h; what they take in ten days is under half a per cent.
    assert found.end.value == pytest.approx(2000 * 0.7**10, rel=0.005)


def test_a_volume_in_whole_litres_is_diluted_as_well():
    """27, not 27.0: half of it changed leaves half, whichever way the number was written."""
    done = [(START, Dose(actives={SALT: 27_000})), (after(days=1), Change(share=0.5))]
    for litres in (27, 27.0):
        found = levels(SALT, done, facts=FACTS, volume_l=exact(litres))
        assert found.end.value == pytest.approx(500.0, rel=0.005)


def test_putting_back_after_a_change():
    """A drug that has not faded: 30 % of 2 mg/L in 50 L is 30 mg."""
    found = course(
        (START, Dose(actives={"praziquantel": 100})),
        (after(hours=1), Change(share=0.3)),
        (after(hours=1), Dose(actives={"praziquantel": 30})),
        half_life_h=(1e9, 1e9),
    )
    assert found.end.value == pytest.approx(2.0, rel=1e-9)


def test_light_fades_only_while_it_burns():
    """Methylene blue in the dark and in the light: only the light's share of the day differs."""
    dose = (START, Dose(actives={"methylene_blue": 100}))
    told = {
        "facts": FACTS,
        "volume_l": exact(50.0),
        "temp_c": exact(20.0),
        "filter": "none",
        "until": after(days=2),
    }
    dark = levels("methylene_blue", [dose, (START, Light(hours_per_day=0))], light_h=12.0, **told)
    lit = levels("methylene_blue", [dose], light_h=12.0, **told)
    always = levels("methylene_blue", [dose], light_h=24.0, **told)
    lost = [np.log(2.0 / found.draws[-1]) for found in (dark, lit, always)]
    assert lost[1] - lost[0] == pytest.approx((lost[2] - lost[0]) / 2, rel=1e-9)


def test_carbon_counts_whole_for_three_days_and_half_to_seven():
    """ln of what carbon took: k × 3 d, then k/2 × 4 d, then nothing."""

    def taken(days):
        acts = [(START, Dose(actives={"praziquantel": 100}))]
        told = {
            "facts": FACTS,
            "volume_l": exact(50.0),
            "temp_c": exact(20.0),
            "filter": "none",
            "light_h": 0.0,
        }
        bare = levels("praziquantel", acts, until=after(days=days), **told)
        with_carbon = levels("praziquantel", [*acts, (START, Media())], until=after(days=days), **told)
        return np.log(bare.draws[-1] / with_carbon.draws[-1])

    k = taken(1) / 24
    assert taken(3) == pytest.approx(k * 72, rel=1e-9)
    assert taken(7) == pytest.approx(k * (72 + 48), rel=1e-9)
    assert taken(12) == pytest.approx(k * (72 + 48), rel=1e-9)


def test_a_filter_that_met_it_takes_it_faster():
    dose = [(START, Dose(actives={"praziquantel": 100}))]
    told = {"facts": FACTS, "volume_l": exact(50.0), "filter": "sponge", "until": after(days=2)}
    assert (
        levels("praziquantel", dose, met=True, **told).end.value
        < levels("praziquantel", dose, **told).end.value
    )


def test_a_second_dose_within_the_day_is_the_same_dose():
    """The filter has not met it before: it fades as one dose of the sum does."""
    told = {
        "facts": FACTS,
        "volume_l": exact(50.0),
        "filter": "sponge",
        "until": after(days=2),
        "half_life_h": None,
    }
    twice = levels("praziquantel", [(START, Dose(actives={"praziquantel": 50}))] * 2, **told)
    once = levels("praziquantel", [(START, Dose(actives={"praziquantel": 100}))], **told)
    assert twice.end.value == pytest.approx(once.end.value, rel=1e-12)


def test_water_cools_as_newton_says():
    """Unplugged, from 26 °C in a room of 20 °C at 0.1/h: 20 + 6 e^−1 after ten hours."""
    run = run_of(tank(heater=True), [], hours=1)
    th = run.th
    th.temp_c, th.room_c, th.cooling_1_h = np.full(64, 26.0), np.full(64, 20.0), np.full(64, 0.1)
    off = run.table.steps[0].standing.after(Heat(temp_c=None), 0)
    assert warmth_after(th.temp_c, th, off, 10.0) == pytest.approx(20 + 6 * np.exp(-1))


def test_a_heater_reaches_its_set_point_and_stays():
    """2 °C/h against 0.1/h: from 20 to 24 °C takes 10 ln(20/16) = 2.23 h."""
    th = run_of(tank(heater=True), [], hours=1).th
    th.temp_c, th.room_c = np.full(64, 20.0), np.full(64, 20.0)
    th.cooling_1_h, th.heating_c_h = np.full(64, 0.1), np.full(64, 2.0)
    on = run_of(tank(), [], hours=1).table.steps[0].standing.after(Heat(temp_c=24.0), 0)
    assert warmth_after(th.temp_c, th, on, 2.2)[0] == pytest.approx(20 + 20 * (1 - np.exp(-0.22)))
    assert warmth_after(th.temp_c, th, on, 2.3)[0] == 24.0


def test_a_change_with_cold_water_mixes():
    """A third of 20 °C water into 26 °C: 24 °C."""
    found = simulate(
        tank(temp_c=exact(26.0), heater=False),
        [(after(hours=1), Change(share=1 / 3, temp_c=20.0))],
        FACTS,
        start=START,
        hours=2,
        draws=64,
    )
    at = found.minutes.index(60)
    cold = found.levels("temp_c")
    assert cold[at + 1] == pytest.approx(cold[at] * 2 / 3 + 20 / 3, rel=1e-6)


def test_oxygen_settles_where_supply_meets_breath():
    """Without filter, waste and plants: kLa V (full − O2) = breath, in each draw."""
    run = run_of(tank(filter="none"), [(START, Feed(usual=0.0))], hours=400)
    th = run.th
    th.fasting_share[:], th.planted[:], th.first_start_mg_h[:], th.second_start_mg_h[:] = 0, 0, 0, 0
    for guild in ("first_guild_mg_h", "second_guild_mg_h"):
        run.start[guild][:] = 0
    step = run.table.steps[-1]
    found = trace(run)
    oxygen = found.fields["oxygen_mg"][-1]
    water = Water(run)
    p = run.body.pace(water.environment(step, found.temp_c[-1]), th, run.draws)
    level = oxygen * th.per_l
    supply = p.kla_1_h * (p.full_mg - oxygen)
    assert supply == pytest.approx(p.breath_mg_h * level / (th.oxygen_half_mg_l + level), rel=1e-6)


def test_rule_22_hospital_tub():
    """4 g of fish in 10 L, fed 1 % a day of food with 45 % protein, no filter: 0.17 mg/L of ammonia a day."""
    tub = tank(volume_l=exact(10.0), filter="none", food_g=0.04, living=None)
    run = run_of(tub, [], hours=24)
    th = run.th
    th.feed_protein[:], th.tan_per_protein[:], th.uneaten[:] = 0.45, 0.092, 0.0
    run.start["first_guild_mg_h"][:] = 0
    found = trace(run)
    assert found.fields["tan_mg"][-1] * th.per_l == pytest.approx(0.17, abs=0.005)


def test_estimates_of_volume_reach_the_level():
    found = levels(
        "praziquantel",
        [(START, Dose(actives={"praziquantel": 100}))],
        facts=FACTS,
        volume_l=Estimate(50, 45, 55),
        draws=1024,
    )
    assert found.peak.low == pytest.approx(100 / 55, rel=0.01)
    assert found.peak.high == pytest.approx(100 / 45, rel=0.01)


def test_the_effect_of_a_substance_bends_without_a_corner():
    """In proportion far below the level of the whole effect, whole above, and nowhere a jump of its slope."""
    level = np.linspace(0.0, 2.0, 2001)
    found = effect(level)
    slope = np.diff(found) / np.diff(level)
    assert found[level <= 1.0 - ROUND] == pytest.approx(level[level <= 1.0 - ROUND])
    assert found[level >= 1.0 + ROUND] == pytest.approx(1.0)
    assert found == pytest.approx(np.minimum(level, 1.0), abs=ROUND / 4 + 1e-12)
    assert (np.diff(slope) <= 1e-9).all()
    assert np.abs(np.diff(slope)).max() < 0.0021


@pytest.mark.parametrize("light_h", [0.0, 6.0, 18.0, 20.0, 23.9, 24.0])
def test_a_light_burns_as_long_as_it_is_set_past_midnight_too(light_h):
    steps = run_of(tank(light_h=light_h), [], hours=72).table.steps
    assert sum(s.hours for s in steps if s.lit) / 3 == pytest.approx(light_h, abs=0.02)
