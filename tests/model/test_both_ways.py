"""One organism with what a course does to it and without: the same until it begins, apart after it."""

from datetime import timedelta

import numpy as np
import pytest
from scipy.stats import betabinom, gamma, nbinom

from tankward.model import both_ways as model
from tankward.model.both_ways import (
    Asked,
    beta_binomial,
    both_ways,
    follow_way,
    looked_like,
    negative_binomial,
    pilots,
)
from tankward.model.counts import Deaths, Heads, OnFish, eyes_of, log_beta_binomial, log_parasites
from tankward.model.drifting import DAYS, DIES, drifting, log_deaths_since, log_fields_since, log_since
from tankward.model.fields import InField, log_fields
from tankward.model.follow import herd_of
from tankward.model.from_room import story
from tankward.model.organisms import life_of, longest_stay_d
from tankward.model.simulate import simulate
from tankward.model.suspect import Seen
from tankward.room.acts import Bath, Dose
from tankward.room.text import room_of_text
from tests.model.tanks import FACTS, START

GIVEN = START + timedelta(days=5)
DRAWS = 64
TANK = """
1 February 2026 08:00  tank     T  volume="54 L" temp=25C filter=sponge filter-age="20 weeks" light=8h
1 February 2026 08:05  stock    T  kind=guppy number=20 length=3cm
"""


def at(days):
    """So many days after the course began."""
    return GIVEN + timedelta(days=days)


def look(days, number, of=20, sign="flashing"):
    return Heads(at=at(days), sign=sign, low=number, high=number, of=of)


def asked(*looks, substance="praziquantel", acts=None, organism="gyrodactylus", died=(), fields=()):
    """Flukes in a tank to which two doses are given."""
    given = acts if acts is not None else [(at(d), Dose(actives={substance: 135.0})) for d in (0, 5)]
    told = story(room_of_text(TANK), "t", START, GIVEN, FACTS, given)
    record = simulate(told.setup, told.acts, FACTS, start=START, hours=24.0 * 20, draws=DRAWS, marks=(GIVEN,))
    seen = Seen(since=looks[0].at, told=tuple(looks))
    return Asked(
        life=life_of(FACTS, organism, herd_of(told, FACTS, DRAWS), DRAWS), told=told, record=record,
        weights=np.full(DRAWS, 1.0 / DRAWS), seen=seen, given=GIVEN, now=looks[-1].at, facts=FACTS,
        substances=frozenset({substance}), died=tuple(died), fields=tuple(fields),
    )  # fmt: skip


EARLY = (look(-4, 4), look(-1, 6))


@pytest.fixture(scope="module")
def plain():
    return asked(*EARLY)


@pytest.fixture(scope="module")
def first(plain):
    return pilots(plain, at(7))


def test_both_ways_are_one_until_the_course_begins(plain, first):
    given = plain.minute(GIVEN)
    for one in (first.acts, first.idle):
        assert given in one.passed.minutes
    earlier = [n for n, m in enumerate(first.idle.passed.minutes) if m < given]
    upto = len(earlier)
    np.testing.assert_allclose(
        first.acts.passed.rows[:upto], first.idle.passed.rows[:upto], rtol=1e-3, atol=1e-6
    )
    assert first.acts.course.reach
    assert not first.idle.course.reach


def test_it_bites_where_at_most_half_is_left(plain, first):
    left = model.carried_at(first.acts, plain.minute(at(7))) / model.carried_at(
        first.idle, plain.minute(at(7))
    )
    assert (first.bites == (left <= model.BITES)).all()
    assert 0 < first.bites.sum() < DRAWS  # in some draws of the facts nothing happens at all


def test_what_touches_nothing_is_not_asked():
    assert pilots(asked(*EARLY, substance="sodium_thiosulfate"), at(7)) is None


def test_the_second_way_knows_no_bath_of_it():
    bath = [(at(1), Bath(actives={"sodium_chloride": 25_000.0 * 10}, volume_l=10.0, minutes=15.0))]
    one = asked(*EARLY, substance="sodium_chloride", acts=bath)
    assert model.touches(one)
    start = np.full(DRAWS, 50.0)
    ways = [follow_way(one, start, acting, None) for acting in (True, False)]
    there = [model.carried_at(w, one.minute(at(1.2))) for w in ways]
    assert np.median(there[0] / there[1]) < 0.5


def test_fewer_speak_for_it_and_more_against_it(first):
    fall = both_ways(asked(*EARLY, look(4, 2), look(7, 0)), first)
    rise = both_ways(asked(*EARLY, look(4, 10), look(7, 14)), first)
    assert fall.logs[0] > fall.logs[2] + 0.5
    assert rise.logs[0] < rise.logs[2] - 0.5
    for one in (fall, rise):
        assert one.bites.before.sum() == pytest.approx(1.0)
        assert one.bites.weights.sum() == pytest.approx(1.0)
        assert (one.bites.before[~first.bites] == 0).all()
        assert (one.weak.before[first.bites] == 0).all()


def test_without_a_look_since_nothing_is_moved(plain, first):
    found = both_ways(plain, first)
    assert found.logs[2] == pytest.approx(0.0, abs=0.25)  # two estimates of one number
    np.testing.assert_allclose(found.idle.before, found.idle.weights)


def test_many_dead_speak_against_it(first):
    few = (Deaths(since=EARLY[0].at, at=GIVEN, number=0), Deaths(since=GIVEN, at=at(7), number=0))
    many = (few[0], Deaths(since=GIVEN, at=at(7), number=8))
    calm, dying = (both_ways(asked(*EARLY, look(7, 6), died=d), first) for d in (few, many))
    assert dying.logs[0] - dying.logs[2] < calm.logs[0] - calm.logs[2]


def test_what_no_draw_explains_counts_for_less(first):
    odd = both_ways(
        asked(*EARLY, *(look(d, n) for d, n in ((1, 20), (2, 0), (3, 20), (4, 0), (5, 20)))), first
    )
    assert odd.power < 1.0
    assert odd.bites.effective >= 0.8 * min(model.ENOUGH, 0.9 * DRAWS * first.bites.mean())


def test_counts_of_a_look_to_come_add_up_and_fall_where_it_helps(plain, first):
    found = both_ways(plain, first)
    like = looked_like(at(7), EARLY[-1], "flashing", 20)
    assert isinstance(like, Heads)
    each = [found.outcomes(w, like) for w in (found.bites, found.idle)]
    for one in each:
        np.testing.assert_allclose(one.sum(axis=0), 1.0)
    mean = [
        float(np.arange(21) @ (e @ w.before)) for e, w in zip(each, (found.bites, found.idle), strict=True)
    ]
    assert mean[0] < mean[1] - 2.0


def test_a_look_to_come_is_like_the_last_one():
    spots = OnFish(at=at(0), sign="visible_parasite", number=14, of=5)
    like = looked_like(at(3), spots, "flashing", 5)
    assert (type(like), like.sign, like.of) == (OnFish, "visible_parasite", 5)
    assert looked_like(at(3), None, "flashing", 12).of == 12


@pytest.mark.parametrize(("of", "chance", "alike"), [(20, 0.3, 0.1), (7, 0.02, 0.05), (40, 0.97, 0.2)])
def test_the_chances_of_heads_are_those_of_scipy(of, chance, alike):
    """Against scipy's beta-binomial, and against the form that looks are weighed by."""
    total = 1.0 / alike - 1.0
    each = beta_binomial(of, np.array([chance]), np.array([alike]))[:, 0]
    np.testing.assert_allclose(each, betabinom(of, chance * total, (1 - chance) * total).pmf(range(of + 1)))
    for k in (0, 1, of):
        told = log_beta_binomial(k, of, np.array([chance]), np.array([alike]))[0]
        assert np.log(each[k]) == pytest.approx(told)


@pytest.mark.parametrize(("mean", "size"), [(3.0, 0.5), (40.0, 2.0), (0.01, 1.0)])
def test_the_chances_of_parasites_are_those_of_scipy(mean, size):
    each = negative_binomial(np.array([mean]), np.array([size]), 60)[:, 0]
    dist = nbinom(size, size / (size + mean))
    np.testing.assert_allclose(each[:-1], dist.pmf(range(60)), rtol=1e-9)
    assert each[-1] == pytest.approx(dist.sf(59), rel=1e-6)  # the last stands for so many or more
    assert np.log(each[5]) == pytest.approx(log_parasites(5, np.array([mean]), np.array([size]))[0])


def test_of_germs_in_a_field_only_how_two_counts_stand_to_each_other_counts():
    fields = (InField(at=at(-1), number=12), InField(at=at(6), number=1))
    loads = np.array([[100.0, 100.0, 100.0], [100.0, 10.0, 1000.0]])
    same, fallen, risen = log_fields(fields, loads)
    assert fallen > same > risen
    np.testing.assert_allclose(log_fields(fields, 7.5 * loads), [same, fallen, risen], rtol=1e-9)


def test_germs_under_the_lens_move_it(first):
    told = (*EARLY, look(7, 5))
    gone, more = (
        both_ways(asked(*told, fields=(InField(at=at(-1), number=12), InField(at=at(7), number=n))), first)
        for n in (0, 40)
    )
    assert gone.logs[0] - gone.logs[2] > more.logs[0] - more.logs[2] + 1.0


def test_another_cause_mostly_spreads_and_is_fair_to_what_it_knows():
    eyes = eyes_of(asked(*EARLY).life, FACTS)
    one = drifting(EARLY[0], EARLY[0].at, eyes).after(EARLY)
    week = one.counted(look(7, 0))
    assert week.sum() == pytest.approx(1.0)
    share = np.arange(21) @ week
    assert share > 6.0
    assert week[0] < 0.05 < week[:4].sum()
    late = [look(3, 3), look(7, 9)]
    both = log_since([], [*EARLY, *late], eyes) - log_since([], EARLY, eyes)
    assert log_since(EARLY, late, eyes) == pytest.approx(both)  # chances of what came later, given the rest
    assert log_since(EARLY, [], eyes) == 0.0


def test_under_another_cause_some_show_it_for_no_reason_at_all():
    eyes = eyes_of(asked(*EARLY).life, FACTS)
    one = drifting(EARLY[0], EARLY[0].at, eyes)
    assert one.floor == pytest.approx(float(np.median(eyes.elsewhere["flashing"])))
    assert one.chance(look(40, 0)).min() >= one.floor * 0.999


def test_another_cause_under_the_lens_and_its_dead():
    early, late = InField(at=at(-1), number=12), InField(at=at(7), number=0)
    assert log_fields_since((early,), (early,)) == pytest.approx(0.0)
    few = InField(at=at(-1), number=1)
    assert log_fields_since((early,), (early, late)) < log_fields_since((few,), (few, late))
    before = Deaths(since=at(-4), at=GIVEN, number=0)
    since = [Deaths(since=GIVEN, at=at(7), number=n) for n in range(4)]
    chances = np.exp([log_deaths_since(before, s, 20.0, 1.0) for s in since])
    rate = gamma(DIES, scale=1.0 / (DAYS + 80.0))
    mean = rate.rvs(200_000, random_state=np.random.default_rng(1)) * 140.0
    told = [float(np.mean(nbinom.pmf(n, 1.0, 1.0 / (1.0 + mean)))) for n in range(4)]
    np.testing.assert_allclose(chances, told, rtol=0.06)


def test_how_long_one_sits_on_a_fish():
    """White spot at 25 C: the facts of the trophont; warmer is shorter."""
    life = asked(*EARLY, organism="ichthyophthirius").life
    stays = [longest_stay_d(life, np.full(DRAWS, t)) for t in (18.0, 25.0)]
    assert stays[1] < stays[0]
    assert 2.0 < stays[1] < 8.0
