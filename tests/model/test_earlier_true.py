"""In invented tanks whose filter is known: what an earlier course taught brings a later forecast nearer it.

Each tank is one draw of the facts, treated once and read by kits with errors; nothing outside of it is used.
"""

from datetime import timedelta

import numpy as np
import pytest
from scipy.stats import binom

from scripts.calibration.tanks import LANES, Kits
from tankward.model.draws import sweeping
from tankward.model.earlier import OF_THEN, stretches
from tankward.model.forecast import forecast
from tankward.model.from_room import story
from tankward.model.simulate import simulate
from tankward.room.entries.ends import CourseClosed
from tankward.room.entries.water import ReadingTaken
from tankward.room.replay import replay
from tankward.room.things import Reading
from tests.helpers.rooms import entries_from
from tests.model.test_earlier import FACTS, TANK, course, day

TANKS, DRAWS, LATER = 32, 128, 18.0
READ = [(d, q) for d in (0.5, 1.5, 2.5, 4.5, 6.5) for q in ("ammonia_n", "nitrite_n")]
YOUNG = 'filter-age="30 d"'  # two to eight weeks: it carries from a fifth of its load to more than that
SMOOTH = 0.4  # width over which a filter's strength is told apart, in its logarithm


class Truth:
    """One value for each number, the same then and now but for what was of that time alone."""

    def __init__(self, rng):
        self.rng, self.kept = rng, {}

    def shares(self, then):
        def share(name, draws):
            key = (name, then) if name in OF_THEN else name
            if key not in self.kept:
                self.kept[key] = self.rng.uniform(1e-6, 1 - 1e-6)
            return np.full(draws, self.kept[key])

        return share

    def run(self, room, start, end, then):
        told = story(room, "t8", start, end, FACTS, ())
        hours = (end - told.start) / timedelta(hours=1) + 1
        with sweeping(self.shares(then)):
            return simulate(
                told.setup, told.acts, FACTS, start=start, hours=hours, draws=LANES, events=told.events,
                marks=(end, *(day(d) for d, _ in READ)),
            )  # fmt: skip


def invented(number):
    """A tank of unknown filter, treated once; read by its own kits while it was."""
    rng = np.random.default_rng(number)
    truth, kits = Truth(rng), Kits(rng, FACTS)
    tank = TANK.replace('filter-age="400 d"', YOUNG).replace("1 Feb", "27 Feb")
    end = CourseClosed(id="end", at=day(8), tank="t8", course="course1", outcome="cleared")
    bare = [*entries_from(tank), *course("praziquantel", 108.0), end]
    record = truth.run(replay(bare), day(-2.5), day(7), True)

    def shown(at, quantity):
        level = float(record.levels(quantity)[record.row_of(at)][0])
        return Reading(quantity=quantity, value=kits.shows(level, quantity, ""))

    read = [
        ReadingTaken(id=f"read-{number}-{n}", at=day(d), tank="t8", values=(shown(day(d), q),))
        for n, (d, q) in enumerate(READ)
    ]
    return truth, replay(bare), replay([*bare, *read])


def score(values, weights, true):
    """ln of how much of the weight lies about what is true."""
    off = (np.log(values) - np.log(true)) / SMOOTH
    return float(np.log((weights * np.exp(-off * off / 2)).sum() / weights.sum()))


@pytest.fixture(scope="module")
def found():
    """Of each tank: what its filter is, what is forecast, the strength in each draw with its weight."""
    now, rows = day(LATER), []
    for number in range(TANKS):
        truth, bare, read = invented(number)
        assert stretches(read, "t8", now - timedelta(days=7))
        later = truth.run(bare, now - timedelta(days=7), now, False)
        true = 24.0 * float(later.guild_mg_h[later.row_of(now)][0])
        made = forecast(read, "t8", now, facts=FACTS, draws=DRAWS)
        rows.append((true, made, 24.0 * made.record.guild_mg_h[made.record.row_of(now)]))
    return rows


def gains(rows, weights_of):
    return np.array([
        score(values, weights_of(made), true) - score(values, np.ones(values.size), true)
        for true, made, values in rows
    ])  # fmt: skip


@pytest.fixture(scope="module")
def by_luck(found):
    """The gain that one in a hundred has who gives the weights to draws at random."""
    rng, size = np.random.default_rng(1), found[0][1].weights.size
    orders = [rng.permutation(size) for _ in range(400)]
    return np.quantile([gains(found, lambda m, o=o: m.weights[o]).mean() for o in orders], 0.99)


@pytest.mark.slow
def test_more_of_the_weight_lies_about_the_filter_that_is(found, by_luck):
    assert gains(found, lambda made: made.weights).mean() > by_luck


@pytest.mark.slow
def test_weights_given_to_the_wrong_draws_are_found_out(found, by_luck):
    assert gains(found, lambda made: np.roll(made.weights, 1)).mean() < by_luck


@pytest.mark.slow
def test_the_filter_lies_within_what_is_said_as_often_as_is_said(found):
    """The middle nine tenths hold it in as many tanks as chance allows, or in more."""
    bands = [next(n for n in made.own if n.what == "filter").after for _, made, _ in found]
    inside = sum(b.low <= true <= b.high for b, (true, *_) in zip(bands, found, strict=True))
    assert inside >= binom.ppf(0.001, TANKS, 0.9)
