"""Courses as the logbook tells them: run, stopped, closed with an outcome, undone."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.desk.border import Border
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.acts import Change, Dose, LookAgain
from tankward.room.entries.acts import CourseBegun, CourseStopped, Done, Step
from tankward.room.entries.corrections import Undone
from tankward.room.entries.ends import CourseClosed
from tankward.room.replay import replay
from tankward.room.text import read_logbook, write_logbook
from tankward.room.treated import closed, treated, unclosed
from tests.helpers.rooms import entries_from

START = datetime(2026, 5, 1, 18, 0, tzinfo=UTC)
TANK = '1 May 2026 08:00  tank  T8  volume="45 L"\n1 May 2026 08:01  stock T8  kind=guppy number=8\n'


def at(days: float) -> datetime:
    return START + timedelta(days=days)


def begun(id_="course1", days=0.0, **more):
    """A dose, the same after two days, a change after four, a look after twelve."""
    plan = ((0, Dose(actives={"praziquantel": 90.0})), (2, Dose(actives={"praziquantel": 90.0})),
            (4, Change(share=0.5)), (12, LookAgain(what="the same signs")))  # fmt: skip
    steps = tuple(Step(id=f"{id_}-{n}", at=at(days + d), act=act) for n, (d, act) in enumerate(plan))
    told = {"name": "praziquantel in the tank", "substance": "praziquantel", "cause": "gill_flukes"} | more
    return CourseBegun(id=id_, at=at(days), tank="t8", steps=steps, **told)


def room(*entries):
    return replay([*entries_from(TANK), *entries])


def test_a_course_runs_until_it_is_closed_and_its_outcome_stays():
    one = begun()
    (runs,) = treated(room(one), "t8")
    assert runs.runs and runs.outcome == "" and unclosed(room(one), "t8") == runs
    end = CourseClosed(id="end", at=at(8), tank="t8", course=one.id, outcome="cleared", cause="skin_flukes")
    found = room(one, end)
    assert found.courses == {}
    (over,) = treated(found, "t8")
    assert (over.outcome, over.cause, over.over_at) == ("cleared", "skin_flukes", at(8))
    assert [t.begun.id for t in closed(found)] == [one.id]
    assert unclosed(found, "t8") is None


def test_an_outcome_that_is_taken_back_lets_it_run_again():
    one, end = begun(), CourseClosed(id="end", at=at(8), tank="t8", course="course1", outcome="worse")
    back = room(one, end, Undone(id="undo", at=at(9), tank="t8", entry="end"))
    assert back.courses["t8"].id == "course1"
    assert unclosed(back, "t8") is not None


def test_a_stopped_course_can_still_be_told_how_it_ended():
    one, stop = begun(), CourseStopped(id="stop", at=at(1), tank="t8", course="course1", why="holidays")
    waits = unclosed(room(one, stop), "t8")
    assert waits is not None and waits.stopped_at == at(1)
    assert waits.last_given == at(1)  # no tick: what was planned up to the stop
    end = CourseClosed(id="end", at=at(9), tank="t8", course="course1", outcome="no_change")
    (over,) = treated(room(one, stop, end), "t8")
    assert (over.outcome, over.stopped) == ("no_change", stop)


def test_closing_an_old_course_late_leaves_the_new_one():
    old, new = begun("old"), begun("new", days=20)
    end = CourseClosed(id="end", at=at(21), tank="t8", course="old", outcome="better")
    found = room(old, new, end)
    assert found.courses["t8"].id == "new"
    first, last = treated(found, "t8")
    assert (first.outcome, first.next_at, last.runs) == ("better", at(20), True)


def test_the_last_dose_is_when_it_was_ticked():
    one = begun()
    ticks = [
        Done(id=f"tick{n}", at=at(d), tank="t8", act=one.steps[n].act, step=f"course1-{n}")
        for n, d in ((0, 0), (1, 3))
    ]
    (found,) = treated(room(one, *ticks), "t8")
    assert found.last_given == at(3)
    assert [s.id for s in found.steps] == ["course1-0", "course1-1", "course1-2"]  # a look does nothing
    assert found.planned_end == at(4)


def test_it_reads_back_from_its_line():
    end = CourseClosed(
        id="end", at=at(8), tank="t8", course="course1", outcome="no_change", seen=("flashing",),
        cause="gill_flukes", note="three still rub",
    )  # fmt: skip
    (line,) = write_logbook([end]).splitlines()[-1:]
    assert "outcome=no_change" in line
    assert read_logbook(write_logbook([end])) == [end]


def border(*entries, days=8.0):
    return Border(room=room(*entries), facts=load(), now=at(days), entries=tuple(entries))


@pytest.mark.parametrize(
    ("texts", "field", "says"),
    [
        ({}, "outcome", "is missing. How did it end?"),
        ({"outcome": "gone"}, "outcome", "is not one of cleared, better"),
        ({"outcome": "cleared", "seen": "white spots"}, "outcome", "can't be while signs are still seen"),
        ({"outcome": "better", "when": "1 May 2026 07:00"}, "when", "lies before this course was begun"),
        ({"outcome": "better", "cause": "nonsense"}, "cause", "nonsense"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(texts, field, says):
    with pytest.raises(BadInput) as fault:
        border(begun()).course_closed("T8", texts)
    assert fault.value.field == field
    assert says in str(fault.value)


def test_plain_words_are_understood_and_no_course_is_said():
    texts = {"outcome": "no change", "cause": "gill flukes", "seen": "white spots"}
    written = border(begun()).course_closed("t8", texts).entry
    assert (written.outcome, written.cause, written.course) == ("no_change", "gill_flukes", "course1")
    assert border(begun()).course_closed("T8", {"outcome": "dont-know"}).entry.outcome == "not_known"
    with pytest.raises(BadInput, match="has no course that could be closed"):
        border().course_closed("T8", {"outcome": "better"})
