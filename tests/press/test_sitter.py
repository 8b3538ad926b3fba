"""The sitter's sheet: one page a tank, a box a day, what waits for the keeper, danger on every sheet."""

from datetime import datetime, timedelta, timezone

import icalendar
import msgspec
import pytest

from tankward.cli.main import run
from tankward.desk.courses import Wanted, begun, propose
from tankward.desk.desk import Desk
from tankward.desk.find import find_tank
from tankward.desk.printing import course_to_print
from tankward.desk.running import ticked
from tankward.knowledge.loader import load
from tankward.press.calendar import file_of, gathered
from tankward.press.listed import BY_NAME, SHEETS
from tankward.press.sheet import Asked, pressed
from tankward.press.sitter import record, sitting
from tankward.quantities.faults import BadInput, Reason
from tankward.room.acts import Dose
from tankward.show.sheets.course import course_sheet
from tankward.show.words.course import DANGER, course_name, danger_told, entry_steps, told_lines
from tankward.show.words.step_parts import Context
from tankward.treat.mend.shifted import shifted
from tests.show.pdf_pages import pages

NOW = datetime(2026, 5, 14, 17, 0, tzinfo=timezone(timedelta(hours=2)))
ZONE = "Europe/Berlin"
FACTS = load()
COURSE = {"substance": "praziquantel", "route": "water_long", "cause": "skin_flukes"}
ASKS = {
    "recipe": {"substance": "praziquantel", "cause": "tapeworms", "food": "frozen"},
    "tub": {"animals": "3 cherry barb 3 cm", "volume": "10 L"},
    **{s.name: {} for s in SHEETS if s.name not in ("recipe", "tub")},
}
EVERY = [s.name for s in SHEETS if s.about != "room"]  # a new sheet of a tank is held to it too
HARM = Reason(kind="danger", because="This change would let ammonia reach 0.2 mg/L", would_change="feed half")


@pytest.fixture
def desk(tmp_path):
    """Two invented tanks, the keeper away from the 16th to the 24th."""
    lines = (
        ("tank", "add", "name=T1", "size=60 x 30 x 36 cm", "fill=31cm", "temp=25C", "filter=sponge"),
        ("tank", "add", "name=T2", "volume=20 L"),
        ("stock", "add", "T1", "kind=18 cherry barbs", "length=3.5cm"),
        ("stock", "add", "T1", "kind=moss"),
        ("kit", "set", "scale=0.01g", "region=UK", "hours=18:00-22:30; away 16-24 May"),
        ("shelf", "add", "name=invented powder", "unit=g", "praziquantel=100mg"),
        ("log", "reading", "T1", "ammonia=0 mg/L as N", "nitrite=0 mg/L as N", "ph=7.6", "temp=25C"),
    )
    for line in lines:
        assert run([*line, "--room", str(tmp_path), "--now", "2026-05-14T16:00+02:00"]) == 0
    with Desk.open(tmp_path) as found:
        yield found


def asked(desk, tank="T1", **typed):
    return Asked(
        desk=desk, facts=FACTS, now=NOW, zone=ZONE, demo=False, tank=find_tank(desk.room(), tank), typed=typed
    )


def begin(desk, *extra):
    """The course as a keeper begins it, with cautions added."""
    room = desk.room()
    course = propose(room, "t1", Wanted(**COURSE), NOW, ZONE, FACTS)
    course = msgspec.structs.replace(course, cautions=(*course.cautions, *extra))
    said = entry_steps(Context(course=course, facts=FACTS, kit=room.kit, shelf=room.shelf))
    told = told_lines(course, FACTS)
    desk.append(begun(room, course, said, course_name(course, FACTS), NOW, ZONE, told=told))
    return course


def first_page(desk, name):
    """What stands on the first page of a sheet."""
    return pages(pressed(BY_NAME[name], asked(desk, **ASKS[name]), "a4").pdf)[0].text


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("days", ["", "15-28 May"])
def test_the_sitter_has_one_page_and_the_keeper_the_bags_on_another(desk, paper, days):
    begin(desk)
    given = asked(desk, **({"days": days} if days else {}))
    made = pressed(BY_NAME["sitter"], given, paper)
    found = pages(made.pdf)
    assert made.pages <= 2
    assert "If you see this" in found[0].text and "You forgot a day" in found[0].text
    boxes = sum(sum(row.boxes) for row in record(given).rows)
    assert found[0].ticks == boxes
    if made.pages == 2:
        assert "Before you go" in found[1].text and found[1].ticks == len(record(given).bags)


def test_the_days_are_those_of_the_next_absence(desk):
    sheet = record(asked(desk))
    assert sheet.period == "Sat 16 May to Sun 24 May"
    assert [d[1] for d in sheet.days] == [str(n) for n in range(16, 25)]
    assert all(row.boxes == (True,) * 9 for row in sheet.rows)
    assert [row.head for row in sheet.rows][-1] == "Count them: 18 cherry barbs"


@pytest.mark.parametrize(
    ("days", "told"),
    [("soon", "can be read"), ("1 May to 1 July", "62 days"), ("15 May, 20 May", "can be read")],
)
def test_days_that_can_not_be_used_are_one_sentence(desk, days, told):
    with pytest.raises(BadInput, match=told):
        record(asked(desk, days=days))


def test_a_later_dose_is_a_bag_with_how_late_it_may_be(desk):
    begin(desk)
    given = asked(desk, days="15-28 May")
    sheet = record(given)
    bags = [row for row in sheet.rows if row.head.startswith("This day's bag")]
    doses = [s for s in sitting(given).steps if s.kind in ("dose", "put-back") and not s.whys]
    assert sum(sum(row.boxes) for row in bags) == len({s.step.at.date() for s in doses})
    for row in bags:
        assert "Never two." in row.soft
    for step in doses:
        assert any(step.step.says.rstrip(".") in bag for bag in sheet.bags)


def test_the_first_dose_waits_for_the_keeper_and_no_bag_is_made_of_it(desk):
    sheet = record(asked(desk, days="14-27 May", **COURSE))
    assert sheet.wait_heading == "Not for the sitter: wait for us"
    assert any("first dose" in row.says for row in sheet.wait)
    assert not any("Give" in bag or "Put back" in bag for bag in sheet.bags)
    assert not any(row.head.startswith("This day's bag") for row in sheet.rows)


def test_what_was_done_is_not_asked_for_again(desk):
    begin(desk)
    given = asked(desk, days="14-27 May")
    before = {s.step.id for s in sitting(given).steps}
    (first, *_) = [s for s in sitting(given).steps if s.kind == "dose"]
    done = ticked(desk.room(), "t1", first.step.id, first.step.at, ZONE)
    desk.append(done)
    assert {s.step.id for s in sitting(given).steps} == before - {first.step.id}


def test_a_dose_given_late_moves_the_bag_of_the_next_one(desk):
    begin(desk)
    (first, second, *_) = [s for s in desk.room().courses["t1"].steps if isinstance(s.act, Dose)]
    late = first.at + timedelta(hours=20)
    desk.append(ticked(desk.room(), "t1", first.id, late, ZONE))
    at = {s.step.id: s.step.at for s in sitting(asked(desk, days="14-27 May")).steps}
    assert at == {s.id: s.at for s in shifted(desk.room(), "t1", FACTS).steps if s.id in at}
    assert at[second.id] >= second.at


def test_a_course_edited_into_danger_says_so_on_every_sheet(desk):
    begin(desk, HARM)
    running = desk.room().courses["t1"]
    (told,), name_of_it = danger_told(running), running.name
    assert told.startswith(f"{DANGER}This change would let ammonia reach 0.2 mg/L.")
    for name in EVERY:
        text = first_page(desk, name)
        assert "Danger: This change would let ammonia reach 0.2 mg/L." in text, name
    for name in ("recipe", "tub"):  # what is about the tank says which course it is
        assert f"In T1 a course runs that was changed by hand: {name_of_it}." in first_page(desk, name)
    assert pressed(BY_NAME["sitter"], asked(desk), "a4").pages <= 2


def test_a_course_that_holds_and_a_tank_beside_it_say_nothing_of_danger(desk):
    begin(desk)
    for name in EVERY:
        found = pressed(BY_NAME[name], asked(desk, **ASKS[name]), "a4")
        assert not any(DANGER in p.text or "by hand:" in p.text for p in pages(found.pdf)), name


def test_a_course_in_danger_is_not_said_of_another_tank(desk):
    begin(desk, HARM)
    found = pressed(BY_NAME["tub"], asked(desk, "T2", **ASKS["tub"]), "a4")
    assert not any(DANGER in p.text for p in pages(found.pdf))


def test_the_calendar_file_says_the_danger_with_every_moment(desk):
    course = begin(desk, HARM)
    given = asked(desk)
    told = icalendar.Calendar.from_ical(file_of(given, gathered(given))[1])
    timed = [str(e["DESCRIPTION"]) for e in told.walk("VEVENT") if isinstance(e["DTSTART"].dt, datetime)]
    assert len(timed) >= len({s.at for s in course.steps}) > 0
    assert all(text.startswith("Danger: This change would let ammonia reach 0.2 mg/L.") for text in timed)


def test_a_proposed_course_in_danger_says_so_too(desk):
    room = desk.room()
    given = course_to_print(desk, "t1", Wanted(**COURSE), NOW, ZONE, FACTS)
    course = msgspec.structs.replace(given.course, cautions=(*given.course.cautions, HARM))
    given = msgspec.structs.replace(given, course=course)
    sheet = course_sheet(given, FACTS, now=NOW, zone=ZONE, program="1")
    assert [line.startswith(DANGER) for line in sheet.danger] == [True]
    assert not any(line.startswith(DANGER) for line in sheet.cautions)
    assert room.courses == {}


def test_the_sheet_with_every_step_marks_what_is_not_a_sitters(desk):
    given = course_to_print(desk, "t1", Wanted(**COURSE), NOW, ZONE, FACTS)
    sheet = course_sheet(given, FACTS, now=NOW, zone=ZONE, program="1")
    steps = [s for day in sheet.days for s in day.steps]
    doses = [s for s in steps if s.head.startswith(("Give", "Put back"))]
    assert doses[0].wait.startswith("Not for a sitter: wait for us.")
    assert {s.wait for s in steps if s.head.startswith("Watch")} == {""}
    assert {s.wait for s in doses[1:]} == {""}


def test_a_tank_without_a_course_has_a_sheet_too(desk):
    sheet = record(asked(desk, "T2"))
    assert [row.head for row in sheet.rows] == [
        "Bubbles, and the heater is on", "Food: the bag with today's date", "Look at them for a minute",
    ]  # fmt: skip
    assert sheet.wait_heading == sheet.bags_heading == ""
