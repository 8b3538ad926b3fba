"""The iCalendar file: read back with a library, its lines by hand against RFC 5545."""

import re
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest

from tankward.knowledge.loader import load
from tankward.room.acts import Change, Dose
from tankward.room.entries.acts import Step
from tankward.room.hours import hours_of
from tankward.rounds.calendar import Calendar, DayMark, moments_of
from tankward.show.calendar_file import calendar_file
from tests.helpers.rooms import room_from

FACTS = load()
NOW = datetime(2026, 10, 20, 18, 0, 12, 5, tzinfo=UTC)
ROOM = room_from(
    '12 May 2026 08:00  tank  T5  volume="40 L" temp=24C\n'
    "12 May 2026 08:01  stock T5  kind=guppy number=8 length=3cm arrived=3days\n"
)
LONG = "Neues Wasser entchlort, höchstens 2 °C wärmer oder kälter; Heizer aus, Deckel zu, µg " * 3
BERLIN = ZoneInfo("Europe/Berlin")


def steps():
    """Half a change and a dose on the evening before and after the clocks go back on 25 October 2026."""
    half, salt = Change(share=0.5), Dose(actives={"sodium_chloride": 1.0})
    for n, day in enumerate((24, 25, 26)):
        when = datetime(2026, 10, day, 19, 0, tzinfo=BERLIN).astimezone(UTC)
        yield Step(id=f"salt-{n}-change-1", at=when, act=half, says="Change half of the water.", how=LONG)
        yield Step(id=f"salt-{n}-dose-1", at=when, act=salt, says="Give 1 g; no, more.")


def made(zone="Europe/Berlin", *, hours="", danger=None, now=NOW):
    moments = moments_of("t5", "salt in the tank", steps(), hours_of(hours, NOW, zone), zone)
    stock = next(iter(ROOM.stock))
    mark = DayMark(
        kind="newcomers", tank="t5", on=date(2026, 11, 5), id="newcomers-x", stock=stock, days=28,
        status="common-practice",
    )  # fmt: skip
    found = Calendar(moments=moments, marks=(mark,))
    return calendar_file(found, ROOM, FACTS, now=now, zone=zone, program="0.1", tank="t5", danger=danger)


def read(raw):
    return icalendar.Calendar.from_ical(raw)


def events(raw):
    return read(raw).walk("VEVENT")


def test_lines_are_folded_by_the_rule():
    """RFC 5545, 3.1: CRLF ends a line; at most 75 octets without it; what is folded goes on after a blank."""
    raw = made()
    assert raw.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in raw.replace(b"\r\n", b"")
    lines = raw.split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert any(line.startswith(b" ") for line in lines)
    for line in lines:
        line.decode()  # no character of several octets is cut in two
    whole = re.sub(rb"\r\n[ \t]", b"", raw).decode()
    told = next(line for line in whole.splitlines() if line.startswith("DESCRIPTION:☐"))
    assert LONG.strip().replace(",", "\\,").replace(";", "\\;") in told


def test_commas_semicolons_and_line_ends_come_back():
    """RFC 5545, 3.3.11."""
    first = events(made())[0]
    assert str(first["SUMMARY"]) == "T5: Change half of the water, then give 1 g; no, more"
    assert LONG.strip() in str(first["DESCRIPTION"])
    assert str(first["DESCRIPTION"]).splitlines()[-1] == "Course: salt in the tank."


def test_the_hours_are_those_of_the_wall_over_the_change_of_the_clocks():
    starts = [e["DTSTART"].dt for e in events(made()) if isinstance(e["DTSTART"].dt, datetime)]
    assert [s.astimezone(BERLIN).hour for s in starts] == [19, 19, 19]
    assert [s.astimezone(UTC).hour for s in starts] == [17, 18, 18]
    for event in events(made())[:3]:
        assert event["DTEND"].dt - event["DTSTART"].dt == timedelta(minutes=15)


def test_the_rules_of_the_zone_are_those_of_its_days_and_no_more():
    raw = made()
    (zone,) = read(raw).walk("VTIMEZONE")
    assert str(zone["TZID"]) == "Europe/Berlin"
    assert len(zone.to_ical()) < 1000
    assert len(made("UTC")) < len(raw)
    assert read(made("UTC")).walk("VTIMEZONE") == []


@pytest.mark.parametrize("zone", ["UTC", "Europe/Berlin", "Asia/Kolkata", "America/New_York"])
def test_each_moment_is_the_instant_it_was(zone):
    timed = [e["DTSTART"].dt for e in events(made(zone)) if isinstance(e["DTSTART"].dt, datetime)]
    starts = {s.astimezone(UTC) for s in timed}
    assert starts == {s.at for s in steps()}


def test_the_same_file_again_brings_no_doubles():
    first, later = events(made()), events(made(now=NOW + timedelta(days=3)))
    names = [str(e["UID"]) for e in first]
    assert names == [str(e["UID"]) for e in later]
    assert len(set(names)) == 4
    assert names[0] == "salt-0-change-1.t5@tankward"
    assert str(read(made())["UID"]) == str(read(made(now=NOW + timedelta(days=3)))["UID"])


def test_there_is_no_alarm_and_nothing_blocks_the_day():
    raw = made()
    assert b"VALARM" not in raw
    assert {str(e["TRANSP"]) for e in events(raw)} == {"TRANSPARENT"}


def test_a_day_is_a_whole_day():
    (day,) = [e for e in events(made()) if not isinstance(e["DTSTART"].dt, datetime)]
    assert day["DTSTART"].dt == date(2026, 11, 5)
    assert day["DTEND"].dt == date(2026, 11, 6)
    assert "days apart" in str(day["SUMMARY"])


def test_what_every_event_must_have_is_there():
    """RFC 5545, 3.6 and 3.6.1: VERSION and PRODID; UID, DTSTAMP in UTC, DTSTART."""
    found = read(made())
    assert str(found["VERSION"]) == "2.0"
    assert "Tankward" in str(found["PRODID"])
    for event in events(made()):
        assert {"UID", "DTSTAMP", "DTSTART", "SUMMARY"} <= set(event)
        assert event["DTSTAMP"].dt == datetime(2026, 10, 20, 18, 0, 12, tzinfo=UTC)


def test_danger_stands_first_and_what_is_outside_is_said():
    danger = "Danger: ammonia would reach too much."
    told = str(events(made(hours="6:00-8:00", danger={"t5": [danger]}))[0]["DESCRIPTION"])
    assert told.startswith(danger)
    assert "outside your hours" in told
