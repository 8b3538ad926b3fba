"""The report for a veterinarian: filled from the logbook, on the page and on paper. Safety rule 33."""

from datetime import timedelta

import pytest

from tankward.cli.main import run
from tankward.desk.case import SEASON, case_of
from tankward.desk.demo.generate import demo_logbook
from tankward.desk.photos import photo_entries
from tankward.knowledge.loader import load
from tankward.room.entries.looks import Look
from tankward.room.replay import replay
from tankward.show.words.case import MOST_ROWS, deaths, parts
from tankward.store.photos import Picture
from tankward.store.picture import kept_form
from tests.helpers.pictures import photo
from tests.helpers.rooms import entries_from

from .visitor import NOW, Visitor

FACTS = load()
ROOM = """
1 Jan 2026 08:00  tank  T7  volume="35 L" temp=25C filter=sponge tap=chloramine
1 Jan 2026 08:01  stock T7  kind=neon_rainbow name="dwarf rainbowfish" number=12 length=4cm
1 Jan 2026 08:02  tank  T8  volume="20 L"
3 May 2026 08:03  stock T7  kind=guppy name="guppies from a swap" number=4 length=2cm
4 May 2026 20:00  look  T7  well=yes
5 May 2026 20:00  look  T7  well=yes
6 May 2026 20:00  look  T7  counts="white_spots 3" looked-at=12 not-seen=gold_dust eating=less onset=days
7 May 2026 20:00  dose  T7  praziquantel="70 mg" measured="7 mL of 100 mg in 10 mL"
8 May 2026 20:00  change T7  share=30%
9 May 2026 20:00  death T7  stock="dwarf rainbowfish" number=2 taken-out=yes
10 May 2026 20:00  reading T7  ammonia="0.5 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=25C
"""


@pytest.fixture
def keeper(tmp_path):
    return Visitor(tmp_path / "room", ROOM)


def told(room, tank="t7"):
    case = case_of(room, tank, NOW, FACTS)
    return case, {p.heading: p for p in parts(case, room, FACTS, NOW, "UTC")}


def words(part):
    return " ".join(" ".join(row) for row in (*part.rows, *part.table)) + part.note


def test_rule_33_the_report_is_filled_from_the_logbook(keeper):
    case, found = told(keeper.desk.room())
    assert "white spots like salt (3 of 12)" in words(found["Signs"]).lower()
    assert "looked for and not there: gold dust" in words(found["Signs"])
    assert "Nothing was seen, in 2 looks" in words(found["Signs"])
    assert "70 mg of praziquantel (2 mg/L)" in words(found["What was given"])
    assert "7 mL of 100 mg in 10 mL" in words(found["What was given"])
    assert "Moved in; 4 guppies from a swap" in words(found["What changed before"])
    assert "12 dwarf" not in words(found["What changed before"])  # they were there with the tank, long before
    assert "Water changed once in four weeks, 30 %" in words(found["What changed before"])
    assert found["Water"].heads[1:4] == ("Ammonia", "Nitrite", "pH")
    assert found["Water"].table[0][1:4] == ("0.5", "0", "7.4")
    assert "2 found dead" in words(found["Dead"])
    assert deaths(case.died) == 2


def test_rule_33_what_was_never_written_down_is_said_to_be_missing(keeper):
    _, found = told(keeper.desk.room(), "t8")
    for heading in ("Signs", "Dead", "What was given", "Water", "What changed before"):
        assert words(found[heading]) == "Nothing was written down."
    assert found["What it may be"].note.startswith("Nothing was seen")


def test_rule_33_the_page_says_what_to_bring_and_what_to_do_until_then(keeper):
    page = keeper.get("/tanks/T7/case")
    assert page.code == 200
    for word in ("Bring", "Until then", "See a veterinarian", "half a litre of tank water"):
        assert word in page.words
    assert "/print/case.pdf?tank=t7" in [link.lower() for link in page.links]


def test_the_keepers_own_question_stands_first_and_goes_on_the_sheet(keeper):
    page = keeper.get("/tanks/T7/case?asked=May+the+rainbowfish+breed%3F")
    assert page.words.index("May the rainbowfish breed?") < page.words.index("What is it")
    pdf = next(link for link in page.links if "case.pdf" in link)
    assert "asked=May" in pdf
    assert keeper.client.get(pdf).content.startswith(b"%PDF")


def test_it_is_linked_where_a_veterinarian_is_named(keeper):
    for path in ("/tanks/T7/causes", "/tanks/T7/options?cause=white_spot", "/tanks/T7"):
        assert "/tanks/t7/case" in [link.lower() for link in keeper.get(path).links]


def test_a_long_log_stays_on_two_sheets():
    room = replay(demo_logbook(NOW, FACTS))
    for tank in room.tanks:
        _, found = told(room, tank)
        assert all(len(p.rows) <= MOST_ROWS + 1 for p in found.values())


def test_it_looks_back_a_season_and_never_ahead(keeper):
    room = replay(entries_from(ROOM))
    early = case_of(room, "t7", NOW - timedelta(days=5), FACTS)
    assert not early.died
    late = case_of(room, "t7", NOW + SEASON + timedelta(days=10), FACTS)
    assert not late.given


def test_the_command_prints_it(tmp_path, keeper, capsys):
    keeper.desk.close()
    out = tmp_path / "case.pdf"
    given = ["print", "case", "T7", "--room", str(tmp_path / "room"), "--out", str(out)]
    assert run([*given, "asked=Is it catching?", "--now", "2026-05-12T21:02+00:00"]) == 0
    assert out.read_bytes().startswith(b"%PDF")
    assert "case for a veterinarian: " in capsys.readouterr().out
    assert run(["print", "case", "--room", str(tmp_path / "room")]) == 2


def test_a_photo_of_the_last_months_is_shown_and_listed(keeper):
    look = next(e for e in keeper.desk.entries() if isinstance(e, Look) and e.counts)
    shown = Picture.of(kept_form(photo(), "white.jpg"))
    kept = photo_entries(look, [shown], "the white one", look.at, "UTC")
    keeper.desk.append(*kept, pictures=[shown])
    page = keeper.get("/tanks/T7/case")
    assert "Photo: the white one." in page.words
    assert f"/photos/{shown.digest}.jpg" in page.html
