"""A slip in a running course: the doses to come are held against what is really in the water."""

import time

import pytest

from tankward.desk.doses_ahead import doses_ahead
from tankward.desk.forecasts import planned_of
from tankward.desk.running import running
from tankward.desk.slips import open_steps
from tankward.knowledge.loader import load
from tankward.model.forecast import forecast
from tankward.room.acts import Dose
from tankward.room.entries.acts import StepSkipped

from .visitor import NOW, Visitor

COURSE = {"substance": "praziquantel", "route": "water_long", "cause": "skin_flukes"}


@pytest.fixture
def treated(keeper: Visitor) -> Visitor:
    """T7 with a course of praziquantel begun."""
    assert keeper.post("/tanks/T7/course", keeper.get("/tanks/new"), **COURSE).code == 303
    return keeper


def dose_steps(keeper: Visitor) -> list:
    run = running(keeper.desk.room(), "t7", NOW, "UTC", load())
    return [s.step for s in run.open if isinstance(s.step.act, Dose) and "praziquantel" in s.step.act.actives]


def give(keeper: Visitor, mg: str) -> None:
    """A dose that really went in just now, told as a slip."""
    form = keeper.get("/tanks/t7/mistake/too-much")
    typed = {"dose": "new", "substance": "praziquantel", "mass": mg}
    assert keeper.post("/tanks/t7/mistake/too-much", form, **typed).code == 303


def ahead(keeper: Visitor):
    room = keeper.desk.room()
    made = forecast(room, "t7", NOW, facts=load(), planned=planned_of(room, "t7", NOW, load()), draws=64)
    return doses_ahead(room, "t7", made, NOW, load())


def test_as_planned_every_dose_stands(treated: Visitor) -> None:
    found = ahead(treated)
    assert {a.step.id for a in found} == {s.id for s in dose_steps(treated) if s.at > NOW}
    assert not any(a.leave_out for a in found)


def test_after_far_too_much_the_next_dose_is_left_out(treated: Visitor) -> None:
    """2 g in 35 L are 57 mg/L, many times what is published; half of it a few days later is so still."""
    give(treated, "2 g")
    assert ahead(treated)[0].leave_out


def test_a_full_dose_that_is_in_already_needs_no_other(treated: Visitor) -> None:
    """140 mg in 35 L are 4 mg/L: within what is published, and twice the 2 mg/L of this course."""
    give(treated, "140 mg")
    first, *later = ahead(treated)
    assert (first.full_already, first.leave_out) == (True, True)
    assert first.lies in ("below", "within")
    assert later
    assert not all(a.leave_out for a in later)


def test_the_plan_is_used_with_one_touch(treated: Visitor) -> None:
    give(treated, "2 g")
    url = "/tanks/t7/mistake/too-much/after"
    page, until = treated.get(url), time.monotonic() + 120
    while "Use this plan" not in page.words and time.monotonic() < until:
        time.sleep(0.5)
        page = treated.get(url)
    assert "Leave this one out: about" in page.words
    (ids,) = page.hidden("leave-out")
    answer = treated.post(url, page, **{"leave-out": ids})
    assert answer.code == 303
    left = [e.step for e in treated.entries if isinstance(e, StepSkipped)]
    assert left == ids.split(",")
    assert treated.post(url, page, **{"leave-out": ids}).code == 303  # a second touch writes nothing
    assert len([e for e in treated.entries if isinstance(e, StepSkipped)]) == len(left)


@pytest.mark.parametrize(("how", "state"), [("not-yet", "open"), ("late", "done"), ("leave", "skipped")])
def test_a_forgotten_step(treated: Visitor, how: str, state: str) -> None:
    step = open_steps(treated.desk.room(), "t7", NOW, "UTC", load())[0].id
    form = treated.get("/tanks/t7/mistake/forgot-one")
    assert treated.post("/tanks/t7/mistake/forgot-one", form, step=step, how=how).code == 303
    run = running(treated.desk.room(), "t7", NOW, "UTC", load())
    found = next(s for s in run.steps if s.step.id == step)
    assert ("open" if found.open else found.state) == state
