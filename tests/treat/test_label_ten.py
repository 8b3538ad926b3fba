"""The ten invented labels, each typed into fields as a keeper would, and what each really gives."""

import tomllib
from pathlib import Path

import pytest

from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate, Taste, quantity, ratio
from tankward.room.things import Active, LabelRule, Supply
from tankward.treat.amounts.bleach import thiosulfate_mg
from tankward.treat.amounts.calc.dosing import dose
from tankward.treat.amounts.calc.food import feed_dose
from tankward.treat.amounts.measure import measurable
from tankward.treat.amounts.net_bath import chlorine_binding
from tankward.treat.amounts.tools import COMMON_KIT
from tankward.treat.label import judge_label, units_by_label

FACTS = load()
FILE = Path(__file__).parent.parent / "data" / "labels.toml"
LABELS = {row["id"]: row for row in tomllib.loads(FILE.read_text(encoding="utf-8"))["label"]}
US = Taste(gallon="US")
ML_PER_L, DROPS_PER_L = 1000, 20_000


def expected(label, q):
    return next(e["value"] for e in LABELS[label]["expected"] if e["q"] == q)


def supply(unit, actives, rule=None, taste=US, **more):
    """`rule` as it is written: "1 sachet per 10 US gal"."""
    fields = {}
    if rule:
        read = ratio(rule, taste=taste)
        per_l = DROPS_PER_L if unit == "drop" else ML_PER_L
        units = read.amount * per_l if read.unit == "L" else read.amount
        fields = {"units": units, "per_volume_l": read.per}
    rows = tuple(Active(substance=s, mg=mg, form=form) for s, mg, form in actives)
    return Supply(id=unit, name="invented", unit=unit, actives=rows, rule=LabelRule(**fields, **more))


def levels(thing, volume_l=40.0, **more):
    verdict = judge_label(thing, Estimate.exact(volume_l), FACTS, **more)
    return {p.substance: p.per_dose.value for p in verdict.parts}


BLEND_A = supply(
    "sachet",
    [("metronidazole", 200, ""), ("acriflavine", 60, "")],
    "1 sachet per 10 US gal",
    repeat_after_h=48,
    change_before=0.5,
)


def test_a_sachet_with_two_actives():
    assert BLEND_A.rule.per_volume_l == pytest.approx(expected("blend_a", "volume per sachet"), abs=0.001)
    found = levels(BLEND_A)
    assert found["metronidazole"] == pytest.approx(expected("blend_a", "metronidazole"), abs=0.001)
    assert found["acriflavine"] == pytest.approx(expected("blend_a", "acriflavine"), abs=0.001)
    assert BLEND_A.rule.repeat_after_h == expected("blend_a", "repeat")
    assert BLEND_A.rule.change_before * 100 == expected("blend_a", "change before repeat")


def test_a_sachet_for_57_litres_comes_near_one_and_a_half():
    units = units_by_label(BLEND_A.rule, 57)
    assert units == pytest.approx(expected("blend_a", "for 57 L real volume"), abs=0.001)
    assert measurable(units, "sachet", COMMON_KIT, FACTS).amount == 1.5


def drops(per_ml):
    """Blend B by the drop: its strength is told per mL."""
    actives = [("malachite_green", 0.5 / per_ml, "oxalate"), ("formalin", 37 / per_ml, "")]
    return supply("drop", actives, "1 drop per 1 L", repeat_after_h=48, most_doses=5)


def test_drops_of_a_dye_and_formaldehyde():
    found = levels(drops(20))
    assert found["malachite_green"] == pytest.approx(expected("blend_b", "malachite green per dose"))
    assert found["formalin"] == pytest.approx(expected("blend_b", "formalin equivalent"))
    assert found["formalin"] * 0.37 == pytest.approx(expected("blend_b", "formaldehyde per dose"))


def test_drops_of_another_bottle_are_smaller():
    asked = "if this bottle gives 30 drops per mL: malachite green"
    assert levels(drops(30))["malachite_green"] == pytest.approx(expected("blend_b", asked), abs=0.0001)


def test_every_other_day_at_most_five():
    rule = drops(20).rule
    days = [1 + n * rule.repeat_after_h / 24 for n in range(rule.most_doses)]
    assert days == expected("blend_b", "days")


BLEND_C = supply(
    "mL", [("praziquantel", 20, "")], "5 mL per 40 L", repeat_after_h=48, change_before=0.0, most_doses=3
)


def test_a_liquid_dosed_three_times_without_a_change():
    verdict = judge_label(BLEND_C, Estimate.exact(40), FACTS)
    assert verdict.parts[0].per_dose.value == pytest.approx(expected("blend_c", "per dose"))
    assert verdict.parts[0].lasting[-1] == pytest.approx(expected("blend_c", "sum if nothing is lost"))
    assert verdict.parts[0].tends_lasting == float("inf")
    days = [1 + n * verdict.every_h / 24 for n in range(verdict.doses)]
    assert days == expected("blend_c", "days")


def test_a_liquid_for_63_litres():
    units = units_by_label(BLEND_C.rule, 63)
    assert units == pytest.approx(expected("blend_c", "for 63 L, per dose"))
    assert int(250 // units) == expected("blend_c", "doses in the bottle at 63 L")


BLEND_D = supply(
    "tablet", [("levamisole", 40, "levamisole hydrochloride")], "1 tablet per 20 L", repeat_after_h=14 * 24
)


def test_a_tablet_of_a_salt_says_what_the_base_is():
    part = judge_label(BLEND_D, Estimate.exact(54), FACTS).parts[0]
    assert part.per_dose.value == pytest.approx(expected("blend_d", "levamisole HCl"))
    assert part.base_per_dose == pytest.approx(expected("blend_d", "levamisole base"), abs=0.001)


def test_tablets_for_54_litres_are_halved():
    units = units_by_label(BLEND_D.rule, 54)
    assert units == pytest.approx(expected("blend_d", "for 54 L"))
    found = measurable(units, "tablet", COMMON_KIT, FACTS)
    assert found.amount == 2.5
    assert round(100 * (found.factor - 1)) == -7
    assert BLEND_D.rule.repeat_after_h / 24 == expected("blend_d", "repeat")


def test_a_powder_of_five_and_a_half_per_cent():
    given = {"level": "60 mg/L", "strength": "5.5 %"}
    one = next(n for n in dose.run({**given, "volume": "1 L"}).also)
    tub = next(n for n in dose.run({**given, "volume": "15 L"}).also)
    assert one.value / 1000 == pytest.approx(expected("blend_e", "powder for 1 L"), abs=0.0001)
    assert tub.value / 1000 == pytest.approx(expected("blend_e", "powder for 15 L hospital tub"), abs=0.01)
    scoops = tub.value / 1000 / LABELS["blend_e"]["scoop_g"]
    assert scoops == pytest.approx(expected("blend_e", "scoops for 15 L"), abs=0.005)


def test_the_same_powder_in_food():
    mg_per_kg = 2 * LABELS["blend_e"]["scoop_g"] * 55 / 100 * 1000
    assert mg_per_kg == pytest.approx(expected("blend_e", "active in feed"))
    given = feed_dose.run({"strength": f"{mg_per_kg} mg/kg", "ration": "2%"})
    assert given.value == pytest.approx(expected("blend_e", "oral dose if fish eat 2 percent"))


def copper(taste, tsp_ml):
    """Blend F by the teaspoon, on 30 gallons of either kind."""
    litres = quantity("30 gal", "volume", taste=taste).value
    rule = LabelRule(units=tsp_ml, per_volume_l=litres)
    actives = (Active(substance="copper", mg=16, form="pentahydrate"),)
    return Supply(id="f", name="invented", unit="mL", actives=actives, rule=rule)


def test_a_gallon_alone_is_asked_about():
    with pytest.raises(BadInput, match="US gal or imp gal"):
        ratio("1 tsp per 30 gal")


@pytest.mark.parametrize(
    ("gallon", "tsp_ml", "q"),
    [("US", 4.92892, "US tsp and US gal"), ("imp", 5.0, "metric tsp and imperial gal")],
)
def test_copper_as_copper(gallon, tsp_ml, q):
    part = judge_label(copper(Taste(gallon=gallon), tsp_ml), Estimate.exact(60), FACTS).parts[0]
    assert part.base_per_dose == pytest.approx(expected("blend_f", q), abs=0.0002)


def test_salt_by_its_two_wordings():
    """6 g per US gallon and a rounded tablespoon (20 to 25 g) per five disagree by a third."""
    tsp = supply("g", [("sodium_chloride", 995, "")], "6 piece per 1 US gal")
    assert levels(tsp)["sodium_chloride"] / 1000 == pytest.approx(
        expected("blend_g", "level tsp per US gal at 6 g"), abs=0.001
    )
    tbsp = [levels(supply("g", [("sodium_chloride", 995, "")], f"{g} piece per 5 US gal")) for g in (20, 25)]
    assert [t["sodium_chloride"] / 1000 for t in tbsp] == pytest.approx(
        expected("blend_g", "rounded tbsp per 5 US gal at 20-25 g"), abs=0.001
    )


def test_a_conditioner_whose_hydrate_is_not_stated():
    """25 mg/L binds 3.57 mg/L of chlorine if it is the pentahydrate, 5.61 if it is not."""
    thing = supply("mL", [("sodium_thiosulfate", 100, "")], "10 mL per 40 L")
    level = levels(thing)["sodium_thiosulfate"]
    assert level == pytest.approx(expected("blend_h", "thiosulfate"))
    per_chlorine = thiosulfate_mg(1.0, chlorine_binding(FACTS)[0])
    assert level / per_chlorine == pytest.approx(
        expected("blend_h", "chlorine neutralised if pentahydrate (7 mg per mg)"), abs=0.005
    )
    form = next(f for f in FACTS.substances["sodium_thiosulfate"].form)
    anhydrous = level / (per_chlorine * form.active_fraction)
    assert anhydrous == pytest.approx(expected("blend_h", "if anhydrous (4.46 mg per mg)"), abs=0.01)


def test_a_label_without_actives_can_not_be_judged():
    thing = Supply(id="i", name="invented", unit="tablet", rule=LabelRule(units=1, per_volume_l=50))
    verdict = judge_label(thing, Estimate.exact(50), FACTS)
    assert not verdict.known
    assert [r.kind for r in verdict.refusals] == ["no-actives"]
    assert verdict.by_label == 1


def test_a_bath_by_the_gram():
    thing = supply("sachet", [("chloramine_t", 5000, "trihydrate")])
    assert pytest.approx(expected("blend_j", "litres per sachet at 15 mg/L"), abs=0.1) == 5000 / 15
    assert thing.rule.per_volume_l is None
    assert [r.kind for r in judge_label(thing, Estimate.exact(12), FACTS).refusals] == ["no-rule"]


@pytest.mark.parametrize(
    ("level", "q"), [("15 mg/L", "for a 12 L tub"), ("10 mg/L", "soft water dose for 12 L")]
)
def test_a_tub_of_12_litres_wants_a_stock_bottle(level, q):
    mg = dose.run({"level": level, "volume": "12 L"}).value
    assert mg / 1000 == pytest.approx(expected("blend_j", q))
    found = measurable(mg, "mg", COMMON_KIT, FACTS, FACTS.substances["chloramine_t"])
    assert (found.batch.kind, found.batch.take, found.batch.into_ml) == ("stock", 1000, 100)
    assert found.batch.portion_ml == pytest.approx(mg / 10, abs=0.5)
