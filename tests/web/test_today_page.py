"""The round on its page: a touch for a well tank, two with a count, undone that day; touches sent late."""

from datetime import timedelta

import pytest

from tankward.room.acts import Change
from tankward.room.entries.acts import CourseBegun, Done, Step
from tankward.room.entries.animals import Counted, Death
from tankward.room.entries.looks import Look
from tankward.room.entries.missing import NotFound
from tests.web.visitor import NOW, Visitor

TOUCH = "01970000-0000-7000-8000-000000000001"


def kinds(keeper: Visitor, *which) -> list:
    return [e for e in keeper.entries if isinstance(e, which)]


def follow(keeper: Visitor, answer):
    assert answer.code == 303
    return keeper.get(answer.to.partition("#")[0])


def sent(keeper: Visitor, url: str, **fields: str):
    """A touch as the phone's queue sends it."""
    data = {"form-token": keeper.token(keeper.get("/tanks/new")), **fields}
    headers = {"origin": "http://127.0.0.1", "accept": "application/json"}
    return keeper.client.post(url, data=data, headers=headers)


def test_an_empty_room_says_how_a_round_begins(stranger: Visitor) -> None:
    page = stranger.get("/today")
    assert page.heading() == "Nobody lives here yet"
    assert "/tanks/new" in page.links


def test_a_well_tank_is_one_touch_and_the_round_goes_on(keeper: Visitor) -> None:
    page = keeper.get("/today")
    assert page.heading() == "Two tanks to look at. T2 first, T7 last."
    assert "22 on 1 May. Now?" in page.words
    told = follow(keeper, keeper.post("/tanks/t2/round", page, do="well"))
    assert told.heading() == "One tank done, all well. T7 is the last."
    assert [(k.tank, k.well) for k in kinds(keeper, Look)] == [("t2", True)]
    assert kinds(keeper, Counted) == []
    done = follow(keeper, keeper.post("/tanks/t7/round", told, do="well"))
    assert done.heading() == "The round is done. Nothing has to be done tonight."


def test_a_count_is_the_second_touch_without_scripts_too(keeper: Visitor) -> None:
    page = keeper.get("/today")
    fewer = next(u for u in page.links if "n-t2-guppy=21" in u)
    again = keeper.get(fewer.partition("#")[0])
    field = next(f for f in again.fields if f.get("name") == "n-t2-guppy")
    assert field["value"] == "21"
    told = follow(keeper, keeper.post("/tanks/t2/round", again, do="well", **{"n-t2-guppy": "21"}))
    assert [c.number.value for c in kinds(keeper, Counted)] == [21]
    assert "One is missing in T2 (guppy): 21, not 22." in told.words
    assert "21 guppy counted" in told.words


@pytest.mark.parametrize(("how", "kind"), [("dead", Death), ("not-found", NotFound)])
def test_a_missing_one_is_told_of_in_one_touch(how: str, kind: type, keeper: Visitor) -> None:
    page = keeper.get("/today")
    told = follow(keeper, keeper.post("/tanks/t2/round", page, do="well", **{"n-t2-guppy": "21"}))
    counted = told.hidden("count")[0]
    after = follow(keeper, keeper.post("/today/missing", told, count=counted, how=how))
    assert "is missing in T2" not in after.words
    assert [e.number for e in kinds(keeper, kind)] == [1]
    assert keeper.desk.room().stock["t2-guppy"].number.value == 21
    assert keeper.post("/today/missing", told, count=counted, how=how).code == 422


def test_about_is_an_answer_and_what_is_no_number_is_asked_back(keeper: Visitor) -> None:
    page = keeper.get("/today")
    wrong = keeper.post("/tanks/t2/round", page, do="well", **{"n-t2-guppy": "a few"})
    assert wrong.code == 422
    assert "is no number of animals. Write 16, or about 16." in wrong.words
    assert kinds(keeper, Look) == []
    keeper.post("/tanks/t2/round", page, do="well", **{"n-t2-guppy": "about 20"})
    assert [c.number.ranged for c in kinds(keeper, Counted)] == [True]


def test_looks_odd_is_kept_and_leads_to_the_look(keeper: Visitor) -> None:
    answer = keeper.post("/tanks/t7/round", keeper.get("/today"), do="odd")
    assert answer.to.startswith("/tanks/t7/look?kept=")
    page = keeper.get("/today")
    assert page.heading() == "One tank done, T7 looks odd. T2 is the last."


def test_skipped_for_now_the_next_one_stands_open(keeper: Visitor) -> None:
    skip = next(u for u in keeper.get("/today").links if "later=t2" in u)
    page = keeper.get(skip.partition("#")[0])
    assert page.heading() == "Two tanks to look at. T7 first."
    answer = keeper.post("/tanks/t7/round", page, do="well", later="t2")
    assert answer.to.startswith("/today?later=t2&kept=")


def test_a_resend_is_harmless_and_the_time_is_that_of_the_touch(keeper: Visitor) -> None:
    fields = {
        "do": "well", "n-t2-guppy": "22", "touch": TOUCH,
        "touched": "2031-01-01T09:00:00Z", "sent": "2031-01-01T09:40:00Z",  # a phone whose clock is wrong
    }  # fmt: skip
    for _ in range(3):
        answer = sent(keeper, "/tanks/t2/round", **fields)
        assert answer.status_code == 200
        assert answer.json()["to"].startswith("/today")
    looks, counts = kinds(keeper, Look), kinds(keeper, Counted)
    assert [(k.id, k.at) for k in looks] == [(TOUCH, NOW - timedelta(minutes=40))]
    assert [(c.id, c.at) for c in counts] == [(TOUCH[:-1] + "2", NOW - timedelta(minutes=40))]


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"do": "well", "n-t2-guppy": "a few"}, "It could not be read as it was written."),
        ({"do": "well", "touch": "7"}, "is no id that a device makes"),
        ({"do": "well", "touched": "2020-01-01T09:00:00Z", "sent": "2026-01-01T09:00:00Z"}, "60 days ago"),
        ({"do": "well", "form-token": "forged"}, "This page is too old"),
    ],
)
def test_a_queue_is_told_why_nothing_was_taken(fields: dict, says: str, keeper: Visitor) -> None:
    answer = sent(keeper, "/tanks/t2/round", **fields)
    assert answer.status_code in (403, 422)
    assert says in answer.json()["says"]
    assert kinds(keeper, Look) == []


COURSE = CourseBegun(
    id="01970000-0000-7000-8000-0000000000aa", at=NOW - timedelta(days=1), tank="t7", name="a course",
    steps=(
        Step(id="first", at=NOW - timedelta(hours=2), act=Change(share=0.5), why="To bring it down."),
        Step(id="then", at=NOW + timedelta(minutes=20), act=Change(share=0.3)),
        Step(id="tomorrow", at=NOW + timedelta(days=1), act=Change(share=0.3)),
    ),
)  # fmt: skip


def test_steps_stand_by_their_hour_and_the_late_one_says_what_to_do(keeper: Visitor) -> None:
    keeper.desk.append(COURSE)
    page = keeper.get("/today")
    assert "Late: T7 of 19:02. See below." in page.words
    assert "T7: change half of the water. 2 hours late: change it now, before anything goes in" in page.words
    assert "21:22 T7: change 30 % of the water." in page.words
    assert page.words.count("change 30 %") == 1  # tomorrow's is no job of today


def test_a_step_ticked_on_today_is_done_there_and_can_be_undone(keeper: Visitor) -> None:
    keeper.desk.append(COURSE)
    answer = keeper.post("/tanks/t7/steps", keeper.get("/today"), done="first", back="/today")
    told = follow(keeper, answer)
    assert answer.to.startswith("/today?kept=")
    assert "done 21:02" in told.words
    entry = kinds(keeper, Done)[0].id
    undone = follow(keeper, keeper.post("/entries/undo", told, entries=entry, back="/today"))
    assert "2 hours late" in undone.words
    left = follow(keeper, keeper.post("/tanks/t7/steps", keeper.get("/today"), skip="first", back="/today"))
    assert "left out 21:02" in left.words


def test_a_late_step_put_off_for_now_comes_last(keeper: Visitor) -> None:
    keeper.desk.append(COURSE)
    later = next(u for u in keeper.get("/today").links if "later=first" in u)
    words = keeper.get(later.partition("#")[0]).words
    assert words.index("T7: change 30 %") < words.index("T7: change half")


def test_a_tick_that_waited_is_kept_once_with_its_time(keeper: Visitor) -> None:
    keeper.desk.append(COURSE)
    fields = {
        "done": "first", "back": "/today", "touch": TOUCH,
        "touched": "2026-05-12T20:00:00Z", "sent": "2026-05-12T20:30:00Z",
    }  # fmt: skip
    for _ in range(2):
        assert sent(keeper, "/tanks/t7/steps", **fields).json()["to"].startswith("/today")
    assert [(e.id, e.at, e.step) for e in kinds(keeper, Done)] == [
        (TOUCH, NOW - timedelta(minutes=30), "first")
    ]


def test_where_nothing_may_be_written_the_round_can_be_read(keeper: Visitor, monkeypatch) -> None:
    monkeypatch.setattr(type(keeper.desk), "read_only", "This folder may only be read.")
    page = keeper.get("/today")
    assert page.heading() == "Two tanks to look at. T2 first, T7 last."
    assert "This folder may only be read." in page.words
    assert "Now?" not in page.words


def test_a_tank_that_is_not_there_is_told_of(keeper: Visitor) -> None:
    answer = keeper.post("/tanks/t99/round", keeper.get("/today"), do="well")
    assert answer.code == 422
    assert "t99" in answer.words
