"""A course keeps to the keeper's hours where the medicine lets it, and says where it does not."""

from datetime import UTC, datetime, timedelta

from tankward.desk.courses import Wanted, propose
from tankward.knowledge.loader import load
from tankward.room.hours import hours_of
from tankward.treat.course.within_hours import first_within
from tests.helpers.rooms import room_from

FACTS = load()
THURSDAY = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)
ROOM = """
12 May 2026 08:00  tank  T5  volume="40 L" temp=24C filter=sponge
12 May 2026 08:01  stock T5  kind=guppy sex=male number=8 length=3cm
14 May 2026 08:02  reading T5  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=24C oxygen="8 mg/L"
"""


def at(day, hour, minute=0):
    return datetime(2026, 5, day, hour, minute, tzinfo=UTC)


def test_a_start_waits_over_days_away():
    hours = hours_of("18:00-22:30; away Thu, Fri")
    assert first_within(hours, THURSDAY, "UTC") == at(16, 18)


def test_a_start_comes_on_a_quarter_of_an_hour_where_the_hours_let_it():
    assert first_within(hours_of("18:10-22:30"), at(14, 9), "UTC") == at(14, 18, 15)
    assert first_within(hours_of("18:10-18:12"), at(14, 9), "UTC") == at(14, 18, 10)
    assert first_within(None, THURSDAY, "UTC") == THURSDAY


def proposed(hours, *, start="", substance="praziquantel", regimen="", **more):
    kit = f'12 May 2026 07:00  kit region=UK hours="{hours}" scale=0.01g\n'
    given = {"substance": substance, "route": "water_long", "cause": "gill_flukes", "regimen": regimen}
    wanted = Wanted(**given, start=start, **more)
    return propose(room_from(ROOM + kit), "t5", wanted, THURSDAY, "UTC", FACTS)


def hands(course):
    return [s.at for s in course.steps if s.kind not in ("look", "decide", "watch")]


def test_every_step_lies_within_the_hours_where_the_medicine_lets_it():
    hours = hours_of("18:00-22:30")
    course = proposed("18:00-22:30")
    assert all(hours.holds(a, "UTC") for a in hands(course))
    assert not [c for c in course.cautions if c.kind == "outside-hours"]


def test_a_start_is_put_off_by_a_day_at_most_and_only_where_that_spares_steps():
    """The half change comes a day after the dose: begun on Thursday it falls on Friday, a day away."""
    plain = proposed("18:00-22:30")
    away = f"{(plain.start + timedelta(days=1)):%a}"
    course = proposed(f"18:00-22:30; away {away}")
    hours = hours_of(f"18:00-22:30; away {away}")
    assert course.start - plain.start <= timedelta(days=1)
    missed = [sum(not hours.holds(a, "UTC") for a in hands(c)) for c in (course, plain)]
    assert missed[0] <= missed[1]


def test_a_start_that_was_asked_for_stays():
    assert proposed("18:00-22:30", start="tomorrow 06:00").start == at(15, 6)


def test_the_reason_names_the_days_and_what_would_help():
    course = proposed("18:00-22:30; away Fri, Sat, Sun, Mon, Tue, Wed")
    (late,) = [c for c in course.cautions if c.kind == "outside-hours"]
    assert late.because.startswith("Outside your hours (18:00-22:30; away 2026-05-15 to 2026-05-20): ")
    assert "by the clock" in late.because
    assert "somebody" in late.would_change
