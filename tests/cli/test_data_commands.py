"""backup, restore, check, export, import, fault-report: what a keeper types, and what a script gets."""

import json
import sqlite3
import subprocess
import sys
import zipfile
from contextlib import closing

import msgspec
import pytest

from tankward.cli.main import _command, build, declared
from tests.cli.asking import NOW, ask, ask_room, digest, fill
from tests.cli.json_numbers import bare_numbers

LINES = [
    ["tank", "add", "name=Nursery", "volume=54L"],
    ["stock", "add", "Nursery", "kind=18 guppy"],
    ["log", "reading", "Nursery", "ph=7.4", "note=Invented remark"],
]


@pytest.fixture
def room(tmp_path):
    folder = tmp_path / "room"
    fill(folder, LINES)
    return folder


def lines_of(room):
    return ask("find", "", "--room", str(room), "--now", NOW).out


def test_export_then_import_into_an_empty_room_is_the_same(room, tmp_path):
    out = tmp_path / "out.zip"
    said = ask_room(room, "export", str(out))
    assert (said.code, said.json["entries"]["value"]) == (0, 3)
    taken = ask_room(tmp_path / "new", "import", str(out))
    assert (taken.json["new"]["value"], taken.json["known"]["value"]) == (3, 0)
    assert taken.json["says"] == "Took in 3 entries."
    again = ask_room(tmp_path / "new", "export", str(tmp_path / "again.zip"))
    assert again.json["sha256"] == said.json["sha256"]
    assert out.read_bytes() == (tmp_path / "again.zip").read_bytes()
    twice = ask_room(tmp_path / "new", "import", str(out))
    assert twice.json["says"] == "Nothing new: all 3 were here already."


def test_the_plain_text_goes_out_and_in(room, tmp_path):
    out = tmp_path / "out.txt"
    assert ask_room(room, "export", str(out), "--text").code == 0
    assert "tank      Nursery" in out.read_text()
    assert ask_room(tmp_path / "new", "import", str(out)).json["new"]["value"] == 3
    digests = [ask_room(folder, "check").json["digest"] for folder in (room, tmp_path / "new")]
    assert digests[0] == digests[1] != ""


def test_export_names_its_file_after_the_day(room, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert ask_room(room, "export").json["file"] == str(tmp_path / "tankward-2026-05-14.zip")
    with zipfile.ZipFile(tmp_path / "tankward-2026-05-14.zip") as opened:
        assert opened.namelist() == ["manifest.json", "schema.json", "entries.jsonl"]


def test_nothing_is_written_over(room, tmp_path):
    (tmp_path / "letter").write_text("a letter")
    for command in (["export"], ["export", "--text"], ["backup"], ["fault-report"]):
        said = ask_room(room, *command, str(tmp_path / "letter"))
        assert (said.code, said.out) == (1, "")
        assert "is there already" in said.err
    assert (tmp_path / "letter").read_text() == "a letter"


def test_backup_then_restore_brings_back_what_was(room, tmp_path):
    made = ask_room(room, "backup", str(tmp_path / "mine.db")).json
    assert made["entries"]["value"] == 3
    fill(room, [["tank", "add", "name=Other", "volume=20L"]])
    back = ask_room(room, "restore", str(tmp_path / "mine.db"))
    assert back.code == 0
    assert back.json["digest"] == made["digest"] == ask_room(room, "check").json["digest"]
    assert "Other" not in lines_of(room)
    assert ask_room(room, "restore", back.json["kept"]).code == 0
    assert "Other" in lines_of(room)


def test_backup_into_a_folder(room, tmp_path):
    said = ask_room(room, "backup", str(tmp_path))
    assert said.json["file"].startswith(str(tmp_path / "tankward-2026-05-14T"))


def test_restore_alone_lists_the_copies(room):
    assert ask_room(room, "restore").json == ask_room(room, "restore").json
    assert ask_room(room, "restore").json["says"] == "There is no copy yet."
    ask_room(room, "backup")
    (row,) = ask_room(room, "restore").json["copies"]
    assert row["name"].startswith("hand-2026-05-14T")
    assert row["says"].startswith("Copied by hand, made ")
    assert ask_room(room, "restore", row["name"]).code == 0


def test_check_tells_damage_and_its_exit_code_is_1(room):
    whole = ask_room(room, "check")
    assert (whole.code, whole.json["whole"]) == (0, True)
    with closing(sqlite3.connect(room / "logbook.db")) as raw:
        raw.execute("drop trigger entry_no_update")
        raw.execute("update entry set body = '{' where seq = 2")
        raw.commit()
    said = ask_room(room, "check")
    assert (said.code, said.json["whole"], said.err) == (1, False, "")
    assert said.json["faults"][0].startswith("entry 2: ")


def test_check_tells_a_clock_that_was_wrong(room):
    said = ask_room(room, "check", now="2020-01-01T08:00")
    assert said.code == 0
    assert said.json["cautions"] == [
        "3 entries are dated after now: this machine's clock is or was wrong. Set it right first."
    ]


@pytest.mark.parametrize(
    ("command", "says"),
    [
        (["backup"], "holds no logbook yet"),
        (["restore", "2026-05-13"], "is no copy. There is none yet."),
        (["import", "nowhere.zip"], "is no file"),
    ],
)
def test_an_empty_room_says_so_and_stays_empty(tmp_path, command, says):
    said = ask_room(tmp_path / "room", *command)
    assert (said.code, said.out) == (2, "")
    assert says in said.err
    assert not (tmp_path / "room").exists()


def test_a_bad_file_changes_nothing(room, tmp_path):
    (tmp_path / "bad.zip").write_bytes(b"PK half of one")
    before = digest(room)
    said = ask_room(room, "import", str(tmp_path / "bad.zip"))
    assert (said.code, said.out) == (2, "")
    assert said.err.count("\n") == 1
    assert "not a whole export" in said.err
    assert digest(room) == before


def test_a_newer_folder_is_read_and_not_written(room, tmp_path):
    with closing(sqlite3.connect(room / "logbook.db")) as raw:
        raw.execute("update alembic_version set version_num = '9999'")
        raw.commit()
    ask_room(room, "export", str(tmp_path / "out.zip"))
    assert (tmp_path / "out.zip").exists()
    for command in (["tank", "add", "name=X", "volume=9L"], ["import", str(tmp_path / "out.zip")]):
        said = ask_room(room, *command)
        assert (said.code, said.out) == (1, "")
        assert said.err.strip() == f"{room} was written by a newer Tankward, so here it can only be read."
    assert ask_room(room, "tank", "list").json["tanks"][0]["name"] == "Nursery"


def test_a_day_on_which_the_room_is_opened_gets_a_copy(room):
    """By the machine's own clock: another --now makes no day."""
    assert not (room / "copies").exists()
    for _ in range(2):
        assert ask("tank", "list", "--room", str(room)).code == 0
    assert len(list((room / "copies").iterdir())) == 1


def test_a_fault_report_is_shown_before_it_is_saved(room, tmp_path):
    (room / "faults.log").write_text(
        "2026-05-14 18:00:00,123 ERROR uvicorn.error:416 KeyError\n"
        "  tankward/web/pages/tank.py:12 show\n"
        "KeyError: 'Nursery'\n"
        "2026-05-14 18:00:00,123 ERROR Nursery is ill: Invented remark\n"
    )
    shown = ask_room(room, "fault-report").json
    saved = ask_room(room, "fault-report", str(tmp_path / "report.txt"))
    text = (tmp_path / "report.txt").read_text()
    assert text.splitlines() == shown["holds"] == saved.json["holds"]
    assert "  tankward/web/pages/tank.py:12 show" in shown["holds"]
    assert shown["holds"][0].startswith("Tankward ")
    for private in ("Nursery", "guppy", "Invented", str(room), str(tmp_path)):
        assert private not in text


COMMANDS = ["backup", "restore", "check", "export", "import", "fault-report"]


@pytest.fixture
def answers(room, tmp_path):
    out = str(tmp_path / "out.zip")
    asked = {
        "backup": ["backup"], "restore": ["restore"], "check": ["check"], "export": ["export", out],
        "import": ["import", out], "fault-report": ["fault-report"],
    }  # fmt: skip
    return {name: ask_room(room, *words) for name, words in asked.items()}


@pytest.mark.parametrize("name", COMMANDS)
def test_answers_hold_what_their_schema_says(answers, name):
    said = answers[name]
    assert (said.code, said.err) == (0, "")
    assert bare_numbers(said.json) == []
    kinds = [k for k in declared(_command(build(), [name])) if set(said.json) <= set(k.__struct_fields__)]
    assert kinds
    assert any(msgspec.json.decode(said.out, type=kind) for kind in kinds)
    assert "$defs" in json.loads(ask(name, "--schema").out)


def test_a_backup_while_the_app_runs(room, tmp_path):
    """The app serves the folder; a copy and an export are made beside it, and it goes on."""
    start = [sys.executable, "-c", "from tankward.cli.main import main; main()", "start", "--port", "0"]
    app = subprocess.Popen(
        [*start, "--room", room],
        stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    try:
        assert app.stdout.readline().startswith("http://127.0.0.1:")
        assert ask_room(room, "backup").json["entries"]["value"] == 3
        assert ask_room(room, "export", str(tmp_path / "x.zip")).json["entries"]["value"] == 3
        assert app.poll() is None
    finally:
        app.terminate()
        app.wait(timeout=20)


def test_start_tells_its_address_as_one_object(room):
    start = [sys.executable, "-c", "from tankward.cli.main import main; main()", "start", "--port", "0"]
    app = subprocess.Popen([*start, "--room", room, "--json"], stdout=subprocess.PIPE, text=True)
    try:
        told = json.loads(app.stdout.readline())
        assert told["address"].startswith("http://127.0.0.1:")
        assert (told["folder"], told["demo"], told["refused"]) == (str(room), False, False)
        assert told["now"]
    finally:
        app.terminate()
        rest, _ = app.communicate(timeout=20)
    assert rest == ""
