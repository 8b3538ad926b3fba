"""Copies and putting one back: made beside writers, read back before they count, and never over anything."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings

from tankward.desk import data
from tankward.desk.desk import Desk
from tankward.desk.folder import new_id
from tankward.quantities.faults import BadInput
from tankward.room.entries.notes import Note
from tankward.store import backup, schema
from tankward.store.check import checked, digest
from tankward.store.faults import StoreFault
from tests.helpers import writer
from tests.helpers.logbooks import logbooks, shown_in

NOW = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)


def note(text="x", at=NOW):
    return Note(id=new_id(), at=at, text=text)


@pytest.fixture
def desk(tmp_path):
    with Desk.open(tmp_path / "room") as made:
        made.append(note("one"), note("two"))
        yield made


def raw(file):
    return closing(sqlite3.connect(file))


def ids(desk):
    return [e.id for e in desk.entries()]


@given(logbooks())
@settings(max_examples=15)
def test_a_copy_holds_every_entry(tmp_path_factory, logbook):
    with Desk.open(tmp_path_factory.mktemp("room")) as desk:
        desk.append(*logbook, pictures=shown_in(logbook))
        made = data.back_up(desk, NOW)
        assert made.found == checked(desk.store.file)
        assert made.found.digest == digest(logbook)


def test_a_copy_is_one_file_that_is_whole_by_itself(desk, tmp_path):
    made = data.back_up(desk, NOW, tmp_path / "away" / "mine.db")
    assert [f.name for f in made.file.parent.iterdir()] == ["mine.db"]
    assert checked(made.file).entries == 2


def test_a_copy_of_nothing(tmp_path):
    with Desk.open(tmp_path / "room") as desk, pytest.raises(BadInput, match="no logbook yet"):
        data.back_up(desk, NOW)


def test_no_copy_is_written_over_a_file(desk, tmp_path):
    (tmp_path / "letter.db").write_text("a letter")
    with pytest.raises(StoreFault, match="is there already"):
        data.back_up(desk, NOW, tmp_path / "letter.db")
    assert (tmp_path / "letter.db").read_text() == "a letter"


def test_two_copies_within_a_second_have_two_names(desk):
    assert data.back_up(desk, NOW).file != data.back_up(desk, NOW).file


def test_copies_while_a_program_writes(tmp_path):
    """Each copy is whole and holds all that was acknowledged before it was begun."""
    folder = tmp_path / "room"
    program = subprocess.Popen(
        [sys.executable, writer.__file__, folder, "300", "a"], stdout=subprocess.PIPE, text=True
    )
    kept = {program.stdout.readline().strip()}
    with Desk.open(folder) as desk:
        sizes = []
        while program.poll() is None:
            for _ in range(20):
                kept |= {program.stdout.readline().strip()} - {""}
            made = data.back_up(desk, NOW)
            with raw(made.file) as copy:
                there = {row[0] for row in copy.execute("select id from entry")}
            assert kept <= there
            sizes.append(len(there))
    assert program.returncode == 0
    assert len(sizes) >= 3
    assert sizes == sorted(sizes)


def spoilt(file, sql, *values):
    """Write past the triggers, as a failing disk would."""
    with raw(file) as connection:
        for name in ("update", "delete"):
            connection.execute(f"drop trigger entry_no_{name}")
        connection.execute(sql, values)
        for trigger in schema.TRIGGERS:
            connection.execute(trigger)
        connection.commit()


SPOILS = {
    "a body that is no entry": "update entry set body = '{' where seq = 1",
    "a row that tells another tank": "update entry set tank = 'other' where seq = 2",
    "a row with another id": "update entry set id = '0' where seq = 2",
}


@pytest.mark.parametrize("what", SPOILS)
def test_a_logbook_that_is_not_whole_gets_no_copy(desk, what):
    spoilt(desk.store.file, SPOILS[what])
    with pytest.raises(StoreFault, match="would not be whole"):
        data.back_up(desk, NOW)
    assert data.copies(desk) == []
    assert list((desk.folder / "copies").iterdir()) == []


@pytest.mark.parametrize("what", SPOILS)
def test_a_check_finds_it(desk, what):
    assert data.check(desk, NOW).faults == ()
    spoilt(desk.store.file, SPOILS[what])
    assert len(data.check(desk, NOW).faults) == 1


def test_a_check_finds_bytes_that_changed(desk):
    desk.append(*(note("word " * 200) for _ in range(200)))
    copy = data.back_up(desk, NOW).file
    content = bytearray(copy.read_bytes())
    page = 4096 * (len(content) // 4096 // 2)
    content[page : page + 64] = bytes(255 - b for b in content[page : page + 64])
    copy.write_bytes(content)
    seen = data.check(desk, NOW)
    assert seen.logbook.faults == ()
    assert seen.faults


def test_a_check_counts_entries_from_the_future(desk):
    desk.append(note(at=NOW + timedelta(days=400)))
    assert data.check(desk, NOW).ahead == 1


# Daily copies


def test_a_day_has_one_copy(desk):
    assert data.keep_daily(desk, NOW, "UTC") == ""
    desk.append(note("three"))
    assert data.keep_daily(desk, NOW + timedelta(hours=5), "UTC") == ""
    (copy,) = data.copies(desk)
    assert copy.name == "day-2026-05-14"
    assert checked(copy.file).entries == 2


def test_the_day_is_the_keepers(desk):
    data.keep_daily(desk, datetime(2026, 5, 14, 23, 30, tzinfo=UTC), "Europe/Berlin")
    assert data.copies(desk)[0].name == "day-2026-05-15"


def test_an_empty_folder_stays_empty(tmp_path):
    with Desk.open(tmp_path / "room") as desk:
        assert data.keep_daily(desk, NOW, "UTC") == ""
    assert not (tmp_path / "room").exists()


def names_after(desk, days):
    for day in days:
        backup.daily(desk.store.file, day)
    return sorted(c.name.removeprefix("day-") for c in data.copies(desk))


def test_copies_are_kept_for_fourteen_days(desk):
    days = [date(2026, 5, 1) + timedelta(days=n) for n in range(20)]
    assert names_after(desk, days) == [d.isoformat() for d in days[-14:]]


def test_copies_by_hand_stay(desk):
    by_hand = data.back_up(desk, NOW - timedelta(days=300)).file
    names_after(desk, [date(2026, 5, 1) + timedelta(days=n) for n in range(20)])
    assert by_hand.exists()


def test_a_clock_that_leaps_years_ahead_and_back_does_not_empty_the_folder(desk):
    true = [date(2026, 5, 1) + timedelta(days=n) for n in range(14)]
    there = names_after(desk, [*true, date(2099, 1, 1), date(2026, 5, 15)])
    assert {d.isoformat() for d in true[2:]} <= set(there)
    assert {"2099-01-01", "2026-05-15"} <= set(there)


def test_a_clock_set_back_loses_nothing(desk):
    """Written later by an earlier clock: it stands where its instant is, nothing is doubled or gone."""
    data.keep_daily(desk, NOW, "UTC")
    back = NOW - timedelta(days=200)
    early = note("early", back)
    desk.append(early)
    assert data.keep_daily(desk, back, "UTC") == ""
    assert desk.entries()[0] == early
    assert len(desk.entries()) == 3
    assert [c.name for c in data.copies(desk)] == ["day-2025-10-26", "day-2026-05-14"]
    assert data.check(desk, back).ahead == 2


def test_what_a_killed_program_left_is_no_copy_and_goes_the_day_after(desk):
    folder = desk.folder / "copies"
    folder.mkdir()
    left = [folder / ".part-x.db", desk.folder / ".trial-x.db", folder / ".part-now.db"]
    for file in left:
        file.write_text("half")
    two_days = datetime(2026, 5, 12, tzinfo=UTC).timestamp()
    for file in left[:2]:
        os.utime(file, (two_days, two_days))
    os.utime(left[2], (NOW.timestamp(), NOW.timestamp()))
    assert data.copies(desk) == []
    data.keep_daily(desk, NOW, "UTC")
    assert [file.exists() for file in left] == [False, False, True]


# Putting back


def test_put_back_what_was_and_keep_what_is(desk):
    was = desk.entries()
    copy = data.back_up(desk, NOW).file
    desk.append(note("three"))
    now_there = desk.entries()
    done = data.put_back(desk, copy, NOW)
    assert desk.entries() == was
    assert done.found.digest == digest(was)
    assert checked(done.kept).digest == digest(now_there)
    data.put_back(desk, done.kept, NOW)
    assert desk.entries() == now_there
    assert data.check(desk, NOW).faults == ()


def test_a_logbook_put_back_still_only_grows(desk):
    data.put_back(desk, data.back_up(desk, NOW).file, NOW)
    with raw(desk.store.file) as connection, pytest.raises(sqlite3.IntegrityError, match="only grows"):
        connection.execute("delete from entry")


def test_a_program_that_has_the_folder_open_sees_the_change(desk):
    copy = data.back_up(desk, NOW).file
    with Desk.open(desk.folder) as other:
        other.append(note("three"))
        assert len(other.entries()) == 3
        data.put_back(desk, copy, NOW)
        assert ids(other) == ids(desk)
        assert len(ids(other)) == 2
        other.append(note("four"))
        assert ids(other) == ids(desk)
        assert len(ids(other)) == 3


def test_nothing_that_is_written_meanwhile_is_lost(tmp_path):
    """What a running program writes is in the logbook or in what was kept of it."""
    folder = tmp_path / "room"
    with Desk.open(folder) as desk:
        desk.append(note("first"))
        copy = data.back_up(desk, NOW).file
        program = subprocess.Popen(
            [sys.executable, writer.__file__, folder, "150", "a"], stdout=subprocess.PIPE, text=True
        )
        acknowledged = {program.stdout.readline().strip()}
        for n in range(5):
            data.put_back(desk, copy, NOW + timedelta(seconds=n))
        acknowledged |= set(program.communicate(timeout=60)[0].split())
        assert program.returncode == 0
        there = set(ids(desk))
        for made in data.copies(desk):
            with raw(made.file) as connection:
                there |= {row[0] for row in connection.execute("select id from entry")}
    assert len(acknowledged) == 150
    assert acknowledged <= there


def test_into_a_folder_with_nothing(desk, tmp_path):
    copy = data.back_up(desk, NOW).file
    with Desk.open(tmp_path / "new") as new:
        assert data.put_back(new, copy, NOW).kept is None
        assert new.entries() == desk.entries()
        assert new.append(note("more"))


@pytest.mark.parametrize("what", SPOILS)
def test_a_copy_that_is_not_whole_is_not_put_back(desk, what):
    copy = data.back_up(desk, NOW).file
    desk.append(note("three"))
    spoilt(copy, SPOILS[what])
    with pytest.raises(StoreFault, match=r"Nothing was changed: the copy is not whole"):
        data.put_back(desk, copy, NOW)
    assert len(desk.entries()) == 3
    assert [c.file for c in data.copies(desk)] == [copy]


def test_a_copy_of_a_newer_program_is_not_put_back(desk):
    copy = data.back_up(desk, NOW).file
    with raw(copy) as connection:
        connection.execute("update alembic_version set version_num = '9999'")
        connection.commit()
    with pytest.raises(StoreFault, match="newer Tankward"):
        data.put_back(desk, copy, NOW)
    assert len(desk.entries()) == 2


def test_a_damaged_logbook_is_set_aside_as_it_is(desk):
    was = desk.entries()
    copy = data.back_up(desk, NOW).file
    desk.close()
    desk.store.file.write_text("a letter, and a long one: " + "x" * 200)
    assert "not a logbook" in data.cant_open(desk)
    done = data.put_back(desk, copy, NOW)
    assert done.kept.read_text().startswith("a letter")
    assert desk.entries() == was
    assert desk.append(note("more"))


def test_a_logbook_of_a_newer_program_is_not_put_away(desk):
    copy = data.back_up(desk, NOW).file
    desk.close()
    with raw(desk.store.file) as connection:
        connection.execute("update alembic_version set version_num = '9999'")
        connection.commit()
    with Desk.open(desk.folder) as newer:
        with pytest.raises(StoreFault, match="newer Tankward"):
            data.put_back(newer, copy, NOW)
        with pytest.raises(StoreFault, match="newer Tankward"):
            newer.append(note())
        assert data.keep_daily(newer, NOW, "UTC") == ""
        assert len(newer.entries()) == 2
        assert data.check(newer, NOW).read_only


@pytest.mark.parametrize("word", ["2026-05-14", "day-2026-05-14", "day-2026-05-14.db"])
def test_a_copy_is_found_by_its_day(desk, word):
    data.keep_daily(desk, NOW, "UTC")
    assert data.copy_named(desk, word).stem == "day-2026-05-14"


@pytest.mark.parametrize("word", ["", "2026-05-13", "../room/logbook", "/etc/passwd"])
def test_a_copy_that_is_not_there_is_answered_with_those_that_are(desk, word):
    data.keep_daily(desk, NOW, "UTC")
    with pytest.raises(BadInput, match=r"is no copy\. There are day-2026-05-14"):
        data.copy_named(desk, word)
