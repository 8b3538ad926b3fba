"""A slip that loses water: everything afterwards goes by the litres that are there."""

from datetime import UTC, datetime

import pytest

from tankward.desk.border import Border
from tankward.desk.desk import Desk
from tankward.desk.doses_ahead import doses_ahead
from tankward.desk.examine import examine_tank
from tankward.desk.overdose import overdoses
from tankward.judge.findings import medicine_gate
from tankward.judge.little_water import filling, first_portion, portions
from tankward.judge.slips import slips_in
from tankward.knowledge.loader import load
from tankward.model.forecast import forecast
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Dose, Lost
from tankward.room.entries.acts import CourseBegun, Step
from tankward.room.replay import replay
from tests.helpers.rooms import entries_from, room_from

FACTS = load()
NOW = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)
TANK = """
1 March 2026 08:00  tank     Nursery  volume="50 L" temp=26C filter=sponge filter-age="12 weeks"
1 March 2026 08:05  stock    Nursery  kind=guppy number=20 length=2.5cm
6 March 2026 08:00  reading  Nursery  ph=7.6 ammonia="0 mg/L as N" nitrite="0 mg/L as N" temp=26C
"""
LOST = "7 March 2026 08:00  lost_water  Nursery  share=90%\n"


def acts_of(text):
    found = examine_tank(room_from(text), "nursery", NOW, FACTS)
    return found, [s.act for s in found.urgent.steps] if found.urgent else []


def test_a_tenth_left_is_urgent_and_says_what_comes_first():
    found, acts = acts_of(TANK + LOST)
    little = next(f for f in found.findings if f.kind == "little_water")
    assert (little.severity, little.value, little.unit) == ("danger", pytest.approx(5.0), "L")
    assert acts[:4] == ["dry-off", "air", "stop", "fill"]
    assert "change" not in acts  # of the little that is left nothing is taken out
    assert acts.index("back-on") > acts.index("fill")
    assert medicine_gate(found.findings).opens == "water-first"


@pytest.mark.parametrize(
    ("then", "severity"),
    [
        ("7 March 2026 08:30  top_up  Nursery  volume=45L\n", None),
        ("7 March 2026 08:30  change  Nursery  share=10%\n", None),
        ("7 March 2026 08:30  top_up  Nursery  volume=30L\n", "caution"),
        ("7 March 2026 08:30  top_up  Nursery  volume=10L\n", "danger"),
    ],
)
def test_filled_up_it_is_over(then, severity):
    found, acts = acts_of(TANK + LOST + then)
    little = [f.severity for f in found.findings if f.kind == "little_water"]
    assert little == ([severity] if severity else [])
    assert ("fill" in acts) == (severity == "danger")


def test_the_first_portion_by_hand():
    """Half new at once: 5 L more beside 5 L, then 10, 20 and the last 10: 5, 10, 20, 40, 50 L."""
    assert first_portion(Estimate.exact(50.0), 0.1, 0.5).value == pytest.approx(5.0)
    assert portions(0.1, 0.5) == pytest.approx((0.1, 0.2, 0.4, 0.2))
    assert "then 10 L, then 20 L, then 10 L, an hour apart" in filling(Estimate.exact(50.0), 0.1, 0.5, 1.0)
    assert first_portion(Estimate.exact(50.0), 0.8, 0.5).value == pytest.approx(10.0)  # all that is missing
    assert portions(0.8, 0.5) == pytest.approx((0.2,))
    assert first_portion(None, 0.1, 0.5) is None


def test_all_of_it_gone_is_answered_too():
    found, acts = acts_of(TANK + LOST.replace("90%", "100%"))
    little = next(f for f in found.findings if f.kind == "little_water")
    assert (little.severity, little.value) == ("danger", 0.0)
    assert acts[0] == "dry-off"
    fill = next(s for s in found.urgent.steps if s.act == "fill")
    assert 0.0 < fill.amount.value <= 1.0  # a film of a hundredth is taken for left


def test_no_change_so_an_old_tank_is_taken_for_granted_and_filled_in_small_portions():
    """Nobody knows of a big change and pH is 7.6: half at once. At 6.2 less: 5 × 0.175/0.825 L."""
    found, _ = acts_of(TANK + LOST)
    fill = next(s for s in found.urgent.steps if s.act == "fill")
    assert fill.amount.value == pytest.approx(5.0)
    acid, _ = acts_of(TANK.replace("ph=7.6", "ph=6.2") + LOST)
    fill = next(s for s in acid.urgent.steps if s.act == "fill")
    assert fill.amount.value == pytest.approx(5.0 * 0.175 / 0.825)


def test_a_dose_into_little_water_is_an_overdose():
    """100 mg praziquantel: 2 mg/L in 50 L, 20 mg/L in 5 L."""
    given = "7 March 2026 08:40  dose  Nursery  praziquantel=100mg\n"
    assert overdoses(room_from(TANK + given), "nursery", NOW, FACTS) == ()
    over = overdoses(room_from(TANK + LOST + given), "nursery", NOW, FACTS)
    assert [o.level for o in over] == [pytest.approx(20.0)]
    before = "7 March 2026 07:40  dose  Nursery  praziquantel=100mg\n"
    assert overdoses(room_from(TANK + before + LOST), "nursery", NOW, FACTS) == ()


def with_course(text):
    """Two doses of 100 mg, tomorrow and the day after, planned for 50 L."""
    steps = tuple(
        Step(id=f"s{day}", at=NOW.replace(day=day, hour=20), act=Dose(actives={"praziquantel": 100.0}))
        for day in (8, 9)
    )
    course = CourseBegun(
        id="019e1d00-0000-7000-8000-000000000009", at=NOW.replace(day=6), zone="UTC", tank="nursery",
        name="worms", substance="praziquantel", steps=steps,
    )  # fmt: skip
    return replay(sorted([*entries_from(text), course], key=lambda e: e.at))


@pytest.mark.parametrize(("lost", "level", "out"), [("", 2.0, False), (LOST, 20.0, True)])
def test_the_next_dose_of_a_course_is_left_out(lost, level, out):
    room = with_course(TANK + lost)
    steps = [(s.at, s.act) for s in room.courses["nursery"].steps]
    found = forecast(room, "nursery", NOW, facts=FACTS, planned=steps, draws=64)
    first = doses_ahead(room, "nursery", found, NOW, FACTS)[0]
    assert first.after.value == pytest.approx(level, rel=0.05)
    assert first.leave_out is out


def written(tmp_path, kind, **typed):
    with Desk.open(tmp_path / "room") as desk:
        desk.append(*entries_from(TANK + LOST))
        border = Border.of(desk, FACTS, NOW, "UTC")
        return border.log(kind, "Nursery", typed).entry.act


def test_litres_are_a_share_of_what_was_there(tmp_path):
    """2.5 L of the 5 L that are left are half of it; before the loss they are a twentieth."""
    assert written(tmp_path / "a", "change", share="2.5 L") == Change(share=0.5)
    assert written(tmp_path / "b", "change", share="2.5 L", when="7 March 07:00") == Change(share=0.05)
    assert written(tmp_path / "c", "lost_water", share="2.5 L") == Lost(share=0.5)
    with pytest.raises(BadInput, match="more than the 5 L that were in it"):
        written(tmp_path / "d", "change", share="20 L")


@pytest.mark.parametrize("did", ["the tank leaks", "a hose slipped", "lost most of the water"])
def test_the_slip_is_known_by_its_words(did):
    assert slips_in(did) == ("little-water",)
