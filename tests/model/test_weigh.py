"""Draws weighed by what was read: against closed forms, and never by what cannot be."""

import msgspec
import numpy as np
import pytest

from tankward.knowledge.beliefs import Z95, normal
from tankward.model import bands
from tankward.model.draws import uniform
from tankward.model.from_room import Story
from tankward.model.learn import learn
from tankward.model.weigh import Evidence, powered, resampled, tempered
from tankward.room.acts import Dose
from tankward.room.things import Reading, Tank
from tests.model.tanks import FACTS, START, after, exact, tank

DRAWS = 1024
PRIOR = 4.0 + 1.0 * normal(uniform("volume_l", DRAWS))  # mean 4, standard deviation 1


def surely(share=0.0):
    """Facts in which so many readings are not what they seem."""
    row = msgspec.structs.replace(FACTS.tank["reading_odd"], low=share, high=share)
    return msgspec.structs.replace(FACTS, tank=FACTS.tank | {"reading_odd": row})


def held(readings, levels, facts):
    """Readings of a level that stays, a day apart."""
    told = [(after(days=2 + n), r) for n, r in enumerate(readings)]
    evidence = Evidence(facts, levels.size, START)
    for _, event in evidence.events(told):
        levels = event.taken(levels)
    return evidence, levels


def moments(weights):
    mean = (weights * PRIOR).sum()
    return mean, (weights * (PRIOR - mean) ** 2).sum()


# Two readings with ranges of the keeper's own: 3 (0 to 6) and 6 (0 to 12).
TWO = [Reading(quantity="oxygen", value=v, low=0.0, high=2 * v) for v in (3.0, 6.0)]


def conjugate(power=1.0):
    """Mean and variance of a normal prior and two normal readings, each with 90 % inside its range."""
    precise = [power * (Z95 / r.value) ** 2 for r in TWO]
    variance = 1.0 / (1.0 + sum(precise))
    return variance * (4.0 + sum(p * r.value for p, r in zip(precise, TWO, strict=True))), variance


def test_two_readings_of_a_level_that_stays_as_by_hand():
    evidence, levels = held(TWO, PRIOR, surely())
    assert np.array_equal(levels, PRIOR)
    mean, variance = moments(powered(evidence.log, 1.0))
    assert (mean, variance) == pytest.approx(conjugate(), rel=0.01)
    assert variance < 0.9


def test_tempered_they_count_for_as_much_less():
    """To the power b each precision is b times as large; the power leaves just as many draws as asked for."""
    sharp = 12.0 * held(TWO, PRIOR, surely())[0].log
    weights, power = tempered(sharp, 0.6 * DRAWS)
    assert power < 1.0
    assert bands.effective(weights) == pytest.approx(0.6 * DRAWS, rel=1e-3)
    assert moments(weights) == pytest.approx(conjugate(12.0 * power), rel=0.03)


def test_enough_draws_are_left_alone():
    log = held(TWO, PRIOR, surely())[0].log
    weights, power = tempered(log, 16.0)
    assert power == 1.0
    assert np.array_equal(weights, powered(log, 1.0))


def test_resampled_draws_say_the_same():
    weights = powered(held(TWO, PRIOR, surely())[0].log, 1.0)
    kept = PRIOR[resampled(weights, 256)]
    assert (kept.mean(), kept.var()) == pytest.approx(moments(weights), rel=0.05)


def test_readings_of_one_lot_tell_less_than_of_two():
    """Twice the same bottle may be off twice alike; the keeper's own range may not."""
    levels = np.exp(0.5 * normal(uniform("volume_l", DRAWS)))
    drops = [Reading(quantity="ammonia_n", value=0.8225)] * 4  # 1 mg/L on the card
    one, _ = held(drops, levels, surely())
    each = 4 * held(drops[:1], levels, surely())[0].log
    spread = [bands.band(np.log(levels), powered(log, 1.0)) for log in (one.log, each)]
    assert spread[0].high - spread[0].low > 1.2 * (spread[1].high - spread[1].low)


def test_a_level_is_kept_where_it_explains_what_was_read():
    """And goes on from what was read, in most draws, where it does not."""
    evidence, levels = held([Reading(quantity="ammonia_n", value=6.58)], np.full(DRAWS, 0.01), FACTS)
    assert evidence.judged[0].explained < 0.01
    assert np.mean(levels > 1.0) == pytest.approx(0.67, abs=0.02)
    evidence, levels = held([Reading(quantity="ammonia_n", value=6.58)], np.full(DRAWS, 6.0), FACTS)
    assert evidence.judged[0].explained > 0.95
    assert np.mean(levels == 6.0) > 0.95


def test_nothing_is_drawn_anew_when_asked_again():
    reading = [Reading(quantity="nitrite_n", value=0.3)]
    first, second = (held(reading, PRIOR, FACTS) for _ in range(2))
    assert np.array_equal(first[1], second[1])
    assert np.array_equal(first[0].log, second[0].log)


def test_fewer_draws_are_the_first_of_more():
    reading = [Reading(quantity="nitrite_n", value=0.3)]
    few, many = held(reading, PRIOR[:128], FACTS), held(reading, PRIOR, FACTS)
    assert np.array_equal(few[1], many[1][:128])
    assert np.allclose(few[0].log, many[0].log[:128])


def dosed(*readings, **more):
    """Copper sulfate given once, 46 mg in 46 L, and read."""
    setup = tank(volume_l=exact(46.0), light_h=0.0)
    return Story(
        tank=Tank(id="t", name="T"), start=START, setup=setup, unweighed=(), events=(),
        acts=((after(hours=1), Dose(actives={"copper": 46.0})),), readings=readings, **more,
    )  # fmt: skip


def copper(days, mark):
    return after(days=days), Reading(quantity="copper", value=mark)


def test_two_readings_teach_how_fast_copper_goes():
    """0.2 mg/L as copper after a day and 0.1 after three: the chance of each draw by hand, over the lots."""
    now = after(days=4)
    found = learn(dosed(copper(1, 0.2), copper(3, 0.1)), now, surely(), hours=120, draws=256)
    bare = learn(dosed(), now, surely(), hours=120, draws=256)
    kit = FACTS.kits["copper_drops"]
    levels = [0.2545 * bare.record.levels("copper")[bare.record.row_of(after(days=d))] for d in (1, 3)]
    lots = np.exp(np.log(0.6) + np.log(1.6 / 0.6) * (0.5 + normal((np.arange(12) + 0.5) / 12) / Z95 / 2))
    eye = np.sqrt((1.0 / Z95) ** 2 - 1 / 12)
    chance = np.ones((256, 12))
    for level, mark in zip(levels, (3, 2), strict=True):
        at = np.interp(level[:, None] * lots, kit.steps, np.arange(6))
        chance = chance * (_below((mark + 0.5 - at) / eye) - _below((mark - 0.5 - at) / eye))
    expected = chance.mean(axis=1)
    assert found.weights == pytest.approx(expected / expected.sum(), abs=2e-5)
    half = next(n for n in found.own if n.what == "half_life")
    assert (half.about, half.unit) == ("copper", "h")
    assert half.after.high / half.after.low < 0.7 * half.at_first.high / half.at_first.low


def _below(z):
    from scipy.stats import norm

    return norm.cdf(z)


def test_a_fast_fall_means_a_short_half_life():
    fast, slow = (
        learn(dosed(copper(1, first), copper(2, last)), after(days=3), FACTS, hours=80, draws=256)
        for first, last in ((0.05, 0.0), (0.2, 0.2))
    )
    quick, long = (next(n for n in f.own if n.what == "half_life") for f in (fast, slow))
    assert quick.after.value < quick.at_first.value < long.after.value
    assert quick.before.value != quick.after.value


def stood(*, well):
    """Four times the fish, and nobody knows which filter runs: its exchange of gas spans a factor of 80."""
    living = msgspec.structs.replace(tank().living, mass_g=exact(60.0), breath_50g=exact(6.0), planted=False)
    setup = tank(filter="", living=living)
    story = msgspec.structs.replace(dosed(), setup=setup, acts=())
    found = learn(story, after(days=7), FACTS, hours=168, draws=256, well=well)
    return next(n for n in found.own if n.what == "gas_exchange")


def test_a_tank_that_stood_with_well_animals_narrows_its_exchange_of_gas():
    one = stood(well=True)
    assert one.at_first.high / one.at_first.low == pytest.approx(80, rel=0.05)
    assert one.after.high / one.after.low < 0.5 * one.at_first.high / one.at_first.low
    assert one.after.low > 2 * one.at_first.low


def test_what_nobody_saw_narrows_nothing():
    one = stood(well=False)
    assert one.after == one.before == one.at_first


def test_more_draws_are_tried_before_anything_is_tempered():
    """Many readings leave few of 64 draws: of 256 as many as asked for are kept, alike likely."""
    sure = [
        (after(days=d), Reading(quantity="oxygen", value=6.4, low=6.3, high=6.5)) for d in (2, 3, 4, 5, 6)
    ]
    story = msgspec.structs.replace(dosed(), acts=(), readings=tuple(sure))
    found = learn(story, after(days=7), FACTS, hours=168, draws=64)
    assert found.weights.size == found.record.levels("oxygen").shape[1] == 64
    assert np.ptp(found.weights) == 0.0
    assert found.effective <= 64
    assert len(np.unique(found.record.levels("oxygen")[-1])) < 64
