"""The days of a course as rows: days on which the same is done stand once."""

from datetime import timedelta

from tankward.show.words.course_rows import first_rows, later_rows
from tankward.show.words.step_parts import Context
from tankward.treat.course.without import without_course
from tests.treat.tanks import FACTS, KIT, NOW, hardy

START = NOW + timedelta(hours=1)


def rows(remedy, **knobs):
    request = hardy(causes=("white_spot",))
    course = without_course(request, remedy, FACTS, START, NOW, **knobs)
    context = Context(course=course, facts=FACTS, kit=KIT, shelf={})
    return first_rows(context, "UTC"), later_rows(context, NOW, "UTC"), course


def test_a_fortnight_of_moves_is_a_handful_of_rows():
    """Every eight hours for eight days are 23 moves, each with its own box in the logbook."""
    _, later, course = rows("fish_out", tub_l=15.0, every_h=8.0)
    assert len([s for s in course.steps if s.kind == "transfer"]) == 23
    assert len(later) < 15
    run = later[0]
    assert (run.margin, run.sub) == ("Fri 15", "to Thu 21")
    assert run.head.startswith(
        "Every day at 03:00 move the fish to the clean tub: 15 L of new water; 11:00 move"
    )
    assert "1 of 23" not in run.head


def test_each_of_them_is_told_inside_with_how_it_is_done():
    _, (run, *_), _ = rows("fish_out", tub_l=15.0, every_h=8.0)
    heads = [one.head for one in run.inside]
    assert "Fri 15 03:00: move the fish to the clean tub, 1 of 23: 15 L of new water." in heads
    how = next(one.how for one in run.inside if one.head.startswith("Move the fish"))
    assert "with a cup and not with a net" in how.lower()


def test_two_days_alike_stay_two_rows():
    _, later, _ = rows("daily_siphon", days=3.0)
    assert [r.margin for r in later][:2] == ["Fri 15", "Sat 16"]
    assert not any(r.sub.startswith("to ") for r in later)
