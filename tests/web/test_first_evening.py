"""The first evening: an empty room that answers at once, a tank in three steps, more of the same, a list."""

from urllib.parse import urlsplit

import pytest

from tankward.room.acts import Change
from tankward.room.holds import water_of

from .visitor import Seen, Visitor

SIZE = {"step": "size", "go": "who", "length": "45", "width": "28", "fill": "25", "unit": "cm"}
LIST = """T1, 60x30x28 cm, 14 dwarf rainbowfish 4 cm, sponge, 25C, row A
T2, 45x28x25 cm, 22 guppies, row A
T3, 10 US gal, 30 cherry shrimp, moss, row B
"""


def tanks(keeper: Visitor) -> list[str]:
    return [t.name for t in keeper.desk.room().tanks.values()]


def kept(page: Seen) -> dict[str, str]:
    """What a step would send on: its hidden fields and what its fields hold."""
    found = {}
    for f in page.fields:
        off = f.get("type") in ("radio", "checkbox") and "checked" not in f
        if f["tag"] == "input" and f.get("name") and not off:
            found[f["name"]] = f.get("value") or ""
    return found


# An empty room


@pytest.mark.parametrize(
    "url", ["/", "/look", "/causes?seen=white_spots", "/work-it-out", "/now", "/mistake", "/today"]
)
def test_everything_that_needs_no_room_works_in_an_empty_one(stranger: Visitor, url: str) -> None:
    assert stranger.get(url).code == 200


def test_an_empty_room_says_what_works_at_once(stranger: Visitor) -> None:
    page = stranger.get("/")
    assert page.heading() == "No tank yet."
    assert {"/look", "/work-it-out", "/tanks/new", "/tanks/list", "/settings"} <= set(page.links)
    assert stranger.entries == []


def test_the_options_of_a_cause_need_no_room(stranger: Visitor) -> None:
    page = stranger.get("/options?cause=white_spot")
    assert page.code == 200


# Three questions


def test_the_three_questions_can_all_be_skipped(stranger: Visitor) -> None:
    page = stranger.get("/settings")
    assert "/" in page.links
    assert stranger.post("/settings", page).code == 303
    assert stranger.entries == []


def test_the_answers_are_kept_and_shown_again(stranger: Visitor) -> None:
    page = stranger.get("/settings")
    stranger.post("/settings", page, units="us", tap="chloramine", region="UK")
    kit = stranger.desk.room().kit
    assert (kit.taste.gallon, kit.taste.metric, kit.tap, kit.region) == ("US", False, "chloramine", "UK")
    again = stranger.get("/settings")
    chosen = {f["name"]: f["value"] for f in again.fields if f.get("type") == "radio" and "checked" in f}
    assert chosen == {
        "units": "us", "degrees": "F", "tap": "chloramine", "region": "UK", "colours": "dont-know",
    }  # fmt: skip
    count = len(stranger.entries)
    assert stranger.post("/settings", again, units="us", tap="chloramine", region="UK").code == 303
    assert len(stranger.entries) == count


def test_a_question_left_alone_changes_nothing(stranger: Visitor) -> None:
    stranger.post("/settings", stranger.get("/settings"), units="imp", tap="chlorine")
    stranger.post("/settings", stranger.get("/settings"), region="DE")
    kit = stranger.desk.room().kit
    assert (kit.taste.gallon, kit.tap, kit.region) == ("imp", "chlorine", "DE")
    stranger.post("/settings", stranger.get("/settings"), tap="dont-know")
    assert stranger.desk.room().kit.tap == ""


def test_the_tap_reaches_new_tanks_and_those_that_said_nothing(keeper: Visitor) -> None:
    page = keeper.get("/settings")
    keeper.post("/settings", page, tap="chloramine", every__tank="yes")
    assert {t.tap for t in keeper.desk.room().tanks.values()} == {"chloramine"}
    keeper.post("/tanks/new", page, name="T9", volume="10 L")
    assert keeper.desk.room().tanks["t9"].tap == "chloramine"


# A tank in three steps


def test_the_button_says_what_was_understood_before_it_goes_on(stranger: Visitor) -> None:
    first = stranger.get("/tanks/new")
    assert first.heading() == "How big is the first one?"
    shown = stranger.get("/tanks/new", **SIZE)
    assert shown.heading() == first.heading()
    assert "32 L. Next: who lives there" in shown.words  # 45 * 28 * 25 / 1000 = 31.5
    who = stranger.get("/tanks/new", **kept(shown) | {"go": "who"})
    assert who.heading() == "Who lives in T1?"
    assert stranger.entries == []


def test_other_sizes_are_shown_again_before_they_count(stranger: Visitor) -> None:
    shown = stranger.get("/tanks/new", **SIZE)
    changed = stranger.get("/tanks/new", **kept(shown) | {"go": "who", "length": "450"})
    assert changed.heading() == "How big is the first one?"
    assert "315 L. Next" in changed.words or "320 L. Next" in changed.words


def test_a_tank_with_animals_and_filter_is_kept_in_one_go(stranger: Visitor) -> None:
    shown = stranger.get("/tanks/new", **SIZE)
    who = stranger.get("/tanks/new", **kept(shown) | {"go": "who"})
    animals = {"number-1": "14", "kind-1": "dwarf rainbowfish", "long-1": "4", "rows": "2", "go": "who"}
    more = stranger.get("/tanks/new", **kept(who) | animals)
    assert [f["name"] for f in more.fields if str(f.get("name", "")).startswith("kind-")] == [
        "kind-1",
        "kind-2",
    ]
    rest = stranger.get(
        "/tanks/new", **kept(more) | {"number-2": "about 30", "kind-2": "cherry shrimp", "go": "rest"}
    )
    assert rest.heading() == "The filter and the warmth of T1?"
    assert "Add T1: 32 L, 14 dwarf rainbowfish, about 30 cherry shrimp" in rest.words
    answer = stranger.post(
        "/tanks/new", rest, **kept(rest) | {"filter": "sponge", "temp": "25", "degrees": "C"}
    )
    assert urlsplit(answer.to).path == "/tanks/t1"
    room = stranger.desk.room()
    tank = room.tanks["t1"]
    assert (tank.length_cm, tank.width_cm, tank.fill_cm, tank.filter, tank.temp_c.value) == (
        45,
        28,
        25,
        "sponge",
        25,
    )
    assert [(s.kind, s.number.value) for s in room.stock_of("t1")] == [
        ("neon_rainbow", 14),
        ("cherry_shrimp", 30),
    ]
    assert room.stock_of("t1")[0].length_cm.value == 4
    told = stranger.get(answer.to)
    assert "T1 is in the room now, with 14 dwarf rainbowfish and about 30 cherry shrimp." in told.words
    back = next(f["value"] for f in told.fields if f.get("name") == "entries")
    gone = stranger.post("/entries/undo", told, entries=back, back="/tanks/t1")
    assert urlsplit(gone.to).path == "/"
    assert tanks(stranger) == []


def test_measured_outside_and_in_inches(stranger: Visitor) -> None:
    """(24 - 2 * 0.25) x (12 - 2 * 0.25) x 11 cubic inches are 48.7 L."""
    sizes = {"length": "24", "width": "12", "fill": "11", "unit": "in", "glass": "0.25"}
    page = stranger.get("/tanks/new", **SIZE | sizes)
    assert "49 L. Next" in page.words


def test_a_comma_is_a_point(stranger: Visitor) -> None:
    assert "32 L. Next" in stranger.get("/tanks/new", **SIZE | {"length": "45,0"}).words


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"length": "wide"}, "wide"),
        ({"length": "0"}, "more than 0"),
        ({"fill": ""}, "Write all three lengths"),
        ({"length": "45 L"}, "45 L"),
    ],
)
def test_a_size_that_is_none_stays_with_its_sentence(stranger: Visitor, typed: dict, told: str) -> None:
    page = stranger.get("/tanks/new", **SIZE | typed)
    assert page.code == 422
    assert told in page.words or told in page.html
    assert [f["value"] for f in page.fields if f.get("name") == "width"] == ["28"]


def test_dont_know_goes_on_without_a_size(stranger: Visitor) -> None:
    who = stranger.get("/tanks/new", step="size", go="skip", length="45", width="", fill="")
    assert who.heading() == "Who lives in T1?"
    rest = stranger.get("/tanks/new", **kept(who) | {"go": "rest"})
    stranger.post("/tanks/new", rest, **kept(rest))
    assert water_of(stranger.desk.room().tanks["t1"]).value is None


def test_stop_here_keeps_what_is_there(stranger: Visitor) -> None:
    shown = stranger.get("/tanks/new", **SIZE)
    assert "Stop here, go on later" in shown.words
    assert stranger.post("/tanks/new", shown, **kept(shown)).code == 303
    assert tanks(stranger) == ["T1"]
    assert stranger.desk.room().stock == {}


def test_an_animal_nobody_knows_is_asked_about_beside_its_field(stranger: Visitor) -> None:
    who = stranger.get("/tanks/new", step="size", go="skip")
    page = stranger.get("/tanks/new", **kept(who) | {"number-1": "3", "kind-1": "dragon", "go": "rest"})
    assert page.heading() == "Who lives in T1?"
    (field,) = [f for f in page.fields if f.get("name") == "kind-1"]
    assert (field["value"], field["aria-invalid"]) == ("dragon", "true")
    assert "unknown" in page.words
    rest = stranger.get("/tanks/new", **kept(who) | {"number-1": "3", "kind-1": "unknown", "go": "rest"})
    assert rest.heading().startswith("The filter")


def test_the_second_is_drawn_beside_the_first_and_can_be_the_same(keeper: Visitor) -> None:
    page = keeper.get("/tanks/new")
    assert page.heading() == "How big is the third one?"
    assert ">T7</text>" in page.html
    assert ">T8</text>" in page.html
    assert "/tanks/alike?like=t7" in page.links


# The same again


def test_ten_alike(keeper: Visitor) -> None:
    page = keeper.get("/tanks/alike", like="t7")
    shown = keeper.post("/tanks/alike", page, like="t7", copies="10", seen="1")
    assert "Add T8 to T17" in shown.words
    assert len(tanks(keeper)) == 2
    answer = keeper.post("/tanks/alike", shown, like="t7", copies="10", seen="10")
    assert "10 tanks are in the room now: T8 to T17." in keeper.get(answer.to).words
    room = keeper.desk.room()
    assert [t.filter for t in room.tanks.values()][2:] == ["sponge"] * 10
    assert room.stock_of("t8") == []


@pytest.mark.parametrize("copies", ["0", "-1", "101", "many", ""])
def test_a_number_of_copies_that_is_none(keeper: Visitor, copies: str) -> None:
    page = keeper.get("/tanks/alike", like="t7")
    assert keeper.post("/tanks/alike", page, like="t7", copies=copies, seen=copies).code in (422, 303)
    assert len(tanks(keeper)) == 2


# A pasted list


def test_a_list_is_shown_before_anything_is_kept(stranger: Visitor) -> None:
    page = stranger.post("/tanks/list", stranger.get("/tanks/list"), list=LIST)
    assert page.code == 200
    assert page.heading() == "3 tanks, as they were understood."
    assert "50 L; 14 dwarf rainbowfish" in page.words
    assert "Add these 3 tanks" in page.words
    assert stranger.entries == []
    answer = stranger.post("/tanks/list/add", page, list=LIST)
    assert "3 tanks are in the room now: T1 to T3." in stranger.get(answer.to).words
    room = stranger.desk.room()
    assert [(t.name, t.shelf) for t in room.tanks.values()] == [
        ("T1", "row A"),
        ("T2", "row A"),
        ("T3", "row B"),
    ]
    assert len(room.stock) == 4


def test_a_fault_stands_beside_its_line_and_nothing_can_be_kept(stranger: Visitor) -> None:
    wrong = LIST + "T4, 60x30x28, 3 guppies\n"
    page = stranger.post("/tanks/list", stranger.get("/tanks/list"), list=wrong)
    assert page.code == 422
    assert page.heading() == "One line is not understood yet."
    assert "has no unit" in page.words
    assert "Add these" not in page.words
    assert "T4, 60x30x28, 3 guppies" in page.html
    assert stranger.post("/tanks/list/add", page, list=wrong).code == 422
    assert stranger.entries == []


# Several tanks at once


ROWS = """
1 May 2026 08:00  tank  T1  volume="45 L" shelf="row A" place=1
1 May 2026 08:01  tank  T2  volume="30 L" shelf="row B" place=2
1 May 2026 08:02  tank  T3  volume="20 L" shelf="row B" place=3
"""


@pytest.fixture
def rows(tmp_path) -> Visitor:
    return Visitor(tmp_path / "rows", ROWS)


def changes(keeper: Visitor) -> dict[str, list]:
    room = keeper.desk.room()
    return {t: [a.share for _, a in room.acts(t) if isinstance(a, Change)] for t in room.tanks}


def test_half_in_row_b(rows: Visitor) -> None:
    page = rows.get("/several/change")
    assert "All of row B" in page.words
    answer = rows.post("/several/change", page, tanks="shelf:row B", share="50 %")
    assert changes(rows) == {"t1": [], "t2": [0.5], "t3": [0.5]}
    told = rows.get(answer.to)
    assert "Written down in T2 and T3: Half of the water changed." in told.words
    assert "Undo all of it" in told.words
    both = next(f["value"] for f in told.fields if f.get("name") == "entries")
    rows.post("/entries/undo", told, entries=both, back="/")
    assert changes(rows) == {"t1": [], "t2": [], "t3": []}


def test_the_same_as_last_time(rows: Visitor) -> None:
    page = rows.get("/several/change")
    rows.post("/several/change", page, tanks="t1;t3", share="30 %", temp="25C", when="yesterday 20:00")
    offered = rows.get("/several/change")
    assert "yesterday 20:00, in T1 and T3" in offered.words
    filled = rows.get("/several/change", like="last")
    ticked = [f["value"] for f in filled.fields if f.get("type") == "checkbox" and "checked" in f]
    assert ticked == ["t1", "t3"]
    assert [f["value"] for f in filled.fields if f.get("name") == "share"] == ["30 %"]
    rows.post("/several/change", filled, tanks=";".join(ticked), share="30 %", temp="25 C")
    assert changes(rows) == {"t1": [0.3, 0.3], "t2": [], "t3": [0.3, 0.3]}


@pytest.mark.parametrize(
    ("typed", "told"),
    [({"share": "50 %"}, "at least one tank"), ({"tanks": "t1;t2", "share": "500 %"}, "between 0 and 100")],
)
def test_faults_write_in_no_tank(rows: Visitor, typed: dict, told: str) -> None:
    page = rows.post("/several/change", rows.get("/several/change"), **typed)
    assert page.code == 422
    assert told in page.words
    assert changes(rows) == {"t1": [], "t2": [], "t3": []}


def test_what_can_be_written_for_several(rows: Visitor) -> None:
    page = rows.get("/several")
    kinds = [link for link in page.links if link.startswith("/several/")]
    assert len(kinds) >= 10
    assert {rows.get(k).code for k in kinds} == {200}
    assert rows.get("/several/death").code == 422


# The racks


def test_another_shelf_begins_another_row_of_the_drawing(rows: Visitor) -> None:
    def shelves(html: str) -> int:
        wide = html.partition('class="view w984"')[2].partition('class="view')[0]
        return wide.count('class="shelf"')

    assert shelves(rows.get("/").html) == 2
    rows.post("/several/note", rows.get("/several/note"), tanks="t1", text="x")
    room = rows.desk.room()
    assert [t.name for t in room.tanks.values()] == ["T1", "T2", "T3"]


def test_a_tank_called_like_a_page_keeps_its_own(stranger: Visitor) -> None:
    page = stranger.get("/tanks/new")
    stranger.post("/tanks/new", page, name="List", volume="10 L")
    assert stranger.get("/tanks/list-2").code == 200
    assert stranger.get("/tanks/list").heading() == "Paste your tanks, one a line."
