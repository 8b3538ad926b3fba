"""Rule 29: the hazard line stands beside the step that raises it, once."""

from datetime import UTC, datetime

from tankward.room.acts import Dose
from tankward.treat.course.steps import Steps
from tankward.treat.remedies.described import hazards
from tests.judge.tanks import FACTS

NOW = datetime(2026, 5, 14, 18, tzinfo=UTC)


def test_rule_29_the_hazard_stands_beside_the_first_step_that_raises_it_and_nowhere_else():
    people = hazards(FACTS.substances["formalin"], FACTS)
    assert people
    steps = Steps("x", FACTS, people)
    first = steps.add(NOW, "dose", Dose(actives={"formalin": 900.0}), hazard=True)
    again = steps.add(NOW, "dose", Dose(actives={"formalin": 900.0}), hazard=True)
    calm = steps.add(NOW, "watch", Dose(actives={}))
    assert first.hazard == people
    assert (again.hazard, calm.hazard) == ((), ())


def test_rule_29_a_combination_has_the_hazards_of_its_parts():
    both = hazards(FACTS.substances["formalin_malachite"], FACTS)
    assert {s for p in both for s in p.substances} >= {"formalin", "malachite_green"}
