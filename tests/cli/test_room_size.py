"""What a large or a strange room gets: a right answer or one clear sentence, and its pages open."""

import json

import pytest

from tankward.desk.desk import Desk
from tests.cli.asking import ask
from tests.helpers.big_room import NOW, big_room
from tests.web.visitor import Visitor

ONE_DAY = ("days=1",)


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    folder = tmp_path_factory.mktemp("rooms") / "large"
    with Desk.open(folder, make=True) as desk:
        desk.append(*big_room(years=0.5, tanks=4))
    return folder


def said(room, *words):
    return ask(*words, "--room", str(room), "--now", NOW.isoformat())


def answer(room, *words):
    found = said(room, *words, "--json")
    assert found.code == 0, found.err
    return json.loads(found.out)


def test_thirty_groups_in_one_tank_are_forecast(room):
    names = {row["name"] for row in answer(room, "forecast", "T1", *ONE_DAY)["series"]}
    assert {"ammonia_n", "nh3_n", "nitrite_n", "oxygen", "temp_c"} <= names


def test_a_course_of_sixty_steps_is_forecast_to_its_end(room):
    found = answer(room, "forecast", "T2", "days=16")
    (drug,) = found["drugs"]
    assert drug["value"] == 0 and drug["says"][0] == "Praziquantel in the water: none now."
    assert drug["works"]["last"]["value_h"] > 14 * 24  # the sixtieth step stands on the fifteenth day
    level = next(row for row in found["series"] if row["name"] == "praziquantel" and row["where"] == "water")
    assert 2.0 < max(level["value"]) < 10.0


@pytest.mark.parametrize(
    ("read", "field"),
    [
        ("ph=14.5", "ph"), ("ph=13.9", "ph"), ("temp=85C", "temp"), ("temp=2C", "temp"),
        ("ammonia=150 mg/L as N", "ammonia"), ("nitrite=-1 mg/L as N", "nitrite"),
        ("oxygen=39 mg/L", "oxygen"),
    ],
)  # fmt: skip
def test_a_reading_that_cannot_be_is_asked_back_and_not_kept(room, read, field):
    with Desk.open(room) as desk:
        before = len(desk.entries())
    found = said(room, "log", "reading", "T3", read)
    assert found.code == 2
    assert found.err.startswith(f"{field}: ")
    assert len(found.err.splitlines()) == 1
    with Desk.open(room) as desk:
        assert len(desk.entries()) == before


def test_a_reading_that_can_hardly_be_is_kept_with_a_word_on_how_it_is_known(tmp_path):
    room = tmp_path / "room"
    for words in (
        ("tank", "add", "name=A", "volume=20L"),
        ("log", "reading", "A", "ph=11", "note=lime in the bucket"),
        ("log", "reading", "A", "ph=11", "where=tap"),
    ):
        assert said(room, *words).code == 0
    assert "can hardly be in a tank" in said(room, "log", "reading", "A", "ph=11").err


def test_where_no_fish_are_an_illness_of_fish_is_one_sentence(room):
    for group in ("t3-0", "t3-1"):
        assert said(room, "log", "counted", "T3", f"stock={group}", "number=0").code == 0
    found = said(room, "forecast", "T3", "for", "white_spot")
    assert found.code == 2
    assert "has no fish to live on: there is none in T3." in found.err
    lines = said(room, "forecast", "T3", *ONE_DAY)
    assert lines.code == 0


def test_a_puddle_and_a_tank_without_litres(tmp_path):
    room = tmp_path / "room"
    assert said(room, "tank", "add", "name=Puddle", "volume=10 mL").code == 0
    assert said(room, "tank", "add", "name=Dry").code == 0
    found = answer(room, "forecast", "Puddle", *ONE_DAY)
    assert all(v is None or v == v for row in found["series"] for v in row["high"])
    dry = said(room, "forecast", "Dry")
    assert dry.code == 2
    assert "Give its litres, or its sizes and fill." in dry.err


def test_the_pages_of_a_large_room_open(room):
    keeper = Visitor(room)
    for url in ("/", "/today", "/tanks/t1", "/tanks/t2", "/find?words=T2"):
        page = keeper.get(url)
        assert page.code == 200, url
        assert page.heading()
