"""When a course stops, in words: too early and without end are both named."""

from datetime import UTC, datetime
from types import SimpleNamespace

import pytest

from tankward.quantities.faults import Reason
from tankward.show.words.after import left_words
from tankward.show.words.when_to_stop import stop_says

NOW = datetime(2026, 5, 12, 21, 0, tzinfo=UTC)
THIRD = Reason(
    kind="third-course", because="It was given twice.", would_change="a fresh dying fish looked at"
)


def said(given, planned, label=None, third=None):
    rounds = SimpleNamespace(given=given, planned=planned, most=3, label=label, third=third)
    found = SimpleNamespace(rounds=rounds, ends=NOW, over=False, dead=False)
    return " ".join(stop_says(found, NOW, "UTC"))


@pytest.mark.parametrize(("given", "planned"), [(1, 2), (3, 0)])
def test_rule_12_no_round_is_added_and_it_is_not_stopped_because_signs_fade(given, planned):
    told = said(given, planned)
    assert f"Doses given: {given} of at most 3" in told
    assert "No more than that, and no round added because it did not help." in told
    assert "not sooner because signs fade" in told


def test_rule_12_a_third_course_says_what_it_cannot_reach_and_what_would_change_it():
    told = said(2, 0, label=2, third=THIRD)
    assert "the label's 2" in told
    assert "No further course: It was given twice. Would change it: a fresh dying fish looked at." in told


@pytest.mark.parametrize("left", [1, 3])
def test_rule_12_stopping_early_is_named_with_the_steps_that_are_left(left):
    steps = [SimpleNamespace(id=f"s{n}") for n in range(4)]
    one = SimpleNamespace(steps=steps, told={s.id for s in steps[left:]})
    assert left_words(one).endswith("not ticked. Stopping early leaves what it had not reached.")
    assert left_words(SimpleNamespace(steps=steps, told={s.id for s in steps})) == ""
