"""What bad input gets in the browser: the same form, everything typed kept, one sentence, nothing written."""

import html
import re

import pytest

from tests.cli.asking import digest

LONG = "a" * 30_000
MARKUP = "T9 {{ 7*7 }} & #strong[x] 'q' \"r\" *b*"

FORMS = {  # name: (page, what was typed, the field at fault, what its sentence accepts)
    "a 0 L tank": ("/tanks/new", {"name": "T9", "volume": "0 L"}, "volume", "more than 0 L"),
    "a tank of a length in litres": (
        "/tanks/new", {"name": "T9", "length": "60 L", "width": "30 cm"}, "length", "60 cm",
    ),
    "300 C": ("/tanks/new", {"name": "T9", "volume": "54 L", "temp": "300 C"}, "temp", "between 0 and 45"),
    "an unknown unit": ("/tanks/new", {"name": "T9", "volume": "54 parsecs"}, "volume", "54 L"),
    "two tanks of one name": ("/tanks/new", {"name": "T7", "volume": "54 L"}, "name", "Write another"),
    "a page in a name": ("/tanks/new", {"name": "<b>T9</b>", "volume": "54 L"}, "name", "&lt; or &gt;"),
    "no name": ("/tanks/new", {"name": "", "volume": "54 L"}, "name", "is missing"),
    "pH 15": ("/tanks/T7/log/reading", {"ph": "15", "temp": "25 C"}, "ph", "between 0 and 14"),
    "no unit": ("/tanks/T7/log/reading", {"ammonia": "0.5", "ph": "7.4"}, "ammonia", "has no unit"),
    "a comma in thousands": (
        "/tanks/T7/log/reading", {"nitrate": "1,500 mg/L", "ph": "7.4"}, "nitrate", "without the comma",
    ),
    "an entry in the future": (
        "/tanks/T7/log/note", {"text": "later", "when": "2026-05-20 10:00"}, "when", "has happened",
    ),
    "a 30,000-character note": ("/tanks/T7/log/note", {"text": LONG}, "text", "at most 4,000"),
    "more water than there is": (
        "/tanks/T7/log/change", {"share": "130%", "temp": "25 C"}, "share", "between 0 and 100 %",
    ),
    "fewer than none": (
        "/tanks/T7/log/counted", {"stock": "t7-dwarf-rainbowfish", "number": "-4"}, "number", "between 0 and",
    ),
    "a species not known": (
        "/tanks/T7/stock", {"kind": "3 dragons", "name": "odd"}, "kind", "kind=unknown",
    ),
    "no length at all": (
        "/tanks/T7/stock", {"kind": "guppy", "number": "3", "name": "new", "length": "0 cm"},
        "length", "more than 0 cm",
    ),
    "a sachet with no strength": (
        "/shelf/new", {"name": "odd", "unit": "sachet", "active-1": "praziquantel", "amount-1": ""},
        "actives", "How much of it is in one?",
    ),
    "a substance not known": (
        "/shelf/new", {"name": "odd", "unit": "sachet", "active-1": "phlogiston", "amount-1": "5 mg"},
        "phlogiston", "Not in our facts",
    ),
}  # fmt: skip


def holds(page, name, value) -> bool:
    """Whether a field of the page still has what was typed."""
    for field in page.fields:
        if field.get("name") != name:
            continue
        if field["tag"] == "input":
            return field.get("value") == value
        if field["tag"] == "textarea":
            inside = re.search(rf'<textarea[^>]*name="{name}"[^>]*>(.*?)</textarea>', page.html, re.DOTALL)
            return html.unescape(inside[1]) == value
        return f'<option value="{html.escape(value)}" selected' in page.html
    return False


@pytest.mark.parametrize("name", FORMS)
def test_the_form_comes_back_with_all_that_was_typed(keeper, name):
    url, typed, _, accepted = FORMS[name]
    form = keeper.get(url)
    before = digest(keeper.desk.folder)
    page = keeper.post(url, form, **typed)
    assert page.code == 422
    assert accepted in page.html
    assert [k for k, v in typed.items() if not holds(page, k, v)] == []
    assert digest(keeper.desk.folder) == before


@pytest.mark.parametrize("name", [n for n, row in FORMS.items() if row[2] not in ("actives", "phlogiston")])
def test_the_sentence_stands_at_the_field_and_ears_are_told(keeper, name):
    url, typed, at_fault, _ = FORMS[name]
    page = keeper.post(url, keeper.get(url), **typed)
    (field,) = [f for f in page.fields if f.get("name") == at_fault]
    assert field.get("aria-invalid") == "true"
    named = field["aria-describedby"].split()
    told = " ".join(re.search(rf'id="{i}"[^>]*>(.*?)</div>', page.html, re.DOTALL)[1] for i in named)
    assert at_fault in told


def test_several_faults_are_told_at_once(keeper):
    url = "/tanks/T7/log/reading"
    page = keeper.post(url, keeper.get(url), ph="15", temp="300 C", ammonia="0.5")
    wrong = [f["name"] for f in page.fields if f.get("aria-invalid") == "true"]
    assert sorted(wrong) == ["ammonia", "ph", "temp"]


def test_what_is_mended_is_written_once(keeper):
    url = "/tanks/T7/log/reading"
    before = len(keeper.entries)
    page = keeper.post(url, keeper.get(url), ph="15")
    assert keeper.post(url, page, ph="7.5").code == 303
    assert len(keeper.entries) == before + 1


def test_a_name_with_markup_is_shown_as_typed(keeper):
    assert keeper.post("/tanks/new", keeper.get("/tanks/new"), name=MARKUP, volume="54 L").code == 303
    for url in ("/", keeper_url(keeper)):
        page = keeper.get(url)
        assert MARKUP in page.words
        assert MARKUP not in page.html  # only ever escaped


def keeper_url(keeper) -> str:
    return f"/tanks/{next(t.id for t in keeper.desk.room().tanks.values() if t.name == MARKUP)}"


@pytest.mark.parametrize(
    ("url", "typed", "accepted"),
    [
        ("/work-it-out/redose", {"level": "2", "volume": "54 L", "change": "30%"}, "2 mg/L"),
        ("/work-it-out/ammonia", {"reading": "0.5 mg/L", "as": "N", "ph": "15", "temp": "26 C"}, "0 and 14"),
    ],
)
def test_a_calculation_keeps_what_was_typed(keeper, url, typed, accepted):
    page = keeper.get(url, **typed)
    assert page.code == 422
    assert accepted in page.words
    assert [k for k, v in typed.items() if not holds(page, k, v)] == []


@pytest.mark.parametrize(
    ("query", "because"),
    [
        ({"substance": "copper", "route": "water_long"}, "copper kills"),
        ({"substance": "formalin", "route": "water_bath"}, "formalin"),
        ({"substance": "praziquantel", "route": "water_long", "level": "100"}, "10 times the highest"),
        ({"substance": "praziquantel", "route": "water_long", "level": "1000"}, "100 times the highest"),
    ],
)
def test_what_would_harm_is_refused_on_the_page_and_cannot_be_begun(keeper, query, because):
    shown = keeper.get("/tanks/T7/course", **query)
    assert shown.code == 409
    assert because in shown.words.lower()
    before = digest(keeper.desk.folder)
    begun = keeper.post("/tanks/T7/course", keeper.get("/tanks/new"), **query)
    assert begun.code == 409
    assert digest(keeper.desk.folder) == before


@pytest.mark.parametrize(
    ("query", "accepted"),
    [
        ({"substance": "phlogiston", "route": "water_long"}, "phlogiston"),
        ({"substance": "praziquantel", "route": "by air"}, "no way of"),
        ({"substance": "praziquantel", "route": "water_long", "start": "2026-01-01 10:00"}, "in the past"),
    ],
)
def test_a_course_that_cannot_be_read_is_one_sentence(keeper, query, accepted):
    page = keeper.get("/tanks/T7/course", **query)
    assert page.code == 422
    assert accepted in page.words
