"""When doses are given, how long a level stands, when it can be decided, how long one looks."""

from datetime import timedelta

import pytest

from tankward.judge.progress import decide_on
from tankward.model.levels import Point
from tankward.quantities.parse import Estimate
from tankward.room.things import LabelRule
from tankward.treat.course.dates import by_label, by_regimen
from tankward.treat.course.exposure import hours_over, published_for
from tankward.treat.course.watching import cycle_d
from tests.treat.tanks import FACTS, NOW

approx = pytest.approx


def timing(substance, regimen, **more):
    row = next(r for r in FACTS.substances[substance].regimen if r.id == regimen)
    return by_regimen(row, **more)


def test_every_other_day_three_times():
    """Metronidazole, 24 to 48 h each, three times every 48 h: the water stays dosed for 144 h."""
    found = timing("metronidazole", "bath")
    assert (found.at_h, found.through, found.end_h) == ((0.0, 48.0, 96.0), True, 144.0)


def test_weeks_apart_the_water_is_clean_between():
    """Levamisole for 24 h, again after 14 to 21 d: the middle, in whole days."""
    found = timing("levamisole", "bath")
    assert (found.at_h, found.through, found.stand_h) == ((0.0, 18 * 24.0), False, 24.0)


def test_what_has_no_time_of_its_own_is_held_as_long_as_the_organism_needs():
    assert timing("sodium_chloride", "ich", held_d=14.0).end_h == 14 * 24.0
    assert timing("sodium_chloride", "stress").end_h == 7 * 24.0


@pytest.mark.parametrize(
    ("rule", "doses", "every_h"),
    [
        (LabelRule(repeat_after_h=48, most_doses=2), 2, 48),
        (LabelRule(repeat_after_h=24, most_doses=9), 3, 24),
        (LabelRule(repeat_after_h=24), 3, 24),
        (LabelRule(), 1, 24),
    ],
)
def test_a_label_is_followed_three_times_at_most(rule, doses, every_h):
    found = by_label(rule)
    assert (found.doses, found.every_h) == (doses, every_h)


def exact(value):
    return Estimate.exact(value)


def point(hours, before, after):
    return Point(at=NOW + timedelta(hours=hours), acts=("dose",), before=exact(before), after=exact(after))


def test_a_level_that_falls_to_a_quarter_is_half_its_time_over_the_half():
    """4 to 1 mg/L in 48 h, evenly in its logarithm: 24 h over 2."""
    points = (point(0, 0.0, 4.0), point(48, 1.0, 1.0))
    assert hours_over(2.0, points, NOW + timedelta(hours=48)) == approx(24.0)


def test_what_lasts_is_over_the_line_to_the_end():
    points = (point(0, 0.0, 4.0), point(48, 4.0, 4.0))
    assert hours_over(2.0, points, NOW + timedelta(hours=96)) == approx(96.0)


def test_what_never_climbs_over_the_line_is_never_over_it():
    assert hours_over(2.0, (point(0, 0.0, 2.0), point(48, 1.0, 2.0)), NOW + timedelta(hours=96)) == 0.0


def test_the_highest_level_that_was_published_for_so_long():
    """Praziquantel: 10 mg/L for 48 h, 2 mg/L left in."""
    assert published_for("praziquantel", 48.0, FACTS) == 10.0
    assert published_for("praziquantel", 144.0, FACTS) == 2.0


def test_no_course_is_judged_before_a_week():
    assert decide_on(NOW, NOW + timedelta(days=2)) == NOW + timedelta(days=7)
    assert decide_on(NOW, NOW + timedelta(days=20)) == NOW + timedelta(days=20)


def test_white_spot_goes_round_faster_in_warm_water():
    """At 24 C a trophont stays 3 to 7 d and a cyst half a day to a day; at 16 C twice as long or more."""
    one = FACTS.organisms["ichthyophthirius"]
    warm, cool = (cycle_d(one, exact(t)) for t in (24.0, 16.0))
    assert warm == (approx(3.5, abs=0.3), approx(8.3, abs=0.3))
    assert cool[1] > 2 * warm[1]


def test_what_lives_without_times_has_no_cycle_to_wait_for():
    assert cycle_d(FACTS.organisms["trichodina"], exact(24.0)) is None


def test_rule_26_red_worms_are_looked_for_until_day_90():
    """Threads at the vent 45 to 90 d after infection, at 25 C."""
    assert cycle_d(FACTS.organisms["camallanus"], exact(25.0))[1] == approx(90.0)


@pytest.mark.parametrize("organism", ["mycobacterium", "aeromonas", "lymphocystis"])
def test_rule_26_what_is_carried_for_life_is_never_counted_out(organism):
    assert cycle_d(FACTS.organisms[organism], exact(25.0)) is None
