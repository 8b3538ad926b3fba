"""`tankward calendar`: a file on standard output, the same as one object with --json."""

import os
import subprocess
import sys
from pathlib import Path

import icalendar
import pytest

from . import walk
from .asking import ask, ask_room, fill

TANKWARD = Path(sys.executable).with_name("tankward")


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    folder = tmp_path_factory.mktemp("calendar")
    fill(folder, [*walk.WRITES, ("course", "T1", *walk.COURSE, "--begin")])
    return folder


def test_the_file_comes_out_as_it_is_byte_for_byte(room):
    """CRLF at the end of each line, also where the shell writes it into a file."""
    line = [TANKWARD, "calendar", "--room", str(room), "--now", walk.NOW]
    raw = subprocess.run(
        line, capture_output=True, check=True, env={**os.environ, "TZ": "Europe/Berlin"}
    ).stdout
    assert raw.startswith(b"BEGIN:VCALENDAR\r\n") and raw.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in raw.replace(b"\r\n", b"")
    assert len(icalendar.Calendar.from_ical(raw).walk("VEVENT")) > 3
    assert b"TZID:Europe/Berlin" in raw


def test_json_lists_the_events_and_holds_the_file(room):
    said = ask_room(room, "calendar", "T1")
    assert said.code == 0, said.err
    rows = said.json["events"]
    found = icalendar.Calendar.from_ical(said.json["file"]).walk("VEVENT")
    assert [r["uid"] for r in rows] == [str(e["UID"]) for e in found]
    assert said.json["says"] == f"{len(rows)} things are planned."
    assert {r["tank"] for r in rows} == {"t1"}


def test_a_course_before_it_is_begun_needs_its_tank(room):
    said = ask_room(room, "calendar", "--substance", "praziquantel", "--route", "water_long")
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith("tank: ")


def test_what_is_refused_is_refused(room):
    assert ask_room(room, "calendar", "T1", "--substance", "copper", "--route", "water_long").code == 3


def test_an_empty_room_gives_an_empty_calendar(tmp_path):
    said = ask("calendar", "--room", str(tmp_path))
    assert said.code == 0
    assert icalendar.Calendar.from_ical(said.out).walk("VEVENT") == []
