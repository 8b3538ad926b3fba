"""Settings: each answer an entry that can be undone; what follows from leaving one is said."""

import re

import pytest


def answer(visitor, **typed):
    return visitor.post("/settings", visitor.get("/settings"), **typed)


def theme(visitor) -> str:
    found = re.search(r'<html lang="en"(?: data-theme="(\w+)")?>', visitor.get("/more").html)
    return found[1] or ""


@pytest.mark.parametrize(
    "said",
    [
        "a gallon is asked back, US or imperial",
        "every change is planned with dechlorinator",
        "Not said: the strictest",
        "Letter in the United States, A4 elsewhere",
    ],
)
def test_what_follows_from_not_answering_is_said(stranger, said):
    assert said in stranger.get("/settings").words


def test_the_colours_follow_the_device_unless_they_are_fixed(stranger):
    assert theme(stranger) == ""
    answer(stranger, colours="night")
    assert theme(stranger) == "night"
    answer(stranger, colours="dont-know")
    assert theme(stranger) == ""


def test_the_degrees_are_a_question_of_their_own(stranger):
    answer(stranger, units="us")
    assert stranger.desk.room().kit.taste.temperature == "F"
    answer(stranger, degrees="C")
    taste = stranger.desk.room().kit.taste
    assert (taste.temperature, taste.gallon, taste.metric) == ("C", "US", False)


def test_an_answer_is_undone_from_the_line_that_tells_it(stranger):
    kept = stranger.get(answer(stranger, paper="letter").to)
    assert stranger.desk.room().kit.paper == "letter"
    (entries,) = [f["value"] for f in kept.fields if f.get("name") == "entries"]
    stranger.post("/entries/undo", kept, entries=entries, back="/settings")
    assert stranger.desk.room().kit.paper == ""


def test_the_same_answer_again_writes_nothing(stranger):
    answer(stranger, units="metric", degrees="C", colours="dont-know")
    assert list(stranger.entries) == []
    typed = {"units": "imp", "tap": "chlorine", "region": "UK", "paper": "a4", "colours": "day"}
    answer(stranger, **typed)
    count = len(list(stranger.entries))
    answer(stranger, **typed, degrees="C")
    assert len(list(stranger.entries)) == count
