"""Your data: out, in, copies, and what a fault of the folder looks like."""

import io
import logging
import sqlite3
import sys
import time
import zipfile
from contextlib import closing

import pytest

from tankward.desk import data
from tankward.desk.fault_log import FRAME, HEAD, BareFormatter, kept_faults
from tankward.desk.fault_report import fault_report
from tankward.knowledge.loader import load
from tankward.show.words.data import report_lines
from tankward.store import schema
from tankward.web.daily import copy_today
from tests.helpers.nobody import as_nobody, open_to_all

from .conftest import ROOM
from .visitor import ORIGIN, Visitor


def sent(visitor, content, name="out.zip", token=None):
    token = visitor.token(visitor.get("/data")) if token is None else token
    return visitor.client.post(
        "/data/import",
        data={"form-token": token},
        files={"file": (name, content)},
        headers={"origin": ORIGIN},
    )


def test_more_leads_to_it(keeper):
    assert "/data" in keeper.get("/more").links


def test_it_says_where_everything_is(keeper):
    page = keeper.get("/data")
    assert page.code == 200
    assert page.heading() == "Your data"
    assert str(keeper.desk.folder) in page.words
    assert "No copy yet" in page.words
    for link in ("/data/export.zip", "/data/export.txt", "/data/check", "/data/fault-report"):
        assert link in page.links
    for file in keeper.desk.folder.iterdir():
        if not file.name.endswith(("-wal", "-shm")):
            assert file.name in page.words


def test_out_and_into_another_room(keeper, stranger):
    answer = keeper.client.get("/data/export.zip")
    assert answer.headers["content-disposition"] == 'attachment; filename="tankward-2026-05-12.zip"'
    assert zipfile.ZipFile(io.BytesIO(answer.content)).testzip() is None
    page = sent(stranger, answer.content)
    assert page.status_code == 200
    assert "Took in 7 entries." in page.text
    assert stranger.entries == keeper.entries
    assert "all 7 were here already" in sent(stranger, answer.content).text
    assert stranger.client.get("/data/export.zip").content == answer.content


def test_the_plain_text(keeper, stranger):
    answer = keeper.client.get("/data/export.txt")
    assert "tank      T7" in answer.text
    assert sent(stranger, answer.content, "out.txt").status_code == 200
    assert stranger.entries == keeper.entries


BAD = {
    "half a file": lambda whole: whole[:300],
    "a picture": lambda whole: b"\x89PNG" + bytes(99),
    "nothing": lambda whole: b"",
}


@pytest.mark.parametrize("what", BAD)
def test_a_bad_file_changes_nothing_and_the_page_says_why(keeper, stranger, what):
    page = sent(stranger, BAD[what](keeper.client.get("/data/export.zip").content))
    assert page.status_code == 422
    assert 'role="alert"' in page.text
    assert stranger.entries == []


def test_no_file_at_all(keeper):
    answer = keeper.post("/data/import", keeper.get("/data"))
    assert answer.code == 422
    assert "Choose a file first" in answer.words


def test_a_larger_file_than_other_forms_may_send(keeper, stranger):
    line = '1 May 2026 09:00  note  T7  text="%s"'
    text = "\n".join(line % (str(n) + "x" * 3000) for n in range(500))
    assert len(text) > 1_000_000
    assert sent(stranger, text.encode(), "long.txt").status_code == 200
    assert len(stranger.entries) == 500


@pytest.mark.parametrize("url", ["/data/backup", "/data/import", "/data/copies/day-2026-05-12"])
def test_writes_need_the_form_of_this_room(keeper, url):
    copy_today(keeper.client.app)
    before = (keeper.entries, data.copies(keeper.desk))
    assert keeper.post(url).code == 403
    assert (keeper.entries, data.copies(keeper.desk)) == before


def test_a_copy_put_back_and_that_undone(keeper):
    made = keeper.post("/data/backup", keeper.get("/data"))
    assert "Copied 7 entries to hand-2026-05-12T210200Z.db" in made.words
    written = keeper.post("/tanks/t7/log/note", keeper.get("/tanks/t7/log/note"), text="Invented remark")
    assert written.code == 303
    (copy,) = [link for link in keeper.get("/data").links if "/data/copies/" in link]
    before = keeper.get(copy)
    assert "It holds 7 entries" in before.words
    done = keeper.post(copy, before)
    assert "Put back hand-2026-05-12T210200Z: 7 entries. The logbook that was here is kept as" in done.words
    assert len(keeper.entries) == 7
    kept = next(link for link in done.links if "before-restore" in link)
    keeper.post(kept, keeper.get(kept))
    assert len(keeper.entries) == 8


@pytest.mark.parametrize("name", ["nothing", "..%2Flogbook", "%2Fetc%2Fpasswd"])
def test_a_copy_that_is_not_there(keeper, name):
    assert keeper.get(f"/data/copies/{name}").code in (404, 422)


def spoil(visitor):
    with closing(sqlite3.connect(visitor.desk.store.file)) as raw:
        raw.execute("drop trigger entry_no_update")
        raw.execute("update entry set body = '{' where seq = 2")
        raw.commit()


def test_a_look_whether_it_is_whole(keeper):
    assert "The logbook is whole: 7 entries, each read and replayed." in keeper.get("/data/check").words
    spoil(keeper)
    assert "Not whole: entry 2: " in keeper.get("/data/check").words


def test_a_logbook_that_cannot_be_opened_can_be_replaced_here(tmp_path):
    keeper = Visitor(tmp_path / "room", ROOM)
    copy_today(keeper.client.app)
    keeper.desk.close()
    for file in keeper.desk.folder.glob("logbook.db*"):
        file.unlink()
    keeper.desk.store.file.write_text("a letter, and a long one: " + "x" * 200)
    page = keeper.get("/")
    assert page.code == 503
    assert "is not a logbook" in page.words
    page = keeper.get("/data")
    assert "is not a logbook" in page.words
    url = "/data/copies/day-2026-05-12"
    assert keeper.post(url, keeper.get(url)).code == 200
    assert len(keeper.entries) == 7


def test_the_day_is_copied_while_the_app_runs(keeper):
    with keeper.client:
        wait_for(lambda: data.copies(keeper.desk))
    assert [c.name for c in data.copies(keeper.desk)] == ["day-2026-05-12"]


def wait_for(what):
    until = time.monotonic() + 20
    while not what():
        assert time.monotonic() < until, "it never came"
        time.sleep(0.02)


def test_a_folder_that_may_only_be_read_is_shown_and_said(tmp_path_factory):
    folder = open_to_all(tmp_path_factory.mktemp("shared"))
    with closing(Visitor(folder, ROOM).desk) as desk:
        desk.entries()
    (folder / "form-secret").unlink()
    for file in folder.iterdir():
        file.chmod(0o444)
    folder.chmod(0o555)
    try:
        assert as_nobody(lambda: shown_and_said(folder)) == "shown and said"
    finally:
        folder.chmod(0o755)


def shown_and_said(folder):
    keeper = Visitor(folder)
    assert "T7" in keeper.get("/").words
    assert "can only be read; nothing was written" in keeper.get("/data").words
    written = keeper.post("/tanks/t7/log/note", keeper.get("/tanks/t7/log/note"), text="x")
    assert written.code == 503
    assert "can only be read; nothing was written" in written.words
    return "shown and said"


# Faults


def a_fault(name):
    """A record as the server makes one, with a name in every place where one could be."""
    try:
        try:
            raise ValueError(f"{name} is no number")
        except ValueError as inner:
            raise KeyError(name) from inner
    except KeyError:
        return logging.LogRecord(
            "uvicorn.error", logging.ERROR, "x.py", 7, "%s broke", (name,), sys.exc_info()
        )


def test_the_file_of_faults_holds_no_words_of_a_keeper(tmp_path):
    text = BareFormatter().format(a_fault("Invented tank"))
    assert "Invented" not in text
    head, *frames = text.splitlines()
    assert head.endswith("ERROR uvicorn.error:7 KeyError ValueError")
    assert HEAD.fullmatch(head)
    assert len(frames) == 1
    assert FRAME.fullmatch(frames[0])
    assert frames[0].endswith(" a_fault")
    (tmp_path / "faults.log").write_text(text + "\nInvented tank\n")
    assert kept_faults(tmp_path) == [head, *frames]


def test_the_report_is_shown_before_it_is_saved(keeper):
    (keeper.desk.folder / "faults.log").write_text(BareFormatter().format(a_fault("Invented tank")))
    page = keeper.get("/data/fault-report")
    answer = keeper.client.get("/data/fault-report.txt")
    assert "attachment" in answer.headers["content-disposition"]
    for line in answer.text.splitlines():
        assert " ".join(line.split()) in page.words
    assert answer.text.splitlines() == report_lines(fault_report(keeper.desk, load(), "0.1.0"))
    for private in ("T7", "rainbowfish", "Invented", str(keeper.desk.folder)):
        assert private not in answer.text


# What the page says when there is nothing, and when nothing may be written


def test_an_empty_room_says_so_and_takes_an_export_in(stranger):
    page = stranger.get("/data")
    assert "Nothing is written down yet" in page.words
    assert "/data/export.zip" not in page.links
    assert any(f.get("type") == "file" for f in page.fields)


def test_a_newer_folder_is_shown_and_offers_nothing_to_write(tmp_path, monkeypatch):
    keeper = Visitor(tmp_path / "room", ROOM)
    copy_today(keeper.client.app)
    keeper.desk.close()
    monkeypatch.setattr(schema, "NEWEST", "0000")
    older = Visitor(tmp_path / "room")
    says = "was written by a newer Tankward, so here it can only be read"
    for url in ("/", "/more", "/tanks/t7", "/tanks/t7/log/note", "/data", "/data/copies/day-2026-05-12"):
        page = older.get(url)
        assert page.code == 200
        assert says in page.words
        assert 'class="only-read' in page.html
    data_page = older.get("/data")
    assert data_page.words.count(says) == 1
    assert "Take it in" not in data_page.words
    assert "Put this copy back" not in older.get("/data/copies/day-2026-05-12").words
    before = older.entries
    for url in ("/tanks/t7/log/note", "/data/backup"):
        written = older.post(url, older.get("/tanks/t7/log/note"), text="x")
        assert written.code in (200, 503)
    assert older.entries == before
    refused = older.post("/tanks/t7/log/note", older.get("/tanks/t7/log/note"), text="x")
    assert says in refused.words
    assert zipfile.ZipFile(io.BytesIO(older.client.get("/data/export.zip").content)).testzip() is None
