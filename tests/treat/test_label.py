"""A label's rule, typed into fields, is judged: case 1 and the ten invented labels."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankward.judge.limits import limits
from tankward.knowledge.loader import load
from tankward.quantities.parse import Estimate
from tankward.room.things import Active, LabelRule, Stock, Supply
from tankward.treat.label import judge_label, units_by_label
from tankward.treat.label_parts import half_life_span

approx = pytest.approx
FACTS = load()
CASE_1 = Supply(
    id="two-part",
    name="two-part sachet (invented)",
    unit="sachet",
    actives=(Active(substance="metronidazole", mg=240), Active(substance="praziquantel", mg=80)),
    rule=LabelRule(units=1, per_volume_l=37.854, repeat_after_h=48, change_before=0.5),
)
WATER = Estimate(63, 60, 66)


def stock(kind, name, number, **more):
    return Stock(id=kind, tank="t", kind=kind, name=name, number=Estimate.exact(number), **more)


PLATIES = stock("platy", "platies", 25, length_cm=Estimate.exact(3.0), sex="mixed")
SHRIMP = stock("cherry_shrimp", "cherry shrimp", 20)


def limits_of(supply, *who):
    return tuple(x for a in supply.actives for x in limits(a.substance, who, FACTS))


def part(verdict, substance):
    return next(p for p in verdict.parts if p.substance == substance)


@pytest.mark.parametrize(("units", "m", "p"), [(1, 3.8, 1.3), (1.5, 5.7, 1.9), (2, 7.6, 2.5)])
def test_what_so_many_sachets_really_give(units, m, p):
    verdict = judge_label(CASE_1, WATER, FACTS, units=units)
    assert round(part(verdict, "metronidazole").per_dose.value, 1) == m
    assert round(part(verdict, "praziquantel").per_dose.value, 1) == p


def test_the_label_on_the_litres_it_was_sold_as():
    """75 L at one sachet for 10 US gallons: two."""
    assert round(units_by_label(CASE_1.rule, 75.0)) == 2


def test_peaks_when_the_label_is_repeated_blindly():
    verdict = judge_label(CASE_1, WATER, FACTS, units=2)
    m, p = part(verdict, "metronidazole"), part(verdict, "praziquantel")
    assert [round(x, 1) for x in m.lasting] == [7.6, 11.4, 13.3, 14.3]
    assert [round(x, 1) for x in p.lasting] == [2.5, 3.8, 4.4, 4.8]
    assert (round(m.tends_lasting, 1), round(p.tends_lasting, 1)) == (15.2, 5.1)
    assert m.builds_up
    assert m.peak_lies == "above"


def test_rule_9_put_back_after_half_if_one_lasts_and_the_other_is_gone():
    verdict = judge_label(
        CASE_1, WATER, FACTS, units=2, half_lives={"metronidazole": (1e6, 1e6), "praziquantel": (1e-3, 1e-3)}
    )
    back = {p.substance: p.units_likely for p in verdict.put_back.parts}
    assert back["metronidazole"] == pytest.approx(1, abs=0.001)
    assert back["praziquantel"] == pytest.approx(2)
    assert verdict.holds_together == "no"


def test_each_choice_says_what_it_does_to_the_other():
    verdict = judge_label(
        CASE_1, WATER, FACTS, units=2, half_lives={"metronidazole": (1e6, 1e6), "praziquantel": (1e-3, 1e-3)}
    )
    by = {c.by: c.levels for c in verdict.put_back.choices}
    assert by["metronidazole"]["praziquantel"] == pytest.approx(80 / 63, rel=0.001)
    assert by["praziquantel"]["metronidazole"] == pytest.approx(3 * 240 / 63, rel=0.001)


def test_not_known_half_lives_are_said_to_be_not_known():
    verdict = judge_label(
        CASE_1, WATER, FACTS, units=2, half_lives={"metronidazole": None, "praziquantel": None}
    )
    assert verdict.holds_together == "not known"


def test_parts_that_fade_alike_stay_together():
    same = {"metronidazole": (100.0, 100.0), "praziquantel": (100.0, 100.0)}
    assert judge_label(CASE_1, WATER, FACTS, units=2, half_lives=same).holds_together == "yes"


def test_rule_5_no_number_of_sachets_will_do_with_fry_about():
    """0.79 sachet holds praziquantel at 1.0 and leaves metronidazole at 3.0, under anything that worked."""
    verdict = judge_label(CASE_1, WATER, FACTS, units=2, limits=limits_of(CASE_1, PLATIES, SHRIMP))
    ratio = verdict.fixed_ratio
    assert ratio.most == pytest.approx(0.79, abs=0.005)
    assert ratio.most * 240 / 63 == pytest.approx(3.0, abs=0.02)
    assert ratio.least > ratio.most
    reason = next(r for r in verdict.refusals if r.kind == "fixed-ratio")
    assert "metronidazole" in reason.would_change
    assert any("fry" in who for who in reason.who)


def test_rule_16_over_the_ceiling_is_refused():
    """Four sachets reach 15.2 mg/L with the first dose; above 15 we refuse."""
    verdict = judge_label(CASE_1, WATER, FACTS, units=4)
    assert any(r.kind == "ceiling-refuse" for r in verdict.refusals)


def test_water_that_is_known_badly_gives_levels_that_are_known_badly():
    level = part(judge_label(CASE_1, WATER, FACTS, units=1), "metronidazole").per_dose
    assert level.low == pytest.approx(240 / 66)
    assert level.high == pytest.approx(240 / 60)


@given(units=st.floats(0.1, 5), hours=st.floats(1, 1000), change=st.floats(0, 1), doses=st.integers(1, 12))
def test_fading_never_gives_more_than_lasting(units, hours, change, doses):
    rule = LabelRule(units=1, per_volume_l=40, repeat_after_h=48, change_before=change, most_doses=doses)
    supply = Supply(id="x", name="x", unit="sachet", actives=CASE_1.actives, rule=rule)
    spans = {a.substance: (hours, hours * 2) for a in supply.actives}
    for p in judge_label(supply, WATER, FACTS, units=units, half_lives=spans).parts:
        assert all(f <= lasts * (1 + 1e-9) for f, lasts in zip(p.fading, p.lasting, strict=True))
        assert p.lasting[-1] <= p.tends_lasting or math.isclose(p.lasting[-1], p.tends_lasting)


def half_life(substance, **more):
    return half_life_span(FACTS.substances[substance], **more)


def test_half_lives_are_shorter_in_warm_water_and_longer_in_cool():
    """Methylene blue, theta 1.03 to 1.09: at 28 C between 1.27 and 1.99 times as fast as at 20."""
    short, long = half_life("methylene_blue")
    warm = half_life("methylene_blue", temp_c=Estimate.exact(28.0))
    assert (short / warm[0], long / warm[1]) == (approx(1.09**8), approx(1.03**8))
    cool = half_life("methylene_blue", temp_c=Estimate.exact(15.0))
    assert cool[0] > short and cool[1] > long


def test_light_for_half_the_day_adds_half_its_rate():
    """Fades in light with 24 to 150 h: 12 h of it a day halve that rate."""
    short, long = half_life("methylene_blue")
    lit = half_life("methylene_blue", light_h=12.0)
    assert 1 / lit[0] == approx(1 / short + 0.5 / 24)
    assert 1 / lit[1] == approx(1 / long + 0.5 / 150)


def test_the_label_is_judged_in_this_tanks_warmth():
    cold = judge_label(CASE_1, WATER, FACTS, units=2, temp_c=Estimate.exact(18.0))
    warm = judge_label(CASE_1, WATER, FACTS, units=2, temp_c=Estimate.exact(29.0))
    for mild, hot in zip(cold.parts, warm.parts, strict=True):
        assert hot.kept.likely < mild.kept.likely
        assert hot.per_dose == mild.per_dose
