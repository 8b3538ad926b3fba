"""Rule 30: what formalin asks of the people near is asked where it is ruled out; the answers are stated."""

import pytest

from tankward.knowledge.loader import load
from tankward.press.course import record
from tankward.press.sheet import Asked
from tankward.room.entries.acts import CourseBegun
from tests.web.visitor import NOW, Visitor

ROOM = """
12 May 2026 08:00  tank  T5  volume="40 L" temp=24C filter=sponge
12 May 2026 08:01  stock T5  kind=goldfish number=2 length=6cm
12 May 2026 20:00  reading T5  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=22C oxygen="8 mg/L"
"""
GOOD = {"expert": "yes", "sensitised": "no", "pregnant_or_children": "no", "window": "yes", "goggles": "yes"}


@pytest.fixture
def keeper(tmp_path):
    return Visitor(tmp_path / "room", ROOM)


def test_the_questions_stand_beside_the_remedies(keeper):
    page = keeper.get("/tanks/T5/options", cause="costia_trichodina")
    assert "Before formalin" in page.words
    for name in GOOD:
        assert [f["value"] for f in page.radios(name)] == ["yes", "no", "dont-know"]
        assert not [f for f in page.radios(name) if "checked" in f]


def test_the_answers_open_it_and_go_on_to_the_course(keeper):
    page = keeper.get("/tanks/T5/options", cause="costia_trichodina", **GOOD)
    (way, *_) = [x for x in page.links if "substance=formalin&" in x]
    assert all(f"{name}={answer}" in way for name, answer in GOOD.items())
    course = keeper.get(way)
    assert "Formalin: as you stated, you have handled it before, nobody here reacts" in course.words


def test_one_wrong_answer_or_dont_know_keeps_it_closed(keeper):
    for name, answer in (("window", "no"), ("sensitised", "dont-know")):
        page = keeper.get("/tanks/T5/options", cause="costia_trichodina", **(GOOD | {name: answer}))
        assert not [x for x in page.links if "substance=formalin&" in x]
        assert "Before formalin" in page.words


def test_an_answer_that_is_none_says_so(keeper):
    page = keeper.get("/tanks/T5/options", cause="costia_trichodina", window="perhaps")
    assert page.code == 422
    assert "perhaps" in page.words


def test_without_a_room_they_are_asked_too(tmp_path):
    stranger = Visitor(tmp_path / "none")
    water = "ammonia 0 mg/L as N, nitrite 0 mg/L as N, pH 7.4, 22C, oxygen 8 mg/L"
    asked = {"cause": "costia_trichodina", "animals": "2 goldfish 6cm", "volume": "40 L", "water": water}
    page = stranger.get("/options", **asked)
    assert "Before formalin" in page.words


def test_the_begun_course_keeps_them_and_what_was_told(keeper):
    page = keeper.get("/tanks/T5/options", cause="costia_trichodina", **GOOD)
    course = keeper.get(next(x for x in page.links if "substance=formalin&" in x))
    hidden = {f["name"]: f["value"] for f in course.fields if f.get("type") == "hidden"}
    sent = keeper.post("/tanks/t5/course", course, **{k: v for k, v in hidden.items() if k != "form-token"})
    assert sent.code == 303
    begun = keeper.entries[-1]
    assert isinstance(begun, CourseBegun)
    assert "nobody here reacts to formaldehyde" in begun.statement
    assert begun.strong.startswith("How strong:")
    assert "Reaches it" in begun.told


def test_a_published_bath_is_not_held_against_what_stays_in_the_water(keeper):
    """100 uL/L for an hour is published for small ornamental fish; 15 to 25 uL/L is what stays in."""
    page = keeper.get("/tanks/T5/options", cause="costia_trichodina", **GOOD)
    bath = keeper.get(next(x for x in page.links if "regimen=bath_ornamental&" in x))
    assert bath.code == 200
    assert "highest published" not in bath.words
    assert "15 to 25" not in bath.words


def test_the_sheet_of_the_running_course_says_what_the_proposed_one_did(keeper):
    page = keeper.get("/tanks/T5/options", cause="costia_trichodina", **GOOD)
    course = keeper.get(next(x for x in page.links if "substance=formalin&" in x))
    hidden = {f["name"]: f["value"] for f in course.fields if f.get("type") == "hidden"}
    hidden.pop("form-token")
    proposed = record(printed(keeper, hidden))
    keeper.post("/tanks/t5/course", course, **hidden)
    runs = record(printed(keeper, {}))
    assert runs.cautions == proposed.cautions != ()
    assert runs.statement[:1] == proposed.statement[:1] != ()
    assert runs.about == proposed.about


def printed(keeper, typed):
    room = keeper.desk.room()
    return Asked(
        desk=keeper.desk, now=NOW, zone="UTC", facts=load(), demo=False, tank=room.tanks["t5"], typed=typed
    )  # fmt: skip
