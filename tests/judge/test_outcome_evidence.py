"""How an earlier course ended speaks for its cause, or against it. All invented."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.judge.causes import causes
from tankward.judge.from_room import own_evidence
from tankward.judge.network_of import network_of
from tankward.knowledge.loader import load
from tankward.room.acts import Dose
from tankward.room.entries.acts import CourseBegun, CourseStopped, Step
from tankward.room.entries.ends import CourseClosed
from tankward.room.replay import replay
from tankward.room.text import read_logbook

FACTS = load()
NET = network_of(FACTS)
NOW = datetime(2026, 5, 20, 18, 0, tzinfo=UTC)
TANK = """
1 January 2026 08:00  tank   Left   volume="54 L" temp=25C filter=sponge filter-age="12 weeks"
1 January 2026 08:05  stock  Left   kind=guppy number=10 length=2.5cm
20 May 2026 17:00     look   Left   seen=flashing,clamped_fins,fast_gills
"""


def ago(days):
    return NOW - timedelta(days=days)


def evidence(outcome="", believed="", closed_ago=30.0, begun=None, **more):
    """What the logbook tells of a course begun forty days ago and closed ten days later."""
    told = {"substance": "praziquantel", "route": "water_long", "cause": "gill_flukes"} | (begun or {})
    steps = tuple(
        Step(id=f"s{n}", at=ago(40 - 2 * n), act=Dose(actives={"praziquantel": 108.0})) for n in (0, 1)
    )
    entries = [CourseBegun(id="c", at=ago(40), tank="left", name="a course", steps=steps, **told)]
    if outcome:
        entries.append(
            CourseClosed(
                id="e", at=ago(closed_ago), tank="left", course="c", outcome=outcome, cause=believed, **more
            )
        )
    return own_evidence(replay([*read_logbook(TANK), *entries]), "left", FACTS, NOW)


def contexts(found):
    return {h.context: h.of for h in found.happened if h.context in ("had_before", "treatment_failed")}


def likely(found, cause="gill_flukes"):
    return causes(found, NET).of(cause).value


def test_a_course_that_cleared_it_speaks_for_its_cause():
    assert contexts(evidence("cleared")) == {"had_before": ("gill_flukes",)}
    bare = own_evidence(replay(read_logbook(TANK)), "left", FACTS, NOW)
    assert likely(evidence("cleared")) > 1.1 * likely(bare)


def test_a_course_that_changed_nothing_speaks_for_no_cause_of_its_own_and_is_told_as_failed():
    for outcome in ("no_change", "worse"):
        found = contexts(evidence(outcome))
        assert "had_before" not in found
        assert "praziquantel" in found["treatment_failed"]
    assert likely(evidence("no_change")) < likely(evidence("cleared"))


def test_what_the_keeper_believes_it_was_counts_before_what_it_was_begun_for():
    assert contexts(evidence("cleared", "skin_flukes"))["had_before"] == ("skin_flukes",)
    assert contexts(evidence("no_change", "velvet"))["had_before"] == ("velvet",)


def test_where_no_cause_was_named_a_narrow_medicine_that_cleared_it_speaks_for_what_it_is_given_against():
    found = contexts(evidence("cleared", begun={"cause": ""}))
    treats = {
        c for r in FACTS.substances["praziquantel"].regimen if r.route == "water_long" for c in r.treats
    }
    assert set(found["had_before"]) == treats and "gill_flukes" in treats
    wide = evidence("cleared", begun={"cause": "", "substance": "sodium_chloride"})
    assert "had_before" not in contexts(wide)
    assert "had_before" not in contexts(evidence("not_known", begun={"cause": ""}))


def test_an_end_that_nobody_told_counts_as_before():
    assert contexts(evidence()) == {"had_before": ("gill_flukes",)}
    assert contexts(evidence("not_known")) == {"had_before": ("gill_flukes",)}


def test_an_end_that_is_told_later_than_now_is_not_known_yet():
    assert contexts(evidence("no_change", closed_ago=-1.0)) == {"had_before": ("gill_flukes",)}


def test_a_course_that_was_stopped_before_its_end_failed_nothing():
    steps = tuple(
        Step(id=f"s{n}", at=ago(40 - 2 * n), act=Dose(actives={"praziquantel": 108.0})) for n in (0, 1)
    )
    begun = CourseBegun(
        id="c", at=ago(40), tank="left", name="a course", substance="praziquantel", cause="gill_flukes",
        steps=steps,
    )  # fmt: skip
    stop = CourseStopped(id="s", at=ago(39), tank="left", course="c")
    end = CourseClosed(id="e", at=ago(30), tank="left", course="c", outcome="no_change")
    room = replay([*read_logbook(TANK), begun, stop, end])
    assert "treatment_failed" not in contexts(own_evidence(room, "left", FACTS, NOW))


@pytest.mark.parametrize("outcome", ["cleared", "better"])
def test_what_helped_is_not_told_as_failed_though_a_sign_is_seen_again(outcome):
    assert "treatment_failed" not in contexts(evidence(outcome))
