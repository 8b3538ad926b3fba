"""The store: what is acknowledged is there, whoever writes beside it and whatever dies."""

import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from alembic.config import Config
from alembic.script import ScriptDirectory
from hypothesis import given, settings
from sqlalchemy.exc import StatementError

import tankward.store
from tankward.desk.folder import new_id
from tankward.room.entries.notes import Note
from tankward.store import database, schema
from tankward.store.faults import StoreFault, explain
from tankward.store.store import Store
from tests.helpers import writer
from tests.helpers.logbooks import logbooks, shown_in
from tests.helpers.nobody import as_nobody

AT = datetime(2026, 3, 1, 8, tzinfo=UTC)


def note(text="x", at=AT):
    return Note(id=new_id(), at=at, text=text)


@pytest.fixture
def store(tmp_path):
    made = Store(tmp_path / "room")
    yield made
    made.close()


def raw(store):
    return closing(sqlite3.connect(store.file))


def test_reading_makes_nothing(store):
    assert store.all() == []
    assert store.last() == 0
    assert not store.folder.exists()


def test_an_entry_is_kept_once(store):
    entry = note()
    assert store.append([entry]) == [entry.id]
    assert store.append([entry, entry]) == []
    assert store.all() == [entry]


def test_since_gives_what_is_new(store):
    first, second = note("one"), note("two")
    store.append([first])
    seq, found = store.since(0)
    assert found == [first]
    store.append([second])
    assert store.since(seq) == (seq + 1, [second])
    assert store.last() == seq + 1


@given(logbooks())
@settings(max_examples=20)
def test_every_entry_comes_back_the_same(tmp_path_factory, logbook):
    store = Store(tmp_path_factory.mktemp("room"))
    store.append(logbook, shown_in(logbook))
    assert store.all() == logbook
    store.close()


def test_a_batch_is_kept_whole_or_not_at_all(store):
    store.append([note()])
    with pytest.raises(StatementError):
        store.append([note("good"), note("no zone", at=datetime(2026, 3, 1))])  # noqa: DTZ001
    assert len(store.all()) == 1


def test_an_instant_without_zone_is_refused(store):
    with pytest.raises(StatementError, match="has no zone"):
        store.append([note(at=datetime(2026, 3, 1))])  # noqa: DTZ001


def test_an_id_has_one_spelling(store):
    entry = Note(id=new_id().upper(), at=AT, text="x")
    with pytest.raises(ValueError, match="one spelling"):
        store.append([entry])


@pytest.mark.parametrize("change", ["update entry set body = 'x'", "delete from entry"])
def test_the_database_itself_refuses_changes(store, change):
    store.append([note()])
    with raw(store) as connection, pytest.raises(sqlite3.IntegrityError, match="only grows"):
        connection.execute(change)


def test_the_table_is_strict_and_commits_are_on_the_disk(store):
    store.append([note()])
    with raw(store) as connection:
        (made,) = connection.execute("select sql from sqlite_master where name = 'entry'").fetchone()
        assert made.rstrip().endswith("strict")
        assert connection.execute("pragma journal_mode").fetchone() == ("wal",)
    with store._reading() as connection:
        assert connection.exec_driver_sql("pragma synchronous").scalar() == 3
        assert connection.exec_driver_sql("pragma busy_timeout").scalar() == 5000


def test_the_table_in_code_is_the_one_that_migrations_make(store):
    store.append([note()])
    with raw(store) as connection:
        columns = [row[1] for row in connection.execute("pragma table_info(entry)")]
    assert columns == [column.name for column in schema.entry.columns]


def test_the_newest_migration_is_the_one_named():
    config = Config()
    config.set_main_option("script_location", str(Path(tankward.store.__file__).parent / "migrations"))
    assert ScriptDirectory.from_config(config).get_current_head() == schema.NEWEST


def test_a_folder_in_its_newest_form_is_opened_without_the_migration_tools(store):
    store.append([note()])
    script = f"""
import sys
import tempfile
from pathlib import Path
from tankward.store.store import Store
assert len(Store(Path({str(store.folder)!r})).all()) == 1
print("alembic" in sys.modules)
"""
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "False"


SECOND = """
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade():
    op.execute("alter table entry add column colour text")
"""


def test_an_older_folder_is_copied_then_brought_up_to_date(store, tmp_path, monkeypatch):
    """A later program with one migration more."""
    entry = note()
    store.append([entry])
    store.close()
    later = shutil.copytree(database.MIGRATIONS, tmp_path / "migrations")
    (later / "versions" / "0002_colour.py").write_text(SECOND)
    monkeypatch.setattr(database, "MIGRATIONS", later)
    monkeypatch.setattr(schema, "NEWEST", "0002")
    again = Store(store.folder)
    assert again.all() == [entry]
    assert again.append([note()])
    again.close()
    with raw(store) as connection:
        assert "colour" in [row[1] for row in connection.execute("pragma table_info(entry)")]
        assert connection.execute("select version_num from alembic_version").fetchone() == ("0002",)
    with closing(sqlite3.connect(store.folder / "copies" / "before-0002.db")) as copy:
        assert copy.execute("select id from entry").fetchall() == [(entry.id,)]
        assert copy.execute("select version_num from alembic_version").fetchone() == ("0001",)


def test_a_newer_folder_is_read_and_never_written(store):
    entry = note()
    store.append([entry])
    store.close()
    with raw(store) as connection:
        connection.execute("update alembic_version set version_num = '9999'")
        connection.commit()
    newer = Store(store.folder)
    assert newer.all() == [entry]
    with pytest.raises(StoreFault, match="newer Tankward"):
        newer.append([note()])
    assert newer.all() == [entry]
    newer.close()


def test_an_entry_of_a_newer_program_is_told_in_a_sentence(store):
    store.append([note()])
    with raw(store) as connection:
        connection.execute(
            "insert into entry (id, at, tank, kind, version, body) values (?, ?, '', 'x', 1, ?)",
            (new_id(), AT.isoformat(), '{"kind": "unheard"}'),
        )
        connection.commit()
    with pytest.raises(StoreFault, match="Use the newest Tankward"):
        store.all()


def test_two_programs_write_at_once(tmp_path):
    """Both begin in a folder that isn't there; neither loses or doubles an entry."""
    folder, many = tmp_path / "room", 40
    running = [
        subprocess.Popen(
            [sys.executable, writer.__file__, folder, str(many), name], stdout=subprocess.PIPE, text=True
        )
        for name in ("a", "b")
    ]
    kept = {line for program in running for line in program.communicate(timeout=120)[0].split()}
    assert [program.returncode for program in running] == [0, 0]
    store = Store(folder)
    assert {e.id for e in store.all()} == kept
    assert len(store.all()) == 2 * many
    store.close()


@pytest.mark.parametrize("after", [1, 7, 30])
def test_a_killed_program_loses_nothing_that_it_acknowledged(tmp_path, after):
    folder = tmp_path / "room"
    program = subprocess.Popen(
        [sys.executable, writer.__file__, folder, "100000", "a"], stdout=subprocess.PIPE, text=True
    )
    kept = [program.stdout.readline().strip() for _ in range(after)]
    program.send_signal(signal.SIGKILL)
    kept += program.stdout.read().split()
    program.wait()
    store = Store(folder)
    there = {e.id for e in store.all()}
    assert {line for line in kept if len(line) == 36} <= there
    assert store.append([note()])
    store.close()
    with raw(store) as connection:
        assert connection.execute("pragma integrity_check").fetchone() == ("ok",)


def test_a_file_in_the_place_of_the_folder(tmp_path):
    (tmp_path / "room").write_text("a letter")
    with pytest.raises(StoreFault, match="is not a folder"):
        Store(tmp_path / "room").append([note()])
    with pytest.raises(StoreFault, match="is not a folder"):
        Store(tmp_path / "room" / "deeper").append([note()])


def test_a_file_that_is_no_logbook(store):
    store.folder.mkdir()
    store.file.write_text("a letter, and a long one: " + "x" * 200)
    with pytest.raises(StoreFault, match="is not a logbook"):
        store.all()
    assert store.file.read_text().startswith("a letter")


def test_a_full_disk_is_told_and_nothing_is_half_written(store):
    store.append([note()])
    with store._reading() as connection:
        pages = connection.exec_driver_sql("pragma page_count").scalar()
        connection.exec_driver_sql(f"pragma max_page_count = {pages}")
    with pytest.raises(StoreFault, match="the disk is full"):
        store.append([note("x" * 3000) for _ in range(50)])
    assert len(store.all()) == 1


def test_a_folder_that_may_only_be_read(store):
    """As another person than the owner: root may write anywhere."""
    entry = note()
    store.append([entry])
    store.close()
    shared = Path(tempfile.gettempdir()) / f"tankward-{new_id()}"
    shutil.copytree(store.folder, shared)
    shared.chmod(0o555)
    (shared / database.FILE).chmod(0o444)
    try:
        assert as_nobody(lambda: reads_and_fails(shared, entry)) == "only be read"
        assert as_nobody(lambda: cant_make(shared / "new")) == "can't be written by you"
    finally:
        shared.chmod(0o755)
        shutil.rmtree(shared)


def reads_and_fails(folder, entry):
    store = Store(folder)
    assert store.all() == [entry]
    with pytest.raises(StoreFault, match="can only be read"):
        store.append([note()])
    return "only be read"


def cant_make(folder):
    with pytest.raises(StoreFault, match="can't be written by you"):
        Store(folder).append([note()])
    return "can't be written by you"


def test_the_journal_falls_back_where_the_file_system_only_says_yes(tmp_path, monkeypatch):
    real = database._writes
    monkeypatch.setattr(
        database, "_writes", lambda name, mode, must: mode != "wal" and real(name, mode, must=must)
    )
    assert database.trial_journal(tmp_path) == "delete"
    store = Store(tmp_path)
    store.append([note()])
    with raw(store) as connection:
        assert connection.execute("pragma journal_mode").fetchone() == ("delete",)
    store.close()


def test_a_trial_leaves_nothing_behind(tmp_path):
    assert database.trial_journal(tmp_path) == "wal"
    assert list(tmp_path.iterdir()) == []


def test_a_fault_of_another_sort_keeps_its_words():
    assert "odd {thing}".replace("{", "(").replace("}", ")") in str(
        explain(Path("/x"), OSError("odd {thing}"))
    )
