"""How a course is doing, in words: what was expected, when it is told, why it may fail, when it stops."""

import re

import pytest

from tankward.desk.helping import helping
from tankward.show.answers_progress import progress_result
from tankward.show.charts.scale import scale_of
from tankward.show.progress_chart import progress_chart
from tankward.show.words.failing import HEADS, LOOKS, THEN, fail_rows, tell_says
from tankward.show.words.progress import HEADS as VERDICTS
from tankward.show.words.progress import chance_rows, expected_says, progress_heading, telling_says, tenths
from tankward.show.words.when_to_stop import back_rows, stop_says, suffering_says, survivor_says
from tankward.treat.failing import Tell
from tests.judge.treated import FACTS, FEWER, MORE, after, room_of

NEVER = re.compile(r"\bcured\b|disease.free|\bworking\b|\bclear of\b|\bsafe\b", re.IGNORECASE)
SICK = '11 May 2026 12:00 look T7 seen=on_side\n12 May 2026 18:00 look T7 seen="on_side;cotton_tufts"\n'


@pytest.fixture(scope="module")
def told():
    """On three days: early, when it helps, when it does not."""
    out = {}
    for name, now, lines in (("early", 1.0, ""), ("fewer", 11.0, FEWER), ("more", 11.0, MORE + SICK)):
        room = room_of(lines, now)
        judged = helping(room, "t7", after(now), FACTS)
        out[name] = judged, room, progress_result(judged, room, FACTS, "UTC", "now")
    return out


def test_every_verdict_has_its_words_and_none_says_too_much(told):
    for judged, _, result in told.values():
        assert judged.found.why in VERDICTS
        assert not NEVER.search(result.says)
        assert "A veterinarian's look at a fresh dead fish would settle" in result.says
        assert "Fading signs don't say that it is gone." in result.says
    heads = {name: progress_heading(j.found, j.now, "UTC") for name, (j, _, _) in told.items()}
    assert heads["early"] == "Too early to say. It can be decided Thu 7 May."
    assert heads["fewer"] == "Helping, by the counts since. That does not say it is gone."
    assert heads["more"].startswith("Not helping")


def test_what_was_expected_stands_beside_what_was_seen(told):
    judged = told["early"][0]
    says = expected_says(judged.found, FACTS, judged.now, "UTC")
    assert re.fullmatch(
        r"By today \d+ to \d+ of 20 would still show rubbing on things if it is helping, "
        r"\d+ to \d+ if it does too little\.",
        says,
    )
    fewer, more = (expected_says(told[n][0].found, FACTS, told[n][0].now, "UTC") for n in ("fewer", "more"))
    assert fewer.endswith("; none did.")
    assert more.endswith("; 17 did.")


def test_the_day_is_told_with_how_many_and_how_often(told):
    (line,) = telling_says(told["early"][0].found, told["early"][0].now, "UTC")
    assert re.fullmatch(
        r"Count 20 every second day from Tue 5 May on: by Thu 7 May the counts point the right way about \d "
        r"times in 10\.",
        line,
    )
    assert telling_says(told["fewer"][0].found, told["fewer"][0].now, "UTC") == []


def test_chances_are_told_as_so_many_of_ten(told):
    rows = chance_rows(told["fewer"][0].found.helped, "skin_flukes", FACTS)
    assert [r.head.split(",")[0] for r in rows] == [
        "It is skin flukes",
        "It is skin flukes",
        "Something else",
    ]
    assert sum(r.value for r in rows) == pytest.approx(1.0)
    assert [tenths(p) for p in (0.01, 0.05, 0.34, 0.96)] == [
        "under 1 in 10", "under 1 in 10", "3 in 10", "over 9 in 10",
    ]  # fmt: skip


def test_each_reason_is_a_sentence_with_a_look_and_what_to_do(told):
    judged, room, _ = told["more"]
    rows = fail_rows(judged.failing, room, FACTS, judged.next_look)
    assert [r.rank for r in rows if r.rank.isdigit()] == [str(n) for n in range(1, 7)]
    for one, row in zip(judged.failing, rows, strict=True):
        assert row.head.startswith(HEADS[one.kind])
        assert row.then == THEN[one.kind]
        assert row.look.endswith(".")
        assert not NEVER.search(" ".join((row.head, row.speaks_for, row.against, row.look, row.then)))
    assert "A fresh dead fish opened by a veterinarian would settle it." in LOOKS["vet-dead"]


@pytest.mark.parametrize(
    ("kind", "values", "says"),
    [
        ("missed", {"missed": 1.0, "of": 3.0}, "1 of 3 steps are not ticked"),
        ("all-given", {"missed": 0.0, "of": 0.0}, "no step was due yet"),
        ("medium-in", {"medium": "activated_carbon"}, "Carbon was in the filter while it ran"),
        ("given-before", {"times": 1.0}, "it was given once before here within six months"),
        (
            "level",
            {
                "substance": "praziquantel",
                "unit": "mg/L",
                "least": 2.0,
                "low": 0.0,
                "high": 0.12,
                "under": 0.9,
            },
            "praziquantel works from 2 mg/L; it was under that 9 tenths of the time, and 0 to 0.12 mg/L is "
            "there now",
        ),
    ],
)
def test_what_speaks_for_it(kind, values, says):
    assert tell_says(Tell(kind=kind, values=values), room_of(), FACTS) == says


def test_when_it_stops_and_who_stays(told):
    judged = told["more"][0]
    stop = stop_says(judged.ending, judged.now, "UTC")
    assert stop[0].startswith("Stop at once if they gasp")
    assert any(line.startswith("Doses given: 2 of at most 3, none to come.") for line in stop)
    assert survivor_says(judged.ending, judged.now, "UTC", FACTS) == [
        "Those that live through skin flukes may carry it for life, or nobody knows how long: they are not "
        "sold, given or mixed."
    ]
    lines = suffering_says(judged.ending, judged.now, "UTC", FACTS)
    assert lines[0].startswith("A fish may be suffering: lies on its side")
    assert "Ask a veterinarian first" in lines[0]
    assert suffering_says(told["early"][0].ending, judged.now, "UTC", FACTS) == []
    carbon = back_rows(told["early"][0].ending, told["early"][0].now, "UTC", FACTS)[0]
    assert (carbon.margin, carbon.head) == ("Sun 10", "Carbon back into the filter")


def test_the_picture_has_both_on_one_scale_and_what_was_counted(told):
    judged, room, _ = told["fewer"]
    chart = progress_chart(judged.found, room, judged.now, "UTC", FACTS, says="x")
    helps, little = chart.strips
    assert scale_of(helps).high == scale_of(little).high >= 20
    assert [r.value for r in helps.readings] == [r.value for r in little.readings] == [6, 8, 3, 0, 0]
    last = -1
    assert helps.mid[last] < little.mid[last]
    assert (helps.low <= helps.mid).all()
    assert (helps.mid <= helps.high).all()
    assert chart.acts


def test_what_leaves_holds_the_same(told):
    judged, _, result = told["more"]
    chances = judged.found.helped.chances
    assert (result.by, result.verdict) == ("life", "not-helping")
    assert result.chances.helping == chances.helping
    assert result.chances.too_little + result.chances.other == pytest.approx(1.0 - chances.helping)
    assert result.expected_now.seen_low == 17
    assert [f.kind for f in result.failing] == [f.kind for f in judged.failing]
    assert result.decidable_on == judged.found.decidable_on.isoformat()
    assert result.ending.not_sold_before == {"skin_flukes": ""}
    assert result.ending.suffering == ["on_side"]
    early = told["early"][2]
    assert early.telling[0].on == early.decidable_on
    assert early.failing == []
