"""Cases 1 to 3 worked by an expert, as far as remedies and courses answer them. Invented tanks."""

import pytest
from msgspec.structs import replace

from tankward.judge.first_aid import dechlorinator
from tankward.judge.urgent import Told, urgent
from tankward.quantities.faults import Refused
from tankward.quantities.parse import Estimate
from tankward.treat.amounts.calc.food import whole_packets
from tankward.treat.amounts.fading import peaks, tends_to
from tankward.treat.amounts.food import FoodPlan, food_as_fed, medicated_food
from tankward.treat.course.make import make_course
from tankward.treat.label import judge_label
from tankward.treat.remedies.options import options
from tests.treat.tanks import EXPERT, FACTS, NOW, case_1, case_2, lawful, sachet

approx = pytest.approx


def course(request, substance, route, **more):
    return make_course(request, substance, route, facts=FACTS, start=NOW, now=NOW, **more)


def refusal(request, substance, route, **more):
    with pytest.raises(Refused) as stopped:
        course(request, substance, route, **more)
    return stopped.value.reasons


def open_here(request, *causes, **more):
    given = {"volume_l": request.volume_l, "water": request.water, "region": "UK"} | more
    return options(causes, request.stock, FACTS, **given)


# Case 1: thin livebearers


def test_case_1_worms_seen_levamisole_by_weight():
    """2 mg/L for 24 h in 63 L is 126 mg; half change and siphon after; after 14 to 21 d less what is left."""
    found = course(case_1(causes=("camallanus",)), "levamisole", "water_long", regimen_id="bath")
    doses = [s for s in found.steps if s.kind == "dose"]
    first, second = (d.act.actives["levamisole"] for d in doses)
    assert first == approx(126.0, rel=0.01)
    left = next(h for h in doses[1].amount.how if h.step == "still in, levamisole")
    assert 0.0 < left.value < 0.2 and left.inputs == {"share": 0.5}
    assert second == approx(126.0 - left.value * 63.0, rel=0.01)
    assert 14 <= (doses[1].at - doses[0].at).days <= 21
    after = [s.kind for s in found.steps if s.at == doses[0].at.replace(day=15)]
    assert after == ["siphon", "dechlorinate", "change", "carbon-in"]


def test_case_1_the_sachet_does_not_touch_the_worms():
    found = open_here(case_1(), "camallanus", shelf=(lawful(),))
    assert "metronidazole_praziquantel" not in {o.substance for o in found.open}


@pytest.mark.parametrize(("units", "m", "p"), [(1, 3.8, 1.3), (1.5, 5.7, 1.9), (2, 7.6, 2.5)])
def test_case_1_what_so_many_sachets_make(units, m, p):
    """240 and 80 mg each in 63 L."""
    found = judge_label(lawful(), Estimate.exact(63.0), FACTS, units=units)
    assert [round(part.per_dose.value, 1) for part in found.parts] == [m, p]


def test_case_1_one_and_a_half_sachets_let_both_parts_work():
    """Fry said not to be there: 1 1/2 sachets, 5.7 + 1.9 mg/L."""
    request = case_1(not_there=("fry",), shelf=(lawful(),))
    found = course(request, "metronidazole_praziquantel", "water_long", region="UK", units=1.5)
    first = found.doses[0]
    assert first.units == 1.5
    assert [round(a.level.value, 1) for a in first.actives] == [5.7, 1.9]
    assert found.statement.stated_on == "2026-05-01"
    assert any(line.region == "UK" for line in found.statement.law)


def test_case_1_with_fry_no_number_of_sachets_will_do():
    reasons = refusal(case_1(shelf=(lawful(),)), "metronidazole_praziquantel", "water_long")
    ratio = next(r for r in reasons if r.kind == "fixed-ratio")
    assert "metronidazole" in ratio.would_change


def test_case_1_not_held_lawfully_gives_no_amounts():
    reasons = refusal(case_1(shelf=(sachet(),)), "metronidazole_praziquantel", "water_long")
    assert {r.kind for r in reasons} == {"use-vet"}


def test_case_1_the_label_repeated_blindly():
    """Two sachets, half changed, nothing lost: 7.6 to 14.3 towards 15.2; and 2.5 to 4.8 towards 5.1."""
    for mg, printed, end in ((480, (7.6, 11.4, 13.3, 14.3), 15.2), (160, (2.5, 3.8, 4.4, 4.8), 5.1)):
        level = mg / 63.0
        assert tuple(round(x, 1) for x in peaks(level, 0.5, 4)) == printed
        assert round(tends_to(level, 0.5), 1) == end


def test_case_1_following_the_label_is_refused():
    request = case_1(not_there=("fry",), shelf=(lawful(),))
    reasons = refusal(request, "metronidazole_praziquantel", "water_long", own_rule=True)
    assert reasons


def test_case_1_after_half_one_packet_cannot_hold_both():
    """Two sachets, half changed: metronidazole lasting wants 1, praziquantel gone wants 2."""
    found = judge_label(lawful(), Estimate.exact(63.0), FACTS, units=2).put_back
    by = {p.substance: p for p in found.parts}
    assert by["metronidazole"].units_lasting == approx(1.0)
    assert by["praziquantel"].units_gone == approx(2.0)


def test_case_1_the_plan_says_when_the_packet_can_no_longer_hold_both():
    request = case_1(not_there=("fry",), shelf=(lawful(),))
    found = course(request, "metronidazole_praziquantel", "water_long")
    assert found.put_back[-1].apart
    assert "packet-apart" in {r.kind for r in found.cautions}
    assert max(d.peaks["metronidazole"].value for d in found.doses) < 7.0


def test_case_1_food_first_one_sachet_in_48_g():
    """8.3 g of fish, 50 mg/kg/day: 0.42 mg a day in 83 mg of dry food; a sachet in 48 g, or 180 g of gel."""
    dry = 0.075
    plan = FoodPlan(
        dose_mg_kg_day=50,
        biomass_g=8.3,
        ration=0.01,
        ration_low=0.005,
        ration_high=0.015,
        days=5,
        dry_moisture=dry,
    )
    found = medicated_food(plan)
    assert found.active_mg_day == approx(0.42, abs=0.005)
    assert found.dry_food_g_day == approx(0.083)
    assert whole_packets(found, 240).batch_g == approx(48.0)
    assert food_as_fed(48.0, dry, 0.75) == approx(180.0, rel=0.02)


def test_case_1_the_food_course_takes_one_whole_sachet():
    found = course(case_1(shelf=(lawful(),)), "metronidazole", "feed", supply=lawful())
    assert found.recipe.packets == 1
    assert found.recipe.food.batch_g == approx(48.0)
    assert (found.recipe.food.dose_low, found.recipe.food.dose_high) == (approx(25.0), approx(75.0))
    assert sum(s.kind == "feed" for s in found.steps) == 5
    assert "food-only-while-they-eat" in {r.kind for r in found.cautions}


def test_case_1_a_sachet_in_two_grams_is_24_times_too_strong():
    """240 mg in 2 g is 120 mg/g; eaten at 1 % that is 1200 mg/kg/day, 24 times the published 50."""
    reasons = refusal(case_1(shelf=(lawful(),)), "metronidazole", "feed", supply=lawful(), level=1200.0)
    assert "24 times" in reasons[0].because


def test_case_1_ramshorns_and_catfish_are_never_called_safe():
    found = course(case_1(causes=("camallanus",)), "levamisole", "water_long", regimen_id="bath")
    said = {v.limit.who: v.says for v in found.bears}
    assert said["cherry shrimp"] != "bears"
    assert said["ramshorn snails"] != "bears"


# Case 2: white grains, shrimp, loaches


def test_case_2_ruled_out_and_visible():
    found = open_here(case_2(), "white_spot", people=EXPERT)
    out = {r.substance: r for r in found.ruled_out if not r.id.endswith("/tub")}
    assert "cherry shrimp" in out["copper"].who
    assert {"cherry shrimp", "kuhli loaches"} <= set(out["sodium_chloride"].who)
    assert "cherry shrimp" in out["malachite_green"].who
    assert "cherry shrimp" in out["formalin"].who
    assert "kuhli loaches" in out["heat"].who


def test_case_2_fish_out_comes_first():
    first = open_here(case_2(), "white_spot", people=EXPERT).open[0]
    assert first.id == "fish_out"
    figures = {f.id: f.high for f in first.figures}
    assert (figures["empty_days"], figures["move_every_h"], figures["moves"]) == (14.0, 12.0, 15.0)


def test_case_2_salt_would_be_116_g():
    """2 g/L in 58 L; in a tub of 10 L without loaches 20 g, raised in two steps."""
    assert 2.0 * 58 == 116.0
    found = course(case_2(), "sodium_chloride", "water_long", regimen_id="ich", place="tub", tub_l=10.0)
    raised = [s for s in found.steps if s.kind == "dose"]
    assert [s.act.actives["sodium_chloride"] for s in raised] == [10_000.0, 15_000.0]  # half was changed
    assert (raised[1].at - raised[0].at).total_seconds() == 24 * 3600  # over 24 to 48 h
    assert {v.limit.who for v in found.bears} == {"harlequins"}


@pytest.mark.parametrize("substance", ["copper", "sodium_chloride", "malachite_green", "formalin"])
def test_case_2_in_the_tank_each_is_refused_whatever_the_dose(substance):
    """Never half-dosed: a tenth is refused too."""
    for level in (None, 0.01):
        reasons = refusal(case_2(people=EXPERT), substance, "water_long", level=level)
        assert any("cherry shrimp" in r.who for r in reasons)


def test_case_2_a_net_of_loaches_does_not_go_into_the_salt():
    reasons = refusal(
        case_2(), "sodium_chloride", "water_long", regimen_id="ich", place="tub", stock_ids=("kuhli loaches",)
    )
    assert reasons[0].who == ("kuhli loaches",)


# Case 3: everyone at the surface


def test_case_3_the_order_of_the_next_ten_minutes():
    told = Told(volume_l=Estimate.exact(45.0), untreated_tap=None, dosed=("unknown",))
    found = urgent(("gasping_surface",), told, FACTS)
    assert [s.act for s in found.steps][:4] == ["air", "stop", "dechlorinate", "change"]


def test_case_3_thiosulfate_for_the_whole_tank():
    """3 mg/L x 7 x 1.5 x 45 L = 1.4 g."""
    assert dechlorinator(Estimate.exact(45.0), FACTS).value == approx(1.4175)


def test_case_3_no_other_medicine_while_a_dose_is_in():
    request = replace(case_1(causes=("gill_flukes",)), still_in={"levamisole": 2.0})
    reasons = refusal(request, "praziquantel", "water_long", regimen_id="fluke_2x")
    assert "meets-separate" in {r.kind for r in reasons}
