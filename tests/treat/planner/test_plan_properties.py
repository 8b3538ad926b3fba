"""What holds of every plan, whatever is asked: sound, within the hours, three rounds at most, as wished."""

from concurrent.futures import ThreadPoolExecutor
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scripts.planning.problems import Problem, Ready
from scripts.planning.rooms import AWAY, EVENINGS, NOW, T2, T7, T8
from tankward.model.run import warm
from tankward.quantities.faults import Refused
from tankward.room.acts import Dose
from tankward.room.hours import hours_of
from tankward.treat.course.acts import planned_acts
from tankward.treat.medicine import is_medicine
from tankward.treat.planner import plan as planning
from tankward.treat.planner import search as searching
from tankward.treat.planner.clock import waking
from tankward.treat.planner.plan import SCREEN, make_plan
from tankward.treat.planner.records import MOST, WHATS, Wishes
from tankward.treat.planner.score import days_from, minutes_of, tops_of_option
from tankward.treat.planner.search import Budget, passing, spread
from tankward.treat.remedies.records import Options
from tests.treat.tanks import FACTS

LITTLE = Budget(120, 10, 3)
ASKED = [(T7, "hexamita"), (T8, "white_spot"), (T8, "gill_flukes"), (T2, "gill_flukes"), (T7, "camallanus")]
FINE = 1024


@cache
def ready(n):
    warm(wait=True)
    log, cause = ASKED[n]
    return Ready(Problem(cause, log, (cause,)), FACTS)


def planned(n, **wishes):
    one = ready(n)
    return make_plan(
        one.room, one.request, one.options, Wishes(**wishes), NOW, FACTS, budget=LITTLE, look_further=False
    )


def chains(plan):
    """Every course of a plan and what follows it."""
    return [p for first in plan.courses for p in (first, *first.then)]


wishes = st.fixed_dictionaries(
    {},
    optional={
        "hours": st.sampled_from([hours_of(EVENINGS, NOW), hours_of(AWAY, NOW)]),
        "medicine": st.booleans(),
        "on_shelf": st.booleans(),
        "spare": st.sampled_from([("shrimp",), ("snail",)]),
        "most": st.fixed_dictionaries({}, optional={w: st.sampled_from([0.0, 0.01, 0.05]) for w in WHATS}),
    },
)


@pytest.mark.slow
@settings(max_examples=8, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.integers(0, len(ASKED) - 1), wishes)
def test_what_is_shown_holds_whatever_was_wished(n, wished):
    plan = planned(n, **wished)
    assert plan.courses or plan.nothing
    one, asked = ready(n), Wishes(**wished)
    there = waking(asked.hours)
    for shown in chains(plan):
        score, course = shown.score, shown.course
        assert score.sound
        for line in score.lines:
            assert line.chance <= line.most
            assert line.what not in asked.most or line.most == asked.most[line.what]
        given_ = [d for d in course.doses if d.kind == "full"]
        assert len(given_) <= 3
        for step in course.steps:
            assert there.holds(step.at, one.request.zone), (step.kind, step.at)
        if not asked.medicine:
            assert not is_medicine(course.substance, FACTS)
        if asked.on_shelf and shown.option.route in ("water_long", "water_bath", "feed"):
            assert shown.option.shelf is not None
        if asked.spare:
            spared = [v for v in shown.option.bears if asked.spare[0] in (v.limit.group, v.limit.kind_of)]
            assert all(v.says == "bears" for v in spared)
    for first in plan.courses:
        assert first.score.draws == FINE


@pytest.mark.slow
def test_numbers_of_a_course_are_those_of_judging_it_by_itself():
    """Scores at 1,024 draws, and what each simplification loses at 64."""
    plan, one = planned(1), ready(1)
    for shown in plan.courses:
        tops = tops_of_option(shown.option, FACTS)
        again = one.judging.scored_course(shown.course, tops, FINE, shown.score.cost)
        assert again == shown.score
    way, point = next(
        (w, p)
        for w in one.ways
        for p in passing(w, spread(w, 60), one.weights, one.by, one.wishes)
        if w.simpler(p)
    )
    base = one.planner.draft_score(way, point, SCREEN)
    for loss, (kind, other) in zip(
        one.planner.losses(one.ways.index(way), point),
        [(k, p) for k, p in way.simpler(point) if way.screen([p], one.weights, one.by)[0] is not None],
        strict=True,
    ):
        direct = one.planner.draft_score(way, other, SCREEN)
        assert loss.kind == kind
        assert loss.clear == pytest.approx(base.clear.value - direct.clear.value)
        assert loss.harm == pytest.approx(direct.harm - base.harm)
        assert loss.minutes == pytest.approx((sum(base.minutes) - sum(direct.minutes)) / 2)


@pytest.mark.slow
def test_a_draft_is_worth_what_its_course_is():
    """But for the dechlorinator, of which a draft knows nothing: with it the draws fall otherwise."""
    one, compared = ready(1), 0
    for way in one.ways:
        tops = tops_of_option(way.option, FACTS)
        for point in list(passing(way, spread(way, 200), one.weights, one.by, one.wishes))[::40]:
            draft = one.planner.draft_score(way, point, SCREEN)
            if way.acts(point) is None:
                continue
            course = way.course(point)
            acts = [(at, act) for at, act in planned_acts(course) if not dechlorinates(act)]
            again = one.judging.scored(
                acts, tops, SCREEN, days=days_from(NOW, course.ends), minutes=minutes_of(acts, FACTS),
                cost=draft.cost,
            )  # fmt: skip
            assert again == draft
            compared += 1
    assert compared > 2


def dechlorinates(act):
    return isinstance(act, Dose) and "sodium_thiosulfate" in act.actives


@pytest.mark.slow
def test_the_same_again_with_one_thread_or_two(monkeypatch):
    plans = []
    for threads in (1, 2):
        monkeypatch.setattr(searching, "THREADS", threads)
        monkeypatch.setattr(planning, "THREADS", threads)
        plans.append(planned(0))
    assert plans[0] == plans[1]


def test_most_drafts_that_pass_the_screen_can_be_made():
    """No more than a twentieth of those that pass are refused as a course, and none for its rounds."""
    one = ready(2)
    refused, made = [], 0
    for way in one.ways:
        for point in list(passing(way, spread(way, 300), one.weights, one.by, one.wishes))[::9]:
            try:
                way.course(point)
                made += 1
            except Refused as no:
                refused.append(no.reasons[0].kind)
    assert made > 20
    assert "too-many-rounds" not in refused


@pytest.mark.parametrize("what", WHATS)
@pytest.mark.parametrize("asked", [MOST + 1e-6, 0.2, 1.0, -0.01])
def test_more_chance_of_harm_than_is_safe_is_refused(what, asked):
    with pytest.raises(Refused) as no:
        planned(0, most={what: asked})
    assert no.value.reasons[0].kind == "looser-than-safe"


def test_with_nothing_open_there_are_reasons_and_no_course():
    one = ready(0)
    nothing = Options(causes=one.options.causes, open=(), ruled_out=one.options.ruled_out)
    plan = make_plan(one.room, one.request, nothing, Wishes(), NOW, FACTS, budget=LITTLE, look_further=False)
    assert plan.courses == ()
    assert plan.nothing
    assert all(r.because for r in plan.nothing)


def test_many_at_once_do_not_disturb_each_other():
    """Two threads judge the same drafts as one does."""
    one = ready(0)
    keys = [(n, way.published) for n, way in enumerate(one.ways)]
    alone = [one.planner.draft_score(one.ways[n], p, SCREEN) for n, p in keys]
    with ThreadPoolExecutor(2) as pool:
        both = list(pool.map(lambda k: one.planner.draft_score(one.ways[k[0]], k[1], SCREEN), keys * 2))
    assert both == alone * 2
