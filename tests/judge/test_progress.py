"""Progress of a course: heads before and since; never helping before the day, nor by fading signs alone."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.judge.progress import Count, as_before, chance_fewer, decidable_on, progress
from tankward.knowledge.loader import load
from tankward.room.acts import Dose, LookAgain
from tankward.room.entries.acts import CourseBegun, Step
from tankward.room.replay import Room, replay
from tests.helpers.rooms import entries_from

BEGUN = datetime(2026, 5, 1, 20, 0, tzinfo=UTC)
ROOM = """
20 Apr 2026 08:00  tank  T7  volume="35 L" temp=25C
20 Apr 2026 08:01  stock T7  kind=neon_rainbow name=fish number=10 length=4cm
30 Apr 2026 18:00  look  T7  seen=belly_sunken counts="belly_sunken 3" looked-at=10
"""
DOSE = Dose(actives={"metronidazole": 175.0})
STEPS = (
    Step(id="a", at=BEGUN, act=DOSE),
    Step(id="b", at=BEGUN + timedelta(days=4), act=DOSE),
    Step(id="c", at=BEGUN + timedelta(days=40), act=LookAgain(what="the same signs")),
)
COURSE = CourseBegun(id="c" * 8, at=BEGUN, tank="t7", name="a course", cause="hexamita", steps=STEPS)


def room(*lines: str, before: str = ROOM) -> Room:
    return replay([*entries_from(before + "\n".join(lines)), COURSE])


def after(days: float, *lines: str, before: str = ROOM):
    return progress(room(*lines, before=before), "t7", BEGUN + timedelta(days=days), load())


def test_without_a_course_there_is_nothing_to_judge() -> None:
    assert progress(replay(entries_from(ROOM)), "t7", BEGUN, load()) is None


def test_the_day_of_decision_is_the_end_of_what_is_done_and_a_week_at_the_earliest() -> None:
    assert decidable_on(COURSE) == BEGUN + timedelta(days=7)


def test_before_the_day_it_is_too_early_whatever_is_seen() -> None:
    found = after(5, "6 May 2026 18:00 look T7 not-seen=belly_sunken looked-at=10")
    assert (found.verdict, found.why, found.day) == ("too-early", "before-the-day", 6)
    assert found.decidable_on == BEGUN + timedelta(days=7)
    assert found.rows[0].since.ill == 0
    assert found.pace == "weeks"


def test_one_fewer_of_ten_is_within_chance_and_is_counted_again() -> None:
    found = after(8, '9 May 2026 18:00 look T7 seen=belly_sunken counts="belly_sunken 2" looked-at=10')
    assert (found.verdict, found.why) == ("too-early", "within-chance")
    assert found.decidable_on > BEGUN + timedelta(days=8)
    low, high = found.rows[0].expected
    assert low <= 2 <= high


def test_none_of_ten_after_six_of_ten_is_helping() -> None:
    many = ROOM.replace("belly_sunken 3", "belly_sunken 6")
    found = after(8, "9 May 2026 18:00 look T7 not-seen=belly_sunken looked-at=10", before=many)
    assert (found.verdict, found.why) == ("helping", "fewer")


@pytest.mark.parametrize("ill", [4, 9])
def test_as_many_or_more_is_not_helping(ill: int) -> None:
    found = after(8, f'9 May 2026 18:00 look T7 seen=belly_sunken counts="belly_sunken {ill}" looked-at=10')
    assert (found.verdict, found.why) == ("not-helping", "as-many")
    assert found.worse is (ill == 9)


def test_a_death_since_is_never_helping() -> None:
    found = after(
        8,
        "6 May 2026 18:00 death T7 stock=t7-fish number=1 taken-out=yes",
        "9 May 2026 18:00 look T7 not-seen=belly_sunken looked-at=9",
    )
    assert (found.verdict, found.why) == ("not-helping", "more-dead")
    early = after(3, "3 May 2026 18:00 death T7 stock=t7-fish number=1 taken-out=yes")
    assert early.verdict == "too-early"
    assert early.worse


@pytest.mark.parametrize("before", [ROOM, ROOM.replace('counts="belly_sunken 3"', "")])
def test_what_was_not_counted_can_not_be_judged(before: str) -> None:
    found = after(9, before=before)
    assert (found.verdict, found.why) == ("too-early", "not-counted")


def test_a_look_that_does_not_speak_of_a_sign_counts_for_nothing() -> None:
    found = after(9, "9 May 2026 18:00 look T7 seen=flashing looked-at=10")
    assert found.rows[0].since is None


def test_the_chance_against_draws() -> None:
    """Beta shares by Jeffreys' prior: 3 of 10 then, 2 of 10 now; 100 000 draws of a fixed seed gave 0.70."""
    at = BEGUN
    assert chance_fewer(Count(ill=3, of=10, at=at), Count(ill=2, of=10, at=at)) == pytest.approx(
        0.70, abs=0.01
    )
    assert chance_fewer(Count(ill=3, of=10, at=at), Count(ill=3, of=10, at=at)) == pytest.approx(
        0.5, abs=1e-6
    )


def test_what_would_be_expected_holds_nine_in_ten() -> None:
    assert as_before(Count(ill=3, of=10, at=BEGUN), 10) == (0, 7)
    assert as_before(Count(ill=0, of=50, at=BEGUN), 50)[1] < 5
