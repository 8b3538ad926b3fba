"""The plan in pages: wishes, the search told truly, courses beside each other; one changed by hand."""

import re
import threading
from urllib.parse import parse_qsl, urlsplit

import pytest

from tankward.desk import planning
from tankward.judge.choices import NITRITE_CARE
from tankward.model.run import warm
from tankward.room.entries.acts import CourseBegun
from tankward.treat.course.shape import shape_of
from tankward.web.pages import course

from .planned_room import ASKED, HAND, PLAN, ROOM, SALT, settled
from .visitor import FEW, Visitor


@pytest.fixture(scope="module", autouse=True)
def compiled():
    """What a program that stays open has after its first minute."""
    warm(wait=True)


@pytest.fixture
def keeper(tmp_path):
    return Visitor(tmp_path / "room", ROOM)


@pytest.fixture(scope="module")
def planner(tmp_path_factory):
    """One search for all who only look at it."""
    return Visitor(tmp_path_factory.mktemp("plan") / "room", ROOM)


@pytest.fixture
def found(planner):
    return settled(lambda: planner.get(PLAN, **ASKED))


def wanted_in(page, way):
    """What the first link of that way asks for."""
    url = next(link for link in page.links if f"/{way}?" in link)
    return dict(parse_qsl(urlsplit(url).query))


def test_without_a_cause_the_way_goes_to_what_it_may_be(keeper):
    assert keeper.get("/tanks/t8/plan").to == "/tanks/t8/causes"


def test_the_wishes_stand_there_with_what_is_known(keeper):
    page = keeper.get(PLAN, cause="white_spot")
    assert page.heading() == "What should a course against white spot in T8 keep to?"
    hours = next(f for f in page.fields if f.get("name") == "hours")
    assert hours["value"] == "18:00-22:30"  # the kit's own
    boxes = {(f["name"], f["value"]) for f in page.fields if f.get("type") == "checkbox"}
    assert {("on_shelf", "yes"), ("no_medicine", "yes")} < boxes
    assert "danios" in page.words and len([b for b in boxes if b[0] == "spare"]) == 1
    assert "data-waits" not in page.html  # nothing is searched before it is asked for


def test_nobody_waits_and_the_progress_is_true(keeper, monkeypatch):
    gate, begun = threading.Event(), threading.Event()

    def searching(*_, budget, told, first):
        told("screened", 120, budget.screened)
        begun.set()
        gate.wait(60)
        raise ValueError("let go")

    monkeypatch.setattr(planning, "plan_for", searching)
    first = keeper.get(PLAN, **ASKED)
    assert first.heading() == "Looking for the best courses against white spot in T8."
    assert begun.wait(60)
    page = keeper.get(PLAN, **ASKED)
    bars = re.findall(r'<progress max="(\d+)" value="(\d+)"', page.html)
    assert bars == [(str(FEW.screened), "120"), (str(FEW.simulated), "0"), (str(FEW.refined), "0")]
    assert "data-waits" in page.html
    gate.set()
    assert "let go" in settled(lambda: keeper.get(PLAN, **ASKED)).words.lower()


def test_every_course_says_what_it_is_worth_and_what_it_gives_up(found):
    assert "courses against white spot in T8, each the best at something" in found.heading() or (
        "the best in everything" in found.heading()
    )
    letters = re.findall(r'id="plan-([A-G])"', found.html)
    assert letters == sorted(letters) and letters
    for part in ("such tanks go past a safe limit", "of work in all", "Step by step"):
        assert found.words.count(part) == len(letters)
    if len(letters) > 1:
        assert found.words.count("What it gives up") >= len(letters) - 1
    assert "Left alone it would be gone" in found.words and "ways of giving what is open here" in found.words


def test_all_are_drawn_over_the_same_days_on_the_same_scale(found):
    axes = {}
    for letter, body in re.findall(
        r'id="drawn-([A-G])"(.*?)<ul class="rows measures">', found.html, re.DOTALL
    ):
        (drawing,) = re.findall(r'<div class="view w450">(.*?)</svg>', body, re.DOTALL)
        ticks = {}
        for strip in re.findall(r'<g class="strip.*?</g>', drawing, re.DOTALL):
            name = re.search(r'class="halo name"[^>]*>([^<]*)', strip)[1]
            ticks[name] = re.findall(r'tick-label"[^>]*>([^<]*)', strip)
        axes[letter] = re.findall(r'class="day-name[^>]*>([^<]*)', drawing), ticks
    days = [d for d, _ in axes.values()]
    assert days and all(d == days[0] for d in days)
    for name in {n for _, strips in axes.values() for n in strips}:
        scales = [strips[name] for _, strips in axes.values() if name in strips]
        assert all(s == scales[0] for s in scales), name


def test_one_touch_begins_it(tmp_path):
    keeper = Visitor(tmp_path / "room", ROOM)
    page = settled(lambda: keeper.get(PLAN, **ASKED))
    wanted = wanted_in(page, "course")
    answer = keeper.post("/tanks/t8/course", page, **wanted)
    assert answer.to == "/tanks/t8#planned"
    (begun,) = [e for e in keeper.entries if isinstance(e, CourseBegun)]
    assert begun.steps
    again = keeper.get(PLAN, cause="white_spot")
    assert "One medicine at a time" in again.words


def test_more_risk_than_is_safe_is_refused(keeper):
    page = keeper.get(PLAN, **ASKED, nh3="20%")
    assert page.code == 409 and "5 is the most" in page.words
    assert any(f.get("name") == "hours" for f in page.fields)  # and the wishes stay


def test_hours_that_cannot_be_read_keep_the_form(keeper):
    page = keeper.get(PLAN, **{**ASKED, "hours": "whenever"})
    assert page.code == 422
    hours = next(f for f in page.fields if f.get("name") == "hours")
    assert hours["value"] == "whenever" and "aria-invalid" in hours


def test_away_is_added_to_the_hours(planner):
    page = planner.get(PLAN, **ASKED, away="Thu-Sun")
    assert "away" in page.words.lower() and "Thu" in page.words


def test_without_litres_it_says_so(keeper):
    page = keeper.get("/tanks/bare/plan", cause="white_spot")
    assert "without its litres nothing can be planned" in page.words
    assert "/tanks/bare/log/volume" in page.links


def test_where_there_is_none_every_reason_has_its_way(keeper):
    page = settled(
        lambda: keeper.get(PLAN, **{**ASKED, "hours": "3:00-3:15"}, no_medicine="yes", place="tank")
    )
    if page.heading().startswith("No course"):
        assert "Would change:" in page.words and "#wishes" in page.links
    else:
        assert "2:" in page.words or "3:" in page.words


def test_options_and_causes_lead_to_the_plan(keeper):
    assert any(
        "/tanks/t8/plan?" in link for link in keeper.get("/tanks/t8/options", cause="white_spot").links
    )
    assert any("/tanks/t8/plan?" in link for link in keeper.get("/tanks/t8/causes").links)
    assert "/tanks/t8/plan" in keeper.get("/tanks/t8").links


# By hand


def by_hand(keeper, **more):
    """A published course as rows."""
    first = keeper.get(HAND, **{**SALT, **more})
    assert first.code == 303, first.words
    return first.to


def rows(page):
    return {
        f["name"]: f.get("value", "") for f in page.fields if re.match(r"(at|much)-\d", f.get("name") or "")
    }


def fields(page):
    """All that the form would send."""
    return {
        f["name"]: f.get("value", "")
        for f in page.fields
        if f.get("name") and f["tag"] == "input" and f.get("type") != "checkbox" and f["name"] != "form-token"
    }


def test_a_published_course_becomes_rows(keeper):
    page = settled(lambda: keeper.get(by_hand(keeper)))
    shape = shape_of(page.hidden("shape")[0])
    given = rows(page)
    assert shape.doses and len([n for n in given if n.startswith("at-")]) == (
        len(shape.doses) + len(shape.changes) + len(shape.siphons)
    )
    assert "21.7 g" in given.values() and "A whole dose is 43.4 g" in page.words
    assert "of work in all" in page.words


def test_nothing_changed_changes_nothing(keeper):
    url = by_hand(keeper)
    page = keeper.get(url)
    again = keeper.get(HAND, **fields(page))
    assert dict(parse_qsl(urlsplit(again.to).query)) == dict(parse_qsl(urlsplit(url).query))


def test_a_row_is_changed_added_and_left_out(keeper):
    page = keeper.get(by_hand(keeper))
    given = rows(page)
    dose = next(n for n, v in given.items() if v == "21.7 g")
    to = keeper.get(HAND, **{**fields(page), dose: "30 %"}).to
    shape = shape_of(dict(parse_qsl(urlsplit(to).query))["shape"])
    assert 0.3 in [d.factor for d in shape.doses]
    half = keeper.get(to)
    assert "13 g" in half.words  # of 43.4
    more = shape_of(
        dict(parse_qsl(urlsplit(keeper.get(HAND, **fields(half), add="change").to).query))["shape"]
    )
    assert len(more.changes) == len(shape.changes) + 1
    first = shape_of(
        dict(parse_qsl(urlsplit(keeper.get(HAND, **fields(half), remove="0").to).query))["shape"]
    )
    gone = len(first.siphons) + len(first.changes) + len(first.doses)
    assert gone == len(shape.siphons) + len(shape.changes) + len(shape.doses) - 1


ALIKE = "dose 0h 0.5, 24h 0.5; {}end 336h"
APART = [
    "",
    "change 96h 30%; ",
    "change 96h 40%; ",
    "change 144h 30%; ",
    "siphon 96h; ",
    "siphon 120h; ",
    "feed 50%; ",
]


def test_two_courses_never_show_each_others_chances(keeper, monkeypatch):
    """They differ in a change, a siphoning or the food alone; the doses are the same."""
    told = {}

    def of(course, *_):
        told[repr([(s.at, s.act) for s in course.steps])] = number = len(told)
        raise RuntimeError(f"asked as number {number}.")

    monkeypatch.setattr(course, "chances_of", of)
    urls = [{**SALT, "shape": ALIKE.format(part), "start": "2026-05-12T21:30:00+00:00"} for part in APART]
    for _ in range(2):  # the second time from what is kept
        for number, query in enumerate(urls):
            page = settled(lambda query=query: keeper.get("/tanks/t8/course", **query))
            assert f"asked as number {number}." in page.words
    assert len(told) == len(APART)


def test_what_cannot_be_read_stays_with_its_sentence(keeper):
    page = keeper.get(by_hand(keeper))
    wrong = keeper.get(HAND, **{**fields(page), "much-0": "lots", "much-1": "lots", "much-2": "lots"})
    assert wrong.code == 422
    bad = [f for f in wrong.fields if f.get("value") == "lots"]
    assert bad and all("aria-invalid" in f for f in bad)


def test_too_many_rounds_are_refused_in_place(keeper):
    page = keeper.get(by_hand(keeper))
    shape = "dose 0h 1, 72h 1, 144h 1, 216h 1; end 288h"
    wanted = {k: v for k, v in fields(page).items() if not re.match(r"(at|much)-|rows|feed|ends", k)}
    told = keeper.get(HAND, **{**wanted, "shape": shape})
    assert told.code == 200 and "given 4 times" in told.words
    assert "Begin this course" not in told.words
    refused = keeper.post(
        "/tanks/t8/course", keeper.get("/tanks/t8/course", **SALT), **{**wanted, "shape": shape}
    )
    assert refused.code == 409 and not [e for e in keeper.entries if isinstance(e, CourseBegun)]


@pytest.fixture
def crowded(tmp_path):
    """The same with so many fish that double food lets the nitrite rise."""
    return Visitor(tmp_path / "crowded", ROOM.replace("number=18 length=2.2cm", "number=90 length=2.6cm"))


def test_a_danger_is_warned_of_ticked_and_stands_with_the_course(crowded):
    keeper = crowded
    page = keeper.get(by_hand(keeper))
    to = keeper.get(HAND, **{**fields(page), "feed": "200 %"}).to
    page = settled(lambda: keeper.get(to))
    assert f"Nitrite passes {NITRITE_CARE.value:g} mg/L as N in" in page.words
    keys = [f["value"] for f in page.fields if f.get("type") == "checkbox" and f.get("name") == "danger"]
    assert "nitrite-nitrite_n" in keys
    wanted = dict(parse_qsl(urlsplit(to).query))
    no = keeper.post("/tanks/t8/course", page, **wanted)
    assert no.code == 409 and "tick each danger" in no.words
    assert not [e for e in keeper.entries if isinstance(e, CourseBegun)]
    yes = keeper.post("/tanks/t8/course", page, **wanted, danger=keys)
    assert yes.to == "/tanks/t8#planned"
    (begun,) = [e for e in keeper.entries if isinstance(e, CourseBegun)]
    said = [line for line in begun.told.splitlines() if line.startswith("Danger: ")]
    assert len(said) == len(keys) and any("Nitrite passes" in line for line in said)
    assert begun.told.startswith("Danger: ")
    about = {"/tanks/t8": {}, "/tanks/t8/calendar": {}, "/tanks/t8/recipe": {}, "/tanks/t8/tub": {}}
    for where, query in about.items():
        words = " ".join(keeper.get(where, **query).words.split())
        assert all(line in words for line in said), where
    assert f"In T8 a course runs that was changed by hand: {begun.name}." in words
