"""Today's jobs: who comes first, who last, what is late."""

from datetime import UTC, datetime, timedelta

from tankward.desk.demo.generate import demo_logbook
from tankward.knowledge.loader import load
from tankward.room.acts import Change
from tankward.room.entries.acts import CourseBegun, Done, Step, StepSkipped
from tankward.room.replay import Room, replay
from tankward.rounds.jobs import jobs, steps_due
from tankward.rounds.states import state_of, states

NOW = datetime(2026, 5, 12, 18, 10, tzinfo=UTC)
DEMO = demo_logbook(NOW, load())


def with_course(*extra: object) -> Room:
    steps = tuple(
        Step(id=f"s{n}", at=NOW + timedelta(hours=24 * n - 3), act=Change(share=0.5)) for n in range(-1, 3)
    )
    begun = CourseBegun(id="0" * 8, at=NOW - timedelta(days=2), tank="T1", name="a course", steps=steps)
    return replay([*DEMO, begun, *extra])  # type: ignore[list-item]


def test_the_sick_come_last() -> None:
    order = [j.tank for j in jobs(replay(DEMO), NOW, "UTC") if j.kind == "look"]
    assert order and "T11" not in order  # nobody lives there
    ranks = {"well": 0, "unknown": 1, "watch": 2, "sick": 3}
    marks = [ranks[state_of(replay(DEMO), tank, NOW).state] for tank in order]
    assert marks == sorted(marks)


def test_t7_is_sick_t8_is_watched_and_so_are_those_that_shared_its_net() -> None:
    found = {s.tank: (s.state, s.why) for s in states(replay(DEMO), NOW)}
    assert found["T7"] == ("sick", "signs")
    assert found["T8"] == ("watch", "signs-few")
    assert found["T6"] == found["T10"] == ("watch", "shared-net")
    assert found["T11"] == ("empty", "nobody")


def test_steps_due_are_those_up_to_today_that_nobody_ticked_or_skipped() -> None:
    assert [s.id for s in steps_due(with_course(), "T1", NOW, "UTC")] == ["s-1", "s0"]
    ticked = Done(id="1" * 8, at=NOW, tank="T1", act=Change(share=0.5), step="s-1")
    skipped = StepSkipped(id="2" * 8, at=NOW, tank="T1", step="s0")
    assert [s.id for s in steps_due(with_course(ticked), "T1", NOW, "UTC")] == ["s0"]
    assert steps_due(with_course(ticked, skipped), "T1", NOW, "UTC") == []


def test_a_step_of_this_afternoon_is_late_by_its_hours() -> None:
    late = {j.step.id: j.late_h for j in jobs(with_course(), NOW, "UTC") if j.step}
    assert late["s0"] == 3.0
    assert late["s-1"] == 27.0
