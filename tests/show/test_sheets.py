"""The course sheet: what stands on it, on which paper, in which ink; read back from the PDF itself."""

import re
from datetime import datetime, timedelta, timezone

import msgspec
import pytest

from tankward.cli.main import run
from tankward.desk.courses import Wanted, begun, propose
from tankward.desk.desk import Desk
from tankward.desk.printing import course_to_print
from tankward.knowledge.loader import load
from tankward.show.sheets.course import course_sheet
from tankward.show.sheets.press import printed
from tankward.show.words.course import course_name, entry_steps
from tankward.show.words.step_parts import Context
from tests.show.pdf_pages import pages

NOW = datetime(2026, 5, 14, 18, 0, tzinfo=timezone(timedelta(hours=2)))
ZONE = "Europe/Berlin"
TYPED = 'Tank *1* #strong[x] $a$ _b_ "q" \\ @c'
PRAZIQUANTEL = Wanted(substance="praziquantel", route="water_long", cause="skin_flukes")


@pytest.fixture
def desk(tmp_path):
    """An invented tank, a packet that its keeper holds lawfully, and a fine scale."""
    lines = (
        ("tank", "add", f"name={TYPED}", "volume=46 L", "temp=25C", "filter=sponge"),
        ("stock", "add", TYPED, "kind=18 cherry barbs", "length=3.5cm"),
        ("stock", "add", TYPED, "kind=30 cherry shrimp"),
        ("kit", "set", "scale=0.01g", "syringes=1mL,5mL,20mL", "region=UK"),
        ("shelf", "add", "name=invented powder", "unit=g", "praziquantel=100mg"),
        (
            "shelf", "add", "name=invented sachet", "unit=sachet", "metronidazole=200mg", "praziquantel=90mg",
            "rule=1 sachet per 40 L", "repeat-after=48h", "held-lawfully=yes",
        ),
        ("log", "reading", TYPED, "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "ph=7.6", "temp=25C"),
    )  # fmt: skip
    for line in lines:
        assert run([*line, "--room", str(tmp_path), "--now", "2026-05-14T17:00+02:00"]) == 0
    with Desk.open(tmp_path) as found:
        yield found


def sheet(desk, wanted=PRAZIQUANTEL, now=NOW, invented=""):
    facts = load()
    (tank,) = desk.room().tanks
    given = course_to_print(desk, tank, wanted, now, ZONE, facts)
    return course_sheet(given, facts, now=now, zone=ZONE, program="1.2.3", invented=invented)


def text_of(record, paper="a4"):
    return " ".join(p.text for p in pages(printed(record, "course", paper, NOW).pdf))


@pytest.mark.parametrize(("paper", "size"), [("a4", (210, 297)), ("letter", (216, 279))])
def test_both_papers_are_counted_and_accessible(desk, paper, size):
    made = printed(sheet(desk), "course", paper, NOW)
    found = pages(made.pdf)
    assert len(found) == made.pages >= 2
    assert {(p.width_mm, p.height_mm) for p in found} == {size}
    assert b"pdfuaid:part" in made.pdf and b"/StructTreeRoot" in made.pdf and b"/Lang(en)" in made.pdf
    for n, page in enumerate(found, 1):
        assert f"Sheet {n} of {made.pages}" in page.text


def test_it_is_black_on_white_in_type_that_can_be_read(desk):
    for page in pages(printed(sheet(desk), "course", "a4", NOW).pdf):
        assert {ink.strip() for ink in page.inks} == {b"0"}
        assert min(page.sizes) >= 11


def test_every_step_has_a_box_of_6_mm_its_time_and_its_amount(desk):
    record = sheet(desk)
    steps = [s for day in record.days for s in day.steps]
    found = pages(printed(record, "course", "a4", NOW).pdf)
    assert sum(p.ticks for p in found) == len(steps) >= 10
    text = " ".join(p.text for p in found)
    for step in steps:
        assert step.time and step.head in text
    dose = next(s for s in steps if s.head.startswith("Give"))
    assert "0.92 g of invented powder" in dose.head  # 2 mg/L in 46 L is 92 mg; the powder holds 100 mg in 1 g


def test_days_stand_in_order_with_their_dates(desk):
    record = sheet(desk)
    assert record.days[0].heading == "Thu 14 May"
    assert record.period.startswith("Thu 14 May to ")


def test_what_a_sitter_must_know_is_on_it(desk):
    text = text_of(sheet(desk))
    for words in (
        "Water 46 L", "18 cherry barbs", "30 cherry shrimp", "Skin flukes", "Stop signs",
        "change half at once", "If you see this", "Air: turn it up", "nothing more goes in",
        "A dose went in twice", "A dead one", "Never two at once", "Never: peroxide",
        "See a veterinarian", "Bring", "Until then", "Ring first:", "Reaches it",
    ):  # fmt: skip
        assert words in text


def test_what_to_put_back_stands_beside_its_day(desk):
    record = sheet(desk)
    assert record.put_back[0].what in {day.heading for day in record.days[1:]}
    assert record.put_back[0].says.startswith("Put back ")
    assert "would do if all" in record.put_back[0].says and "if it were all gone" in record.put_back[0].says


BACK = re.compile(
    r"Put back (?P<given>[\w.]+ \w+).*?\. (?P<low>[\d.]+ \w+) would do if all .* lasted, "
    r"(?P<high>[\d.]+ \w+) would be needed if it were all gone; (?P<likely>[\d.]+ \w+) is likely"
)
IN_ONE = {"ug": 1e-3, "mg": 1.0, "g": 1000.0, "mL": 1.0, "L": 1000.0}


@pytest.mark.parametrize(
    ("unit", "strength", "scale"),
    [
        ("g", "praziquantel=1 g", "0.1g"),  # too little for the scale: a batch is stirred up
        ("g", "praziquantel=1 g", "0.001g"),
        ("g", "praziquantel=100 mg", "0.01g"),
        ("mL", "praziquantel=50 mg", "0.01g"),
        ("mL", "praziquantel=1 mg", "0.01g"),
        ("sachet", "praziquantel=90 mg", "0.01g"),
        ("sachet", "praziquantel=500 mg", "0.01g"),
    ],
)
def test_what_is_put_back_and_its_two_ends_are_told_in_one_measure(desk, tmp_path, unit, strength, scale):
    """Half a change takes half of 92 mg if all lasts; all of it is missing if it is gone."""
    for line in (("kit", "set", f"scale={scale}"), ("shelf", "add", "name=other", f"unit={unit}", strength)):
        assert run([*line, "--room", str(tmp_path), "--now", "2026-05-14T17:00+02:00"]) == 0
    record = sheet(desk, msgspec.structs.replace(PRAZIQUANTEL, supply="other"))
    told = BACK.match(record.put_back[0].says).groupdict()
    told["given"] = told["given"].replace("one ", "1 ")
    number = {k: float(v.split()[0]) * IN_ONE.get(v.split()[1], 1.0) for k, v in told.items()}
    assert number["low"] == pytest.approx(number["high"] / 2, rel=0.05)
    assert number["low"] <= number["likely"] <= number["high"]
    assert number["given"] == pytest.approx(number["likely"], rel=0.1)


def test_a_hazard_stands_beside_the_step_that_raises_it(desk):
    steps = [s for day in sheet(desk).days for s in day.steps]
    dose = next(s for s in steps if s.head.startswith("Give"))
    assert "Gloves" in dose.hazard
    assert [s for s in steps if s.hazard] == [dose]


def test_the_lawful_statement_with_its_date_and_the_regions_line(desk):
    wanted = Wanted(substance="metronidazole_praziquantel", route="water_long", supply="invented sachet")
    record = sheet(desk, wanted)
    assert "held lawfully" in record.statement[0]
    assert "14 May 2026" in record.statement[0] and "UK" in record.statement[0]
    line = next(w.statement for w in load().substances["metronidazole"].law if w.region == "UK")
    assert any(line.rstrip(".") in said for said in record.statement)
    assert record.statement[0] in text_of(record)
    assert sheet(desk).statement == ()


def test_a_course_that_runs_prints_what_is_left(desk):
    facts, room = load(), desk.room()
    (tank,) = room.tanks
    course = propose(room, tank, PRAZIQUANTEL, NOW, ZONE, facts)
    said = entry_steps(Context(course=course, facts=facts, kit=room.kit, shelf=room.shelf))
    desk.append(begun(room, course, said, course_name(course, facts), NOW, ZONE))
    proposed, runs = sheet(desk), sheet(desk, None)
    assert runs.title == proposed.title
    assert runs.days == proposed.days
    assert runs.put_back == proposed.put_back


def test_a_name_with_markup_prints_as_typed(desk):
    record = sheet(desk)
    assert record.title.startswith(TYPED)
    assert TYPED in text_of(record)


def test_the_foot_names_tank_moment_logbook_and_versions(desk):
    record = sheet(desk)
    text = text_of(record)
    state = desk.digest[:8]
    assert f"Printed Thu 14 May 2026, 18:00. Logbook: {len(desk.entries())} entries, state {state}." in text
    assert f"Tankward 1.2.3, facts {load().digest[:8]}." in text


def test_an_invented_room_is_marked_and_a_real_one_is_not(desk):
    marked = pages(printed(sheet(desk, invented="Invented room"), "course", "a4", NOW).pdf)
    assert all("Invented room" in page.text for page in marked)
    assert "Invented" not in text_of(sheet(desk))


def test_two_prints_of_one_state_are_the_same_bytes(desk):
    record = sheet(desk)
    assert printed(record, "course", "a4", NOW) == printed(record, "course", "a4", NOW)


def test_a_hundred_steps_are_laid_out(desk):
    record = sheet(desk)
    long = msgspec.structs.replace(record, days=record.days * 12)
    made = printed(long, "course", "letter", NOW)
    found = pages(made.pdf)
    assert sum(p.ticks for p in found) == sum(len(d.steps) for d in long.days) > 100
    assert len(found) == made.pages
