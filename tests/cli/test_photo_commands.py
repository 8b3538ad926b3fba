"""Photos at the command line, and what becomes of a fault that nobody expected."""

import json

import pytest

from tankward.cli import main as cli
from tankward.desk import photos
from tankward.desk.desk import Desk
from tests.cli.asking import ask_room, fill
from tests.helpers.pictures import photo

TANK = ("tank", "add", "name=T7", "volume=54L")


@pytest.fixture
def room(tmp_path):
    fill(tmp_path / "room", [TANK])
    (tmp_path / "fin.jpg").write_bytes(photo(400, 300, place=True))
    return tmp_path / "room"


def test_a_note_with_a_photo_and_the_photo_removed(room):
    written = ask_room(room, "log", "note", "T7", "text=torn fin", f"photo={room.parent / 'fin.jpg'}")
    assert written.json["says"].endswith("With a photo.")
    (added,) = written.json["photos"]
    (row,) = ask_room(room, "photo", "list", "T7").json["photos"]
    assert (row["photo"], row["entry"], row["there"]) == (added, written.json["entry"], "there")
    assert row["shows"] == "torn fin"
    assert (room / "photos").exists()
    gone = ask_room(room, "photo", "remove", added)
    assert "removed for good" in gone.json["says"]
    assert ask_room(room, "photo", "list").json["photos"][0]["there"] == "removed"
    assert not list(room.rglob("*.jpg"))


def test_a_photo_put_to_an_entry_that_is_there(room):
    note = ask_room(room, "log", "note", "T7", "text=x").json["entry"]
    ask_room(room, "photo", "add", note, str(room.parent / "fin.jpg"), "--shows", "A fin")
    with Desk.open(room) as desk:
        assert [p.entry.shows for p in photos.photos_here(desk)[note]] == ["A fin"]


@pytest.mark.parametrize(
    ("file", "says"), [("nothing.jpg", "is no file"), ("words.jpg", "is no whole photo")]
)
def test_what_is_no_photo_writes_nothing(room, file, says):
    (room.parent / "words.jpg").write_text("words")
    with Desk.open(room) as desk:
        before = desk.entries()
        answer = ask_room(room, "log", "note", "T7", "text=x", f"photo={room.parent / file}")
        assert answer.code == 2
        assert says in answer.err
        assert desk.entries() == before


def test_a_fault_that_nobody_expected_is_one_sentence_and_one_line_in_the_file(room, monkeypatch, capsys):
    def broken(*_args, **_kwargs):
        raise KeyError("Invented tank of somebody")

    monkeypatch.setattr("tankward.desk.photos.photo_entries", broken)
    monkeypatch.setattr("tankward.cli.commands.photo.photo_entries", broken)
    note = ask_room(room, "log", "note", "T7", "text=x").json["entry"]
    line = ["photo", "add", note, str(room.parent / "fin.jpg"), "--room", str(room)]
    assert cli.run(line) == 1
    told = capsys.readouterr()
    assert told.err.count("\n") == 1
    text = (room / "faults.log").read_text()
    head, *frames = text.splitlines()
    assert head.endswith("ERROR tankward.cli:0 KeyError")
    assert any(" broken" in frame for frame in frames)
    for private in ("Invented", "fin.jpg", str(room)):
        assert private not in text
    assert cli.run(["fault-report", "--room", str(room), "--json"]) == 0
    assert head in json.loads(capsys.readouterr().out)["holds"]


def test_a_folder_that_is_not_there_gets_no_file_of_faults(tmp_path, monkeypatch):
    monkeypatch.setattr(cli, "_run", lambda *_: 1 / 0)
    assert cli.run(["check", "--room", str(tmp_path / "none")]) == 1
    assert not (tmp_path / "none").exists()


def test_an_import_names_what_no_fact_is_about(room, tmp_path):
    (tmp_path / "x.txt").write_text("1 May 2026 10:01  stock  T7  kind=clown_fsh number=3\n")
    told = ask_room(room, "import", str(tmp_path / "x.txt")).json
    (caution,) = told["cautions"]
    assert caution.startswith("No fact is about clown_fsh.")
    assert "nothing counts as safe" in caution
