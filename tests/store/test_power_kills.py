"""Programs that die at any moment: nothing acknowledged is lost, nothing is there by half."""

import json
import os
import shutil
import signal
import sqlite3
import subprocess
import sys

import pytest

from tankward.desk.folder import new_id
from tankward.room.entries.photos import PhotoAdded
from tankward.room.photos import pictures_of
from tankward.store import backup, database, restore, schema
from tankward.store.check import checked
from tankward.store.photos import Picture, faults_of, pictures_in
from tankward.store.store import Store
from tests.helpers import killed
from tests.store.test_backup import NOW, note

KILLS = 200


def test_two_hundred_kills_lose_nothing(tmp_path):
    ran = subprocess.run(
        [sys.executable, killed.__file__, tmp_path, str(KILLS), "20260501"], capture_output=True, text=True
    )
    assert ran.returncode == 0, ran.stderr
    told = json.loads(ran.stdout)
    print(told)
    assert told["kills"] >= KILLS
    assert (told["lost"], told["halves"], told["unseen"], told["faults"]) == (0, 0, 0, [])
    assert told["photos"] > KILLS / 10
    # Were all killed before they wrote, or none before the first entry, this would say little.
    assert told["acknowledged"] > KILLS
    assert 0 < told["before_the_first"] < told["kills"]


# A migration that makes the table anew: the one in which most could go wrong.
SECOND = """
from alembic import op
from tankward.store.schema import TRIGGERS

revision = "0002"
down_revision = "0001"


def upgrade():
    op.execute("create table fresh (seq integer not null primary key autoincrement, id text not null unique, "
               "at text not null, tank text not null, kind text not null, version integer not null, "
               "body text not null, colour text) strict")
    op.execute("insert into fresh select *, null from entry")
    for name in ("update", "delete"):
        op.execute(f"drop trigger entry_no_{name}")
    op.execute("drop table entry")
    op.execute("alter table fresh rename to entry")
    op.execute("create index ix_entry_at on entry (at)")
    op.execute("create index ix_entry_tank on entry (tank)")
    for trigger in TRIGGERS:
        op.execute(trigger)
"""


@pytest.fixture
def later(tmp_path, monkeypatch):
    """A later program, with one migration more."""
    migrations = shutil.copytree(database.MIGRATIONS, tmp_path / "migrations")
    (migrations / "versions" / "0002_colour.py").write_text(SECOND)

    def use():
        monkeypatch.setattr(database, "MIGRATIONS", migrations)
        monkeypatch.setattr(schema, "NEWEST", "0002")

    return use


def dying_after(statements):
    """Every connection of this process counts; with the last statement the power goes."""
    left = [statements]

    def count(_):
        left[0] -= 1
        if left[0] < 0:
            os.kill(os.getpid(), signal.SIGKILL)

    def connect(*args, real=sqlite3.connect, **kwargs):
        raw = real(*args, **kwargs)
        raw.set_trace_callback(count)
        return raw

    sqlite3.connect = connect


def opened(folder):
    store = Store(folder)
    store.last()
    store.close()


def lived(work, statements):
    """Whether a process that dies after so many statements came to the end of this."""
    child = os.fork()
    if child == 0:
        try:
            dying_after(statements)
            work()
            os._exit(0)
        finally:
            os._exit(1)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status) or os.WEXITSTATUS(status) == 0
    return not os.WIFSIGNALED(status)


def test_power_lost_at_every_statement_of_a_migration(tmp_path, later):
    entries = [note(f"note {n}") for n in range(5)]
    old = Store(tmp_path / "old")
    old.append(entries)
    old.close()
    later()
    died = 0
    while True:
        folder = shutil.copytree(old.folder, tmp_path / f"after {died}")
        done = lived(lambda folder=folder: opened(folder), died)
        assert checked(folder / database.FILE).entries == len(entries)
        store = Store(folder)
        assert store.all() == entries
        assert store.append([note("more", NOW)])
        store.close()
        found = checked(folder / database.FILE)
        assert (found.faults, found.entries) == ((), len(entries) + 1)
        copies = [checked(copy.file) for copy in backup.copies(folder)]
        assert copies
        assert {(c.faults, c.entries) for c in copies} == {((), len(entries))}
        assert list(folder.rglob(".part-*")) == [] or not done
        if done:
            break
        died += 1
    print(f"power lost after each of {died} statements")
    assert died > 20


def shown(text):
    """A note, with a photo of it and the picture."""
    about, picture = note(text), Picture.of(text.encode() * 500)
    return about, (PhotoAdded(id=new_id(), at=NOW, digest=picture.digest, about=about.id), [picture])


def test_power_lost_at_every_statement_of_putting_a_copy_back(tmp_path):
    """Before the last of them everything is as it was, after it everything is as the copy; never between."""
    (one, here), (three, there) = shown("one"), shown("three")
    was, more = [one, note("two")], [three]
    first = Store(tmp_path / "first")
    first.append([*was, here[0]], here[1])
    was.append(here[0])
    more.append(there[0])
    copy = tmp_path / "copy.db"
    backup.back_up(first.file, copy)
    first.append(more, there[1])
    first.close()
    died, ends = 0, []
    while True:
        folder = shutil.copytree(first.folder, tmp_path / f"after {died}")
        done = lived(lambda folder=folder: restore.put_back(folder, copy, NOW), died)
        store = Store(folder)
        ends.append(len(store.all()))
        assert store.all() == (was if ends[-1] == 3 else was + more)
        assert faults_of(store.pictures, pictures_of(store.all())) == {}
        store.sweep()
        assert pictures_in(store.pictures) == pictures_of(store.all())
        store.append([note("later")])
        store.close()
        assert checked(folder / database.FILE).faults == ()
        if ends[-1] == 3:
            assert max(checked(c.file).entries for c in backup.copies(folder)) == 5
            assert pictures_in(folder / "copies" / "photos") == pictures_of([*was, *more])
        if done:
            break
        died += 1
    print(f"power lost after each of {died} statements")
    assert died > 20
    assert ends[0] == 5
    assert ends == sorted(ends, reverse=True)
    assert ends[-1] == 3


def test_a_migration_that_fails_leaves_the_old_form(tmp_path, later, monkeypatch):
    old = Store(tmp_path / "room")
    old.append([note()])
    old.close()
    with monkeypatch.context():
        later()
        broken = database.MIGRATIONS / "versions" / "0002_colour.py"
        broken.write_text(SECOND.replace("drop table entry", "drop table nothing"))
        with pytest.raises(Exception, match="can't be used"):
            Store(old.folder).all()
    assert len(checked(old.file).faults) == 0
    with sqlite3.connect(old.file) as raw:
        assert raw.execute("select version_num from alembic_version").fetchone() == ("0001",)
