"""A course laid by its shape: as a line of text, as steps, and within the rules."""

from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankward.quantities.faults import BadInput, Refused
from tankward.room.acts import Change, Feed, Siphon
from tankward.treat.course.acts import planned_acts
from tankward.treat.course.shape import Changed, Given, Shape, checked, shape_of
from tankward.treat.planner.patterns import Event, rounds_of
from tests.treat.test_course_rooms import NOW, T8, course

TOLD = "dose 0h 1, 72h 0.96, 144h 0.96; change 0h 50%, 72h 50%, 144h 50%, 216h 50%; siphon 0h, 216h; end 216h"

hours = st.integers(0, 1000).map(lambda q: q / 4)
doses = st.lists(st.builds(Given, hours, st.integers(1, 150).map(lambda n: n / 100)), max_size=6)
changes = st.lists(st.builds(Changed, hours, st.integers(1, 90).map(lambda n: n / 100)), max_size=6)


@given(doses, changes, st.lists(hours, max_size=4), st.integers(0, 200), st.integers(4, 36) | st.none())
@settings(max_examples=60, deadline=None)
def test_a_shape_is_read_back_as_it_was_written(doses, changes, siphons, feed, warm):
    shape = Shape(
        doses=tuple(sorted(doses)),
        changes=tuple(sorted(changes)),
        siphons=tuple(sorted(siphons)),
        feed=feed / 100,
        warm_c=warm,
        end_h=300.0,
    )
    assert shape_of(shape.text) == checked(shape)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("dose 0h 1", "when it ends"),
        ("pour 0h; end 9h", "begins with none of"),
        ("dose tomorrow; end 9h", "can't be read"),
        ("dose 0h 9; end 9h", "up to 1.5 full ones"),
        ("dose 10h 1; end 9h", "before the end"),
        ("dose 0h 1; change 0h 95%; end 9h", "up to 90 %"),
        ("dose 0h 1; warm 60C; end 9h", "no warmth for fish"),
        ("dose 0h 1; end 9000h", "is not between"),
    ],
)
def test_what_can_not_be_is_refused_in_one_sentence(text, told):
    with pytest.raises(BadInput, match=told):
        shape_of(text)


def test_steps_come_at_the_hours_of_the_shape():
    made = course(T8, "t8", "malachite_green", causes=("white_spot",), shape=shape_of(TOLD))
    at = {kind: [a for a, act in planned_acts(made) if isinstance(act, kind)] for kind in (Change, Siphon)}
    hour = timedelta(hours=1)
    assert at[Change] == [NOW + hour * h for h in (0, 72, 144, 216)]
    assert at[Siphon] == [NOW, NOW + 216 * hour]
    assert [d.at for d in made.doses] == [NOW + hour * h for h in (0, 72, 144)]
    assert made.ends == NOW + 216 * hour


def test_the_published_course_as_a_shape_doses_as_the_published_course_does():
    """The regimen's own times and what it puts back, written as a shape, make the same doses."""
    plain = course(T8, "t8", "malachite_green", causes=("white_spot",))
    full = plain.doses[0].measured.amount
    given = tuple(
        Given((d.at - NOW) / timedelta(hours=1), round(d.measured.amount / full, 4)) for d in plain.doses
    )
    shaped = course(
        T8, "t8", "malachite_green", causes=("white_spot",),
        shape=Shape(doses=given, changes=shape_of(TOLD).changes, end_h=216.0),
    )  # fmt: skip
    amounts = [[a.amount for a in d.actives] for d in plain.doses]
    assert [[a.amount for a in d.actives] for d in shaped.doses] == [
        pytest.approx(a, rel=0.02) for a in amounts
    ]
    assert shaped.rounds.planned == plain.rounds.planned == 3


def test_putting_back_what_a_change_took_is_no_further_round():
    daily = Shape(
        doses=(Given(0.0), *(Given(24.0 * n, 0.5) for n in range(1, 8))),
        changes=tuple(Changed(24.0 * n, 0.5) for n in range(1, 8)),
        end_h=192.0,
    )
    assert daily.rounds == 1


@pytest.mark.parametrize(
    ("told", "rounds"),
    [
        ("dose 0h 0.25, 24h 0.25, 48h 0.25, 72h 0.25; end 336h", 1),
        ("dose 0h 0.26, 24h 0.26, 48h 0.26, 72h 0.22; end 336h", 1),  # as it can be measured
        ("dose 0h 0.1, 24h 0.3, 48h 0.3, 72h 0.3; end 336h", 1),
        ("dose 0h 0.5, 24h 0.5, 96h 0.3018; change 96h 30%; end 336h", 1),
        ("dose 0h 0.5, 24h 0.75; change 24h 50%; end 336h", 1),  # with what the change took
        ("dose 0h 0.4, 24h 0.4, 48h 0.4; end 336h", 2),  # over a full dose: no step of raising it
        ("dose 0h 0.5, 96h 0.5; end 336h", 2),  # days apart: another dose
        ("dose 0h 1, 24h 1, 48h 1, 72h 1; end 336h", 4),
        ("dose 0h 0.5, 24h 0.5, 48h 0.5, 72h 0.5; end 336h", 3),
        ("dose 0h 1, 72h 0.96; change 72h 50%; end 144h", 2),
    ],
)
def test_rule_12_salt_raised_in_steps_is_one_round(told, rounds):
    assert shape_of(told).rounds == rounds


def test_rule_12_the_plan_counts_rounds_as_the_shape_does():
    rows = [Event(0.0, 0.0, 2, 0.26), Event(24.0, 0.0, 2, 0.26), Event(48.0, 0.0, 2, 0.26),
            Event(72.0, 0.0, 2, 0.22), Event(144.0, 0.3, 1), Event(216.0, 0.5, 2)]  # fmt: skip
    factors = [0.26, 0.26, 0.26, 0.22, 0.3, 0.9]
    shape = shape_of("dose 0h 0.26, 24h 0.26, 48h 0.26, 72h 0.22, 144h 0.3, 216h 0.9; "
                     "change 144h 30%, 216h 50%; end 288h")  # fmt: skip
    assert rounds_of(rows, factors) == shape.rounds == 2


def test_salt_raised_in_four_steps_is_given_not_put_back_nor_refused():
    told = "dose 0h 0.1, 24h 0.3, 48h 0.3, 72h 0.3, 144h 0.3; change 144h 30%; end 336h"
    made = course(T8, "t8", "sodium_chloride", causes=("white_spot",), shape=shape_of(told))
    assert made.rounds.planned == 1
    assert [d.kind for d in made.doses] == ["part", "part", "part", "part", "put-back"]
    assert len(made.put_back) == 1


def test_a_fourth_round_is_refused():
    with pytest.raises(Refused, match="given 4 times"):
        course(
            T8, "t8", "malachite_green", causes=("white_spot",),
            shape=shape_of("dose 0h, 72h, 144h, 216h; end 288h"),
        )  # fmt: skip


def test_a_shape_that_climbs_over_what_they_bear_is_refused():
    """The same dose again within hours, and no change between: twice the level."""
    with pytest.raises(Refused):
        course(
            T8, "t8", "malachite_green", causes=("white_spot",), shape=shape_of("dose 0h, 2h, 4h; end 96h")
        )


def test_less_food_is_a_step_and_comes_back():
    made = course(
        T8, "t8", "malachite_green", causes=("white_spot",), shape=shape_of("dose 0h; feed 50%; end 96h")
    )
    fed = [act.usual for _, act in planned_acts(made) if isinstance(act, Feed)]
    assert fed == [0.5, 1.0]


def test_warmer_water_is_brought_up_and_down_by_days():
    made = course(
        T8, "t8", "malachite_green", causes=("white_spot",), shape=shape_of("dose 0h; warm 26C; end 120h")
    )
    warm = [s.act.temp_c for s in made.steps if s.kind == "heat"]
    assert max(warm) == 26.0
    assert warm[-1] == 24.0
