"""A dose that was given late puts off what follows it: on the page, in the day, in the forecast."""

from datetime import timedelta

import pytest

from tankward.desk.forecasts import planned_of
from tankward.desk.late import late_dose
from tankward.desk.running import running
from tankward.judge.progress import progress
from tankward.judge.waterstate import water_state
from tankward.room.acts import Media
from tankward.room.entries.acts import Step, StepSkipped
from tankward.rounds.calendar import calendar_of
from tankward.rounds.steps import steps_today
from tankward.show.words.calendar import moment_head
from tankward.show.words.planned import planned_rows
from tankward.treat.mend.shifted import shifted
from tankward.treat.when_to_stop import ending
from tests.desk.slipped import FACTS, NOW, Slipped, ago, ahead, change_step, course, done, dose_step

APART = timedelta(hours=24)  # of this course: its doses stand a day apart
A = dose_step("a", ago(26), 87.5)
B, C, D = (dose_step(n, ago(2) + k * APART, 87.5) for k, n in enumerate("bcd", 0))


def slipped(*entries, steps=(A, B, C, D), lines="", now=NOW):
    return Slipped(lines, course(*steps), *entries, now=now)


def at(room, name):
    return next(s.at for s in shifted(room.room, "t7", FACTS).steps if s.id == name)


def test_given_in_time_nothing_moves():
    room = slipped(done(A, A.at + timedelta(minutes=40)))
    assert [s.at for s in shifted(room.room, "t7", FACTS).steps] == [s.at for s in (A, B, C, D)]
    assert not shifted(room.room, "t7", FACTS).moved


def test_given_twenty_hours_late_the_next_ones_move_as_they_must_stand_apart():
    given = A.at + timedelta(hours=20)
    room = slipped(done(A, given))
    assert [at(room, n) for n in "abcd"] == [A.at, given + APART, given + 2 * APART, given + 3 * APART]
    found = shifted(room.room, "t7", FACTS).moved
    assert set(found) == {"b", "c", "d"}
    assert (found["b"].planned, found["b"].given, found["b"].due) == (B.at, given, A.at)
    assert [found[n].open for n in "bcd"] == [False, True, True]


def test_what_has_room_enough_catches_up():
    """Five days from dose to dose as planned; two stand three days apart at least by the regimen."""
    steps = (dose_step("a", ago(26)), dose_step("b", ahead(94)), dose_step("c", ahead(214)))
    room = slipped(done(steps[0], ago(6)), steps=steps)
    assert [at(room, n) for n in "bc"] == [ahead(94), ahead(214)]


def test_the_change_that_belongs_to_it_and_the_end_after_it_come_with_it():
    own, end = change_step("x", B.at), change_step("y", D.at + 2 * APART)
    room = slipped(done(A, A.at + timedelta(hours=20)), steps=(A, own, B, C, D, end))
    late = at(room, "b") - B.at
    assert at(room, "x") == own.at + late
    assert at(room, "y") - at(room, "d") == end.at - D.at


def test_it_comes_when_somebody_is_there():
    room = slipped(done(A, A.at + timedelta(hours=20)), lines="1 May 2026 08:00 kit hours=18:00-22:30")
    found = at(room, "b")
    assert found >= A.at + timedelta(hours=20) + APART
    assert (found.hour, found.minute) == (18, 0)


def test_left_out_is_not_given():
    skipped = StepSkipped(id="019e1d00-0000-7000-8000-0000000000aa", at=ago(4), tank="t7", step="a", why="")
    assert not shifted(slipped(skipped).room, "t7", FACTS).moved


def test_the_page_the_day_and_the_forecast_say_the_same():
    room = slipped(done(A, A.at + timedelta(hours=20)))
    run = running(room.room, "t7", NOW, "UTC", FACTS)
    rows, _ = planned_rows(run, NOW, "UTC", FACTS, late_dose(room.room, run, water(room), NOW, FACTS))
    told = " ".join(row.moved for row in rows)
    assert "Not sooner, though planned for today 19:00: the one before was given 20 hours late" in told
    assert "stand 24 hours apart at least" in told and "the one before is put off too" in told
    assert not any(row.late for row in rows)
    assert [s.step.id for s in steps_today(room.room, NOW, "UTC", FACTS) if not s.entry] == []
    assert [when for when, _ in planned_of(room.room, "t7", NOW, FACTS)] == [at(room, n) for n in "bcd"]


def test_the_calendar_asks_for_no_dose_that_was_given_and_the_sitter_gets_the_moved_ones():
    own = change_step("x", A.at)
    room = slipped(done(A, A.at + timedelta(hours=20)), steps=(own, A, B, C, D))
    found = calendar_of(room.room, NOW, "UTC", FACTS).moments
    assert [moment_head(m, FACTS) for m in found if m.at == A.at] == ["Change half of the water"]
    assert [m.at for m in found if m.at > A.at] == [at(room, n) for n in "bcd"]


def test_carbon_goes_back_no_sooner_after_the_last_dose_than_planned():
    into = Step(id="y", at=D.at + APART, act=Media(medium="activated_carbon", into=True))
    room = slipped(done(A, A.at + timedelta(hours=20)), steps=(A, B, C, D, into))
    found = progress(room.room, "t7", NOW, FACTS)
    (carbon,) = [b for b in ending(found, room.room, NOW, FACTS, None).back if b.what == "carbon"]
    assert carbon.on == at(room, "d") + APART == at(room, "y") > into.at


def test_the_slip_page_says_beforehand_what_the_page_says_afterwards():
    """Given now, 20 hours late: "the next one not before" is when it then stands in the plan."""
    a, b, c = (dose_step(n, ago(20) + k * APART, 87.5) for k, n in enumerate("abc"))
    room = slipped(steps=(a, b, c))
    run = running(room.room, "t7", NOW, "UTC", FACTS)
    found = late_dose(room.room, run, water(room), NOW, FACTS)
    assert (found.advice, found.step) == ("give-and-move", "a")
    after = slipped(done(a, NOW), steps=(a, b, c))
    assert at(after, "b") == found.next_then
    rows, _ = planned_rows(run, NOW, "UTC", FACTS, found)
    assert (
        rows[0].late
        == "20 hours late: give it now, the next one not before tomorrow 21:00; never two at once"
    )
    (step,) = [s for s in room.now_after("forgot a dose").urgent.steps if s.act == "give-late"]
    assert step.of.next_then == found.next_then


@pytest.mark.parametrize(
    ("mg", "told"), [(350, "leave it out, enough of it is still in"), (0, "give it now")]
)
def test_a_late_dose_is_never_asked_for_on_top_of_a_full_one(mg, told):
    lines = f"12 May 2026 20:30 dose T7 metronidazole={mg}mg" if mg else ""
    room = slipped(steps=(dose_step("b", ago(3)), dose_step("c", ahead(93))), lines=lines)
    run = running(room.room, "t7", NOW, "UTC", FACTS)
    rows, _ = planned_rows(run, NOW, "UTC", FACTS, late_dose(room.room, run, water(room), NOW, FACTS))
    assert told in rows[0].late


def water(room):
    return water_state(room.room, "t7", NOW, FACTS)
