"""A keeper's hours: read as written, kept where the medicine lets them be, said where it does not."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.desk.courses import Wanted, propose
from tankward.desk.keeper_hours import first_within, hours_of
from tankward.knowledge.loader import load
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


@pytest.mark.parametrize(
    ("text", "there", "away"),
    [
        ("18:00-22:30", at(14, 18), at(14, 17, 59)),
        ("7.00 to 8.00, 18:00 to 22:00", at(14, 7, 30), at(14, 12)),
        ("Mon-Fri 18:00-22:00; Sat, Sun 8:00-22:00", at(16, 9), at(15, 9)),
        ("18:00-22:30; away Fri", at(14, 19), at(15, 19)),
        ("18:00-22:30, away on Friday and Saturday", at(17, 19), at(16, 19)),
        ("22:00-02:00", at(14, 1), at(14, 3)),
        ("away Sunday", at(16, 3), at(17, 12)),
    ],
)
def test_hours_as_a_keeper_writes_them(text, there, away):
    hours = hours_of(text)
    assert hours.holds(there, "UTC")
    assert not hours.holds(away, "UTC")


@pytest.mark.parametrize("text", ["", "evenings", "when I can"])
def test_what_says_no_hour_binds_nothing(text):
    assert hours_of(text) is None
    assert first_within(None, THURSDAY, "UTC") == THURSDAY


def test_a_start_waits_over_days_away():
    hours = hours_of("18:00-22:30; away Thu, Fri")
    assert first_within(hours, THURSDAY, "UTC") == at(16, 18)


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
    assert late.because.startswith("Outside your hours (18:00-22:30; away Fri, Sat, Sun, Mon, Tue, Wed): ")
    assert "by the clock" in late.because
    assert "somebody" in late.would_change
