"""A keeper's hours as written: days away, two weeks in turn, quiet hours; across clock changes."""

from datetime import UTC, date, datetime, timedelta

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankward.quantities.faults import BadInput
from tankward.room.home_spans import Hours, joined
from tankward.room.hours import dated, hours_of, next_within, readable, understood, windows
from tankward.room.hours_text import read_hours
from tankward.room.hours_written import written
from tests.helpers.rooms import room_from

THURSDAY = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)
MONDAY = date(2026, 5, 11)


def at(day, hour, minute=0, month=5):
    return datetime(2026, month, day, hour, minute, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "there", "not_there"),
    [
        ("18:00-22:30", at(14, 18), at(14, 17, 59)),
        ("18:00-22:30", at(14, 22, 30), at(14, 22, 31)),
        ("7.00 to 8.00, 18:00 to 22:00", at(14, 7, 30), at(14, 12)),
        ("Mon-Fri 18:00-22:00; Sat, Sun 8:00-22:00", at(16, 9), at(15, 9)),
        ("18:00-22:30; away Fri", at(14, 19), at(15, 19)),
        ("18:00-22:30, away on Friday and Saturday", at(17, 19), at(16, 19)),
        ("22:00-02:00", at(14, 1), at(14, 3)),
        ("Fri 22:00-02:00", at(16, 1), at(15, 1)),
        ("away Sunday", at(16, 3), at(17, 12)),
        ("weekdays after 6pm, weekends 8h-22h30", at(14, 23), at(14, 17)),
        ("6-10pm", at(14, 18), at(14, 10)),
        ("between 18:00 and 20:00", at(14, 19), at(14, 21)),
        ("away Mon-Fri 9:00-17:00", at(16, 12), at(15, 12)),
        ("quiet 22:00-7:00", at(14, 12), at(14, 23)),
        ("18:00-23:30; quiet 22:00-7:00", at(14, 21), at(14, 23)),
        ("quiet Sat, Sun 22:00-9:00", at(15, 8), at(17, 8)),
    ],
)
def test_hours_as_a_keeper_writes_them(text, there, not_there):
    hours = understood(text, THURSDAY, "UTC")
    assert hours.holds(there, "UTC")
    assert not hours.holds(not_there, "UTC")


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("away 12-14 May", date(2026, 5, 12), date(2026, 5, 14)),
        ("away from 12 to 14 May", date(2026, 5, 12), date(2026, 5, 14)),
        ("away 2026-05-12 to 2026-05-14", date(2026, 5, 12), date(2026, 5, 14)),
        ("away May 12-14, 2026", date(2026, 5, 12), date(2026, 5, 14)),
        ("away 30 May to 2 June", date(2026, 5, 30), date(2026, 6, 2)),
        ("away 28 Dec to 3 Jan", date(2026, 12, 28), date(2027, 1, 3)),
        ("away 12 March", date(2027, 3, 12), date(2027, 3, 12)),
        ("away Thu-Sun", date(2026, 5, 14), date(2026, 5, 17)),
        ("away Fri–Mon", date(2026, 5, 15), date(2026, 5, 18)),
        ("I am away Tue", date(2026, 5, 19), date(2026, 5, 19)),
        ("away from Friday to Sunday", date(2026, 5, 15), date(2026, 5, 17)),
        ("away tomorrow", date(2026, 5, 15), date(2026, 5, 15)),
        ("away until Sunday", date(2026, 5, 14), date(2026, 5, 17)),
        ("away until 20 May", date(2026, 5, 14), date(2026, 5, 20)),
        ("away for 10 days from 15 May", date(2026, 5, 15), date(2026, 5, 24)),
        ("away next week", date(2026, 5, 18), date(2026, 5, 24)),
    ],
)
def test_an_absence_has_dates(text, first, last):
    for added in ("", "; 18:00-22:30"):
        hours = understood(text + added, THURSDAY, "UTC")
        assert hours.absent == ((first, last),)
        assert hours.away(first) and hours.away(last)
        assert not hours.away(first - timedelta(days=1)) and not hours.away(last + timedelta(days=1))


def test_every_week_has_to_be_said():
    """ "away Wed" is the coming one; "not Wed", "away every Wed" and "away Wednesdays" all of them."""
    wednesdays = [date(2026, 5, 20), date(2026, 5, 27)]
    assert [understood("away Wed", THURSDAY, "UTC").away(d) for d in wednesdays] == [True, False]
    for text in ("not Wed", "away every Wed", "away Wednesdays"):
        assert all(understood(text, THURSDAY, "UTC").away(d) for d in wednesdays)


def test_without_the_day_it_was_written_a_day_away_is_one_of_every_week():
    hours = hours_of("18:00-22:30; away Wed")
    assert hours.off == (2,)
    assert not hours.absent


def test_odd_and_even_are_the_weeks_of_the_calendar():
    """ISO 8601: 2026-05-11 begins week 20, and 2026 has 53 weeks, so that two odd weeks follow each other."""
    hours = understood("odd weeks Mon-Fri 6:00-14:00; even weeks Mon-Fri 14:00-22:00", THURSDAY, "UTC")
    assert hours.spans_on(MONDAY) == ((14 * 60, 22 * 60),)
    assert hours.spans_on(MONDAY + timedelta(days=7)) == ((6 * 60, 14 * 60),)
    assert hours.spans_on(MONDAY + timedelta(days=5)) == ()
    new_year = [date(2026, 12, 28), date(2027, 1, 4)]
    assert [d.isocalendar().week for d in new_year] == [53, 1]
    assert {hours.spans_on(d) for d in new_year} == {((6 * 60, 14 * 60),)}


@pytest.mark.parametrize("start", ["", " from 11 May", " from 2026-05-13"])
def test_two_weeks_in_turn_from_a_day(start):
    text = f"week A{start}: Mon 6:00-14:00; week B: Mon 14:00-22:00; every week Sat 9-12"
    hours = understood(text, THURSDAY, "UTC")
    mondays = [hours.spans_on(MONDAY + timedelta(weeks=n))[0][0] for n in range(-2, 4)]
    assert mondays == [360, 840, 360, 840, 360, 840]
    assert {hours.spans_on(MONDAY + timedelta(days=5 + 7 * n)) for n in range(4)} == {((540, 720),)}


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("evenings", 'hours: "evenings" says no hour'),
        ("18:00-20:00; evenings", '"evenings", which says no hour'),
        ("18:00-22:00 mostly", '"mostly", which says no hour'),
        ("away 12/5", 'holds "12/5", which could mean two days'),
        ("25:00-26:00", '"25:00-26:00" is no span of the day'),
        ("8:00-8:00", "is no span of the day"),
        ("at 8:00 and 20:00", '"8:00", which has no other end'),
        ("away 12-14", '"12-14", which could be days or hours'),
        ("away from 12 May", '"from 12 may", which has no other end'),
        ("away 30 Feb", '"30 feb", which is not a day of the calendar'),
        ("away 999 weeks from 31 Dec 9999", "is not a day of the calendar"),
        ("away 14 May 18:00-20:00", "takes the whole day"),
        ("Mon", '"Mon" says no hour'),
        ("odd weeks Mon 6:00-14:00; Sat 9-12", '"sat 9-12", which does not say in which of the two weeks'),
        ("odd weeks Mon 6-14; week B Mon 14-22", "counts the weeks in another way"),
        ("18:00-22:30; quiet 17:00-23:00", "leaves no hour of any week"),
        ("not Mon-Sun", "leaves no hour of any week"),
    ],
)
def test_what_can_not_be_read_is_named_in_one_sentence(text, named):
    with pytest.raises(BadInput) as told:
        readable(text)
    assert named in str(told.value)
    assert "Write it like Mon-Fri 18:00-22:00" in str(told.value)
    assert "\n" not in str(told.value)


@pytest.mark.parametrize("text", ["", "evenings", "when I can"])
def test_what_says_no_hour_binds_nothing(text):
    assert hours_of(text) is None
    assert next_within(None, THURSDAY, "UTC") == THURSDAY


def test_what_can_be_read_holds_beside_what_can_not():
    hours = hours_of("18:00-22:00 mostly", THURSDAY)
    assert hours.holds(at(14, 19), "UTC")
    assert [u.word for u in hours.unread] == ["mostly"]


def test_the_next_hour_waits_over_any_absence():
    hours = hours_of("18:00-22:30; away 14 May to 3 July", THURSDAY)
    assert next_within(hours, THURSDAY, "UTC") == at(4, 18, month=7)
    assert next_within(hours, at(13, 19), "UTC") == at(13, 19)


def test_windows_are_the_spans_of_each_day_and_one_over_midnight():
    hours = hours_of("Thu 18:00-22:30, Fri 22:00-2:00; away 21 May", THURSDAY)
    assert windows(hours, MONDAY, 14, "UTC") == [
        (at(14, 18), at(14, 22, 30)),
        (at(15, 22), at(16, 2)),
        (at(22, 22), at(23, 2)),
    ]


def test_hours_are_those_of_the_wall_clock():
    """In Berlin 18:00 is 17:00 UTC in winter and 16:00 in summer; clocks go forward on 29 March 2026."""
    hours = hours_of("18:00-22:30")
    found = windows(hours, date(2026, 3, 28), 2, "Europe/Berlin")
    assert [w[0] for w in found] == [at(28, 17, month=3), at(29, 16, month=3)]
    assert hours.holds(at(29, 16, month=3), "Europe/Berlin")
    assert not hours.holds(at(28, 16, month=3), "Europe/Berlin")


def test_a_kit_keeps_the_days_that_were_coming_when_it_was_written():
    """Read again two weeks later, it is still the same Thursday."""
    room = room_from('12 May 2026 07:00  kit hours="18:00-22:30; away Thu-Sun"\n')
    assert room.kit.hours == "18:00-22:30; away 2026-05-14 to 2026-05-17"
    later = hours_of(room.kit.hours, THURSDAY + timedelta(weeks=2))
    assert not later.away(date(2026, 5, 28))


@pytest.mark.parametrize(
    "text", ["18:00-22:30", "Mon-Fri 18:00-22:00; not Sun", "whenever", "", "away 14 May ish"]
)
def test_what_hangs_on_no_day_stays_as_it_was_written(text):
    assert dated(text, THURSDAY, "UTC") == text


MINUTES = st.integers(0, 287).map(lambda n: 5 * n)
SPANS = st.lists(st.tuples(MINUTES, st.integers(1, 200).map(lambda n: 5 * n)), max_size=2).map(
    lambda raw: tuple(s for s in joined((a, a + length) for a, length in raw) if s[1] - s[0] < 1440)
)
WEEKS = st.tuples(*[SPANS] * 7)
DAYS = st.dates(date(2026, 1, 1), date(2027, 12, 31))
ABSENT = st.lists(st.tuples(DAYS, st.integers(0, 20)), max_size=3)


@given(week=WEEKS, other=st.none() | WEEKS, letters=st.booleans(), absent=ABSENT, quiet=WEEKS)
def test_written_out_it_reads_back_the_same(week, other, letters, absent, quiet):
    some = any(week) and (other is None or any(other))
    weeks = (week,) if other is None else (week, other)
    away = joined((d.toordinal(), d.toordinal() + n + 1) for d, n in absent)
    hours = Hours(
        said="", weeks=weeks if some else ((((0, 1440),),) * 7,),
        turn=MONDAY if letters and some and other is not None else None,
        absent=tuple((date.fromordinal(a), date.fromordinal(b - 1)) for a, b in away), quiet=quiet,
    )  # fmt: skip
    found, unread = read_hours(written(hours), None)
    assert not unread
    assert msgspec.structs.replace(found, said="") == hours


@given(text=st.text(alphabet="012348:.-;,/ \nMonSatawyquietoddvnxh", max_size=40))
def test_no_text_breaks_the_reader(text):
    try:
        found = understood(text, THURSDAY, "Europe/Berlin")
    except BadInput:
        return
    assert found is None or windows(found, MONDAY, 14, "Europe/Berlin") is not None
