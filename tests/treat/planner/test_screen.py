"""The screen by the substance alone, against the same doses and changes run from act to act."""

from datetime import timedelta

import numpy as np
import pytest

from tankward.model.levels import levels, survival
from tankward.room.acts import Dose, Light, Media
from tankward.treat.course.acts import planned_acts
from tankward.treat.course.choice import choose
from tankward.treat.planner.clock import Clock, starts, waking
from tankward.treat.planner.dosed import At, Dosed
from tankward.treat.planner.search import spread
from tests.treat.test_course_rooms import FACTS, NOW, T7, T8, request

EVEN = np.full(64, 1 / 64)
BY = NOW + timedelta(days=28)
CASES = [
    (T8, "t8", "white_spot", "malachite_green", "long"),
    (T8, "t8", "white_spot", "sodium_chloride", "ich"),
    (T7, "t7", "hexamita", "metronidazole", "bath"),
]


def way(log, tank, cause, substance, regimen, hours=None):
    asked = request(log, tank, cause)
    chosen = choose(asked, substance, "water_long", FACTS, regimen_id=regimen)
    there = waking(hours)
    clocks = [Clock(at, there, "UTC") for at in starts(there, NOW, "UTC")]
    return Dosed(chosen.option, chosen, asked, FACTS, clocks, NOW)


@pytest.mark.parametrize("case", CASES, ids=lambda c: c[3])
def test_peaks_of_the_screen_are_those_of_the_course_from_act_to_act(case):
    """Highest level of 12 drafts spread over all: within the rounding of hours."""
    one = way(*case)
    for point in spread(one, 400)[::35]:
        (seen,) = one.screen([point], EVEN, BY)
        if seen is None:
            continue
        acts = one.acts(point)
        found = levels(
            case[3], acts, facts=FACTS, volume_l=one.volume_l, temp_c=one.request.temp_c,
            light_h=one.request.tank.light_h, filter=one.request.tank.filter, until=BY,
        )  # fmt: skip
        (active,) = one.actives(At(*point).strength, 64)
        over = (found.draws.max(axis=0) > active.line * (1 + 1e-9)).mean()
        assert seen.over == pytest.approx(over, abs=1 / 64)


@pytest.mark.parametrize("case", CASES, ids=lambda c: c[3])
def test_the_acts_of_a_draft_are_those_of_its_course(case):
    """But for the dechlorinator, what is measured, and the ramp of warmth."""
    one = way(*case)
    point = one.published
    drafted = [(at, act) for at, act in one.acts(point) if not isinstance(act, Dose)]
    made = [(at, act) for at, act in planned_acts(one.course(point)) if not isinstance(act, Dose)]
    assert sorted(map(repr, drafted)) == sorted(map(repr, made))
    given = [act.actives for _, act in one.acts(point) if isinstance(act, Dose)]
    doses = [
        act.actives
        for _, act in planned_acts(one.course(point))
        if isinstance(act, Dose) and "sodium_thiosulfate" not in act.actives
    ]
    assert [sum(d.values()) for d in given] == pytest.approx([sum(d.values()) for d in doses], rel=0.03)


@pytest.mark.parametrize("case", CASES, ids=lambda c: c[3])
def test_what_is_left_day_by_day_is_as_if_followed_all_the_way(case):
    """In the dark and in the light: twelve days hour by hour, of which two were followed."""
    one = way(*case)
    light = [] if not one.dark else [(one.clocks[0].start, Light(hours_per_day=0.0))]
    for met in (False, True):
        followed = survival(
            case[3], [*light, (one.clocks[0].start, Media(into=False))], facts=FACTS,
            volume_l=one.volume_l, start=one.clocks[0].start, hours=12 * 24, level=1.0,
            temp_c=one.request.temp_c, light_h=one.request.tank.light_h, filter=one.request.tank.filter,
            met=met,
        )  # fmt: skip
        assert one._left(case[3], 1.0, met, 64)[: 12 * 24 + 1] == pytest.approx(followed, rel=1e-9)


@pytest.mark.parametrize("case", CASES, ids=lambda c: c[3])
def test_the_published_point_is_the_published_course(case):
    from tankward.treat.course.make import make_course

    one = way(*case)
    plain = make_course(
        one.request,
        case[3],
        "water_long",
        facts=FACTS,
        start=one.clocks[0].start,
        now=NOW,
        regimen_id=case[4],
    )
    mine = one.course(one.published)
    for kind in ("dose", "put-back", "change"):
        mine_at = [s.at for s in mine.steps if s.kind in ("dose", "put-back") or s.kind == kind]
        plain_at = [s.at for s in plain.steps if s.kind in ("dose", "put-back") or s.kind == kind]
        assert mine_at == plain_at
    amounts = ([a.amount for d in c.doses for a in d.actives] for c in (mine, plain))
    a, b = amounts
    assert a == pytest.approx(b, rel=0.05)
    assert mine.ends == plain.ends
