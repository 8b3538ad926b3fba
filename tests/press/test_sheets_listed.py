"""Every sheet of the list: both papers, tags, ink, type, foot; the cards' squares."""

from datetime import datetime, timedelta, timezone

import msgspec
import pytest
import segno

from tankward.cli.main import run
from tankward.desk.desk import Desk
from tankward.desk.find import find_tank
from tankward.knowledge.loader import load
from tankward.press.listed import BY_NAME, SHEETS
from tankward.press.sheet import Asked, pressed, usual_paper
from tankward.quantities.faults import BadInput
from tankward.room.things import Kit
from tankward.show.sheets.cards import square
from tests.show.pdf_pages import pages

NOW = datetime(2026, 5, 14, 18, 0, tzinfo=timezone(timedelta(hours=2)))
COURSE = {"substance": "praziquantel", "route": "water_long", "cause": "skin_flukes"}
TYPED = {
    "course": ("T1", COURSE),
    "sitter": ("T1", {"days": "15-24 May", **COURSE}),
    "tub": (
        "T1",
        {"animals": "3 cherry barb 3 cm", "volume": "10 L", "medicine": "praziquantel", "level": "2 mg/L"},
    ),
    "recipe": ("T1", {"substance": "praziquantel", "cause": "tapeworms", "food": "frozen"}),
    "case": ("T1", {"asked": "Is it catching?"}),
    "hygiene": ("", {"strength": "5 %", "volume": "5 L"}),
    "tank": ("", {"address": "http://192.168.1.20:8765"}),
}  # fmt: skip
SIZE = {"a4": (210, 297), "letter": (216, 279)}
OWN_SHEETS = [s for s in SHEETS if s.name in TYPED]


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    """Two invented tanks."""
    folder = tmp_path_factory.mktemp("room")
    lines = (
        ("tank", "add", "name=T1", "volume=46 L", "temp=25C", "filter=sponge"),
        ("tank", "add", "name=T2", "volume=20 L"),
        ("stock", "add", "T1", "kind=18 cherry barbs", "length=3.5cm"),
        ("stock", "add", "T1", "kind=30 cherry shrimp"),
        ("stock", "add", "T2", "kind=12 guppies", "length=2cm"),
        ("kit", "set", "scale=0.01g", "region=UK"),
        ("shelf", "add", "name=invented powder", "unit=g", "praziquantel=100mg"),
        ("log", "reading", "T1", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "ph=7.6", "temp=25C"),
    )
    for line in lines:
        assert run([*line, "--room", str(folder), "--now", "2026-05-14T17:00+02:00"]) == 0
    with Desk.open(folder) as found:
        yield found


def asked(desk, name, demo=False, **more):
    tank, typed = TYPED[name]
    found = find_tank(desk.room(), tank) if tank else None
    return Asked(
        desk=desk, facts=load(), now=NOW, zone="Europe/Berlin", demo=demo, tank=found, typed={**typed, **more}
    )


@pytest.mark.parametrize("paper", SIZE)
@pytest.mark.parametrize("sheet", OWN_SHEETS, ids=lambda s: s.name)
def test_every_sheet_on_both_papers(desk, sheet, paper):
    made = pressed(sheet, asked(desk, sheet.name), paper)
    found = pages(made.pdf)
    assert len(found) == made.pages >= 1
    assert {(p.width_mm, p.height_mm) for p in found} == {SIZE[paper]}
    assert b"pdfuaid:part" in made.pdf and b"/StructTreeRoot" in made.pdf and b"/Lang(en)" in made.pdf
    for n, page in enumerate(found, 1):
        assert f"Sheet {n} of {made.pages}" in page.text
        assert f"Printed Thu 14 May 2026, 18:00. Logbook: {len(desk.entries())} entries" in page.text
        assert f"state {desk.digest[:8]}" in page.text
        assert f"facts {load().digest[:8]}" in page.text
        assert "Invented room" not in page.text
        assert min(page.sizes) >= 11


@pytest.mark.parametrize("sheet", OWN_SHEETS, ids=lambda s: s.name)
def test_the_demo_is_marked_on_every_page(desk, sheet):
    assert all(
        "Invented room" in p.text for p in pages(pressed(sheet, asked(desk, sheet.name, True), "a4").pdf)
    )


def test_names_and_addresses_are_all_different():
    names = [n for s in SHEETS for n in (s.name, *s.also)]
    assert len(set(names)) == len(names)
    assert {s.name: s for s in SHEETS} == BY_NAME


def test_the_card_of_a_tub_says_what_the_pages_say(desk):
    text = " ".join(p.text for p in pages(pressed(BY_NAME["tub"], asked(desk, "tub"), "a4").pdf))
    for words in (
        "T1: hospital tub", "Water 10 L", "3 cherry barb 3 cm", "left-overs out", "Mark the water line",
        "sponge from a healthy tank, or none", "A cover",
        "After each change put back 10 mg if it lasts; 20 mg",
        "plugs before hands", "as last read in the tank", "recalled, not read", "usual practice",
    ):  # fmt: skip
        assert words in text


def test_the_hygiene_sheet_has_a_box_for_every_step(desk):
    found = pages(pressed(BY_NAME["hygiene"], asked(desk, "hygiene"), "a4").pdf)
    assert sum(p.ticks for p in found) == 7 + 4  # the order, and the dead


def test_cards_say_who_lives_there_and_never_copper(desk):
    text = " ".join(p.text for p in pages(pressed(BY_NAME["tank"], asked(desk, "tank"), "a4").pdf))
    for words in ("T1 46 L", "18 cherry barbs", "30 cherry shrimp", "NEVER COPPER: shrimp", "T2", "Own net"):
        assert words in text
    assert text.count("NEVER COPPER") == 1


def test_the_square_opens_the_tank_by_the_address_that_was_asked(desk):
    record = BY_NAME["tank"].record(asked(desk, "tank"))
    first = find_tank(desk.room(), "T1").id
    assert record.cards[0].url == f"http://192.168.1.20:8765/tanks/{first}"
    assert record.cards[0].qr == square(record.cards[0].url)


def test_a_square_is_drawn_module_by_module():
    url = "http://127.0.0.1:8765/tanks/T7"
    code = segno.make(url, error="q", micro=False)
    assert code.error == "Q"
    wide = code.symbol_size(border=4)[0]
    assert f'width="{wide}" height="{wide}"' in square(url)


@pytest.mark.parametrize(("region", "paper", "usual"), [
    ("US", "", "letter"), ("DE", "", "a4"), ("", "", "a4"), ("US", "a4", "a4"), ("UK", "letter", "letter"),
])  # fmt: skip
def test_the_paper_follows_the_region_until_it_is_said(region, paper, usual):
    assert usual_paper(Kit(region=region, paper=paper)) == usual


@pytest.mark.parametrize(
    ("name", "change", "field"),
    [
        ("course", {"tank": None}, "tank"),
        ("hygiene", {"typed": {"colour": "red"}}, "colour"),
        ("tank", {"typed": {"address": "ftp://x"}}, "address"),
    ],
)
def test_bad_input_names_the_field(desk, name, change, field):
    with pytest.raises(BadInput) as fault:
        pressed(BY_NAME[name], msgspec.structs.replace(asked(desk, name), **change), "a4")
    assert fault.value.field == field


def test_a_paper_that_is_none_is_one_sentence(desk):
    with pytest.raises(BadInput, match="a4, letter"):
        pressed(BY_NAME["hygiene"], asked(desk, "hygiene"), "a3")
