"""Which steps a sitter may do: no dose that harms when it comes late, no fish handled, no first dose."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from tankward.knowledge.loader import load
from tankward.quantities.parse import Estimate
from tankward.room.acts import Bath, Change, Dose, Heat, LookAgain, Media
from tankward.room.entries.acts import Step
from tankward.treat.course.changes import DECHLORINATOR
from tankward.treat.course.for_sitter import EIGHTH, HALF, for_sitter, kind_of
from tests.helpers.rooms import room_from

FACTS = load()
START = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)
WATER = Estimate(40.0, 38.0, 42.0)
STOCK = room_from(
    '12 May 2026 08:00  tank  T5  volume="40 L" temp=24C\n'
    "12 May 2026 08:01  stock T5  kind=zebra_danio number=8 length=3cm\n"
).stock_of("t5")
MG_PER_L = 40.0


def step(kind, days, act, number=1):
    return Step(id=f"praziquantel-x-20260514-{kind}-{number}", at=START + timedelta(days=days), act=act)


def dose(days, level=2.0, number=1, active="praziquantel"):
    return step("dose", days, Dose(actives={active: level * MG_PER_L}), number)


def whys(steps, begins=1.5, **more):
    found = for_sitter(steps, START + timedelta(days=begins), STOCK, more.pop("water", WATER), FACTS, **more)
    return {(s.kind, (s.step.at - START).days): s.whys for s in found}


def test_kinds_are_read_off_the_ids():
    assert kind_of(step("put-back", 1, Change(share=0.5))) == "put-back"
    assert kind_of(Step(id="look-2", at=START, act=LookAgain())) == "look"


def test_a_later_dose_at_the_published_level_is_the_sitters():
    """2 mg/L of praziquantel, half changed and put back: at most 2 mg/L however little of it fades."""
    half = step("change", 4, Change(share=0.5), 2)
    rows = [dose(0), half, dose(4, level=1.0, number=2)]
    assert whys(rows)["dose", 4] == ()
    assert whys(rows)["change", 4] == ()


def test_the_first_dose_is_given_by_the_keeper():
    assert whys([dose(3)], begins=2) == {("dose", 3): ("first",)}
    assert whys([dose(0), dose(3, level=0.1, number=2)], begins=-1)["dose", 3] == ("first",)
    assert whys([dose(0), dose(3, level=0.1, number=2)], begins=1)["dose", 3] == ()


def test_what_was_ticked_counts_as_given():
    first = dose(2)
    assert whys([first, dose(5, 0.1, 2)], begins=1)["dose", 5] == ("first",)
    assert whys([first, dose(5, 0.1, 2)], begins=1, done={first.id})["dose", 5] == ()


def test_without_a_day_on_which_the_sitter_begins_only_the_very_first_waits():
    found = for_sitter([dose(0), dose(3, 0.1, 2)], None, STOCK, WATER, FACTS)
    assert [s.whys for s in found] == [("first",), ()]


def test_what_follows_within_a_day_can_not_be_late():
    """A medicine that is changed out after 12 hours: neither of the two is a sitter's."""
    rows = [
        dose(0),
        step("change", 4, Change(share=0.5)),
        dose(4, 1.0, 2),
        step("change", 4.5, Change(share=0.5), 3),
    ]
    found = for_sitter(rows, START + timedelta(days=1), STOCK, WATER, FACTS)
    told = {s.step.id: s.whys for s in found}
    assert "soon" in told[rows[2].id]
    assert told[rows[3].id] == ("soon",)
    later = [*rows[:3], step("change", 5.5, Change(share=0.5), 3)]
    assert not any(s.whys for s in for_sitter(later, START + timedelta(days=1), STOCK, WATER, FACTS)[1:])


def late_h(steps, **more):
    found = for_sitter(steps, START, more.get("stock", STOCK), more.get("water", WATER), FACTS)
    return [None if s.late_until is None else (s.late_until - s.step.at) / timedelta(hours=1) for s in found]


def test_how_late_it_may_be_is_half_the_time_to_the_next_where_all_bear_it_unfaded():
    assert late_h([dose(0), dose(2, 0.1, 2), dose(6, 0.1, 3)]) == [24, 48, None]


def test_where_it_could_climb_too_high_it_is_an_eighth():
    """Whole doses again and again: had nothing faded, the last of them is refused."""
    rows = [dose(2.0 * n, level=4.0, number=n + 1) for n in range(6)]
    assert late_h(rows) == [6, 6, 6, 6, 6, None]


def test_an_unknown_volume_is_never_safe():
    assert late_h([dose(0), dose(4, 0.1, 2)], water=None) == [12, None]


def test_more_than_was_seen_to_be_borne_is_never_safe_where_nobody_measured():
    """Nobody measured garlic on them: the same again is as it was, more is not."""
    first, half = dose(0, 1.0, 1, "garlic"), step("change", 4, Change(share=0.99))
    assert late_h([first, half, dose(4, 3.0, 2, "garlic")]) == [12, None, None]
    assert late_h([first, half, dose(4, 0.99, 2, "garlic")]) == [48, None, None]


@pytest.mark.parametrize(("part", "most"), [(HALF, 1 / 4), (EIGHTH, 1 / 20)])
def test_so_late_adds_no_more_to_the_next_peak_than_is_said(part, most):
    """Late by r of the gap, and faded to x in a whole one: x^(1-r) - x more is left at the next dose."""
    faded = np.linspace(0.0, 1.0, 100_001)
    more = faded ** (1 - part) - faded
    assert more.max() <= most + 1e-12
    assert more.max() == pytest.approx(part * (1 - part) ** ((1 - part) / part), abs=1e-6)


def test_dangerous_things_are_nobodys_but_the_keepers():
    rows = [dose(0, 0.01, 1, "formalin"), dose(4, 0.01, 2, "formalin")]
    assert "people" in whys(rows)["dose", 4]


@pytest.mark.parametrize(
    ("kind", "act", "why"),
    [
        ("bath", Bath(actives={"sodium_chloride": 1000.0}, volume_l=5.0, minutes=10), "timed"),
        ("bath-out", LookAgain(what="the fish into clean water"), "timed"),
        ("heat", Heat(temp_c=28.0), "warmth"),
        ("read-water", LookAgain(what="ammonia"), "reading"),
        ("decide", LookAgain(what="is it helping"), "ours"),
    ],
)
def test_what_needs_knowledge_or_a_clock_waits(kind, act, why):
    assert why in whys([step(kind, 4, act)])[kind, 4]


@pytest.mark.parametrize("kind", ["watch", "dead-out"])
def test_watching_is_for_anybody(kind):
    assert whys([step(kind, 4, LookAgain(what="breathing"))])[kind, 4] == ()


def test_a_dose_that_hangs_on_a_reading_waits():
    rows = [dose(0), step("read-water", 4, LookAgain(what="ammonia")), dose(4, 0.1, 2)]
    assert whys(rows)["dose", 4] == ("reading",)


def test_dechlorinator_is_no_medicine():
    rows = [
        step("dechlorinate", 4, Dose(actives={DECHLORINATOR: 200.0})),
        step("change", 4, Change(share=0.5)),
    ]
    assert set(whys(rows).values()) == {()}


def test_carbon_that_ends_a_course_a_day_after_a_dose_is_not_hurried():
    rows = [dose(0), dose(4, 0.1, 2), step("carbon-in", 6, Media(into=True))]
    assert whys(rows)["carbon-in", 6] == ()
