"""Baths, bottles, bleach, nets; and the numbers of the expert cases that are amounts."""

import pytest

from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, Refused
from tankward.treat.amounts.bleach import bleach_ml, thiosulfate_mg
from tankward.treat.amounts.calc.bath import bath
from tankward.treat.amounts.calc.bleach import bleach
from tankward.treat.amounts.calc.dosing import dose
from tankward.treat.amounts.calc.fading import build_up, dilute_out, half_life, wash_out
from tankward.treat.amounts.calc.stock import dilute, stock_solution
from tankward.treat.amounts.formalin import formaldehyde_mg_l, oxygen_taken_mg_l
from tankward.treat.amounts.net_bath import (
    MYCOBACTERIA,
    WASTING,
    WORM_EGGS,
    chlorine_binding,
    germ_of,
    net_plan,
)

FACTS = load()
FIVE_PERCENT = 50_000.0


def also(answer, name):
    return next(n for n in answer.also if n.name == name)


def test_levamisole_as_hydrochloride_or_as_base():
    """Case 1: 126 mg as the hydrochloride; 148 mg of it if the base was meant."""
    answer = dose.run({"level": "2 mg/L", "volume": "63 L", "substance": "levamisole"})
    assert answer.value == pytest.approx(126)
    assert also(answer, "as levamisole hydrochloride, if the level means the base").value == pytest.approx(
        148, abs=0.6
    )


def test_copper_is_counted_as_its_salt_and_never_multiplied():
    """2 mg/L is 2 mg/L of the pentahydrate: no second amount four times as large stands beside it."""
    answer = dose.run({"level": "2 mg/L", "volume": "50 L", "substance": "copper"})
    assert answer.also == ()
    assert any("copper sulfate pentahydrate" in a for a in answer.assumes)


def test_salt_for_58_litres():
    """Case 2: 2 g/L is 116 g."""
    assert dose.run({"level": "2 g/L", "volume": "58 L"}).value == pytest.approx(116_000)


def test_formalin_for_58_litres():
    """Case 2: 15 µL/L is 0.87 mL and takes 3 mg/L of oxygen."""
    answer = dose.run({"level": "15 uL/L", "volume": "58 L", "substance": "formalin"})
    assert also(answer, "of the liquid").value == pytest.approx(0.87)
    assert oxygen_taken_mg_l(15) == 3
    assert any("3 mg/L of oxygen" in c for c in answer.cautions)
    assert answer.value == pytest.approx(15 * 0.37 * 58)


def test_formaldehyde_is_not_formalin():
    """FORMLBL prints 455 mg/L of formaldehyde for 1230 µL/L of formalin."""
    assert formaldehyde_mg_l(1230) == pytest.approx(455, abs=0.5)


def test_thiosulfate_for_the_whole_tank():
    """Case 3: 3 mg/L × 7 × 1.5 for 45 L is 1.4 g."""
    per_mg, source, status = chlorine_binding(FACTS)
    assert (source, status) == ("DECHLLAB", "published-read")
    assert round(thiosulfate_mg(3 * 45, per_mg, 1.5) / 1000, 1) == 1.4


def test_bleach_for_winding_down():
    """Case 5: 63 L at 200 mg/L is 252 mL of 5 %, then 88 g of thiosulfate."""
    answer = bleach.run({"strength": "5%", "target": "200 mg/L", "volume": "63 L"})
    assert answer.value == pytest.approx(252)
    assert round(also(answer, "thiosulfate pentahydrate after").value / 1000) == 88


def test_weak_bleach_says_what_it_does_to_worm_eggs():
    weak = bleach.run({"strength": "5%", "target": "200 mg/L", "volume": "1 L"})
    strong = bleach.run({"strength": "5%", "target": "3000 mg/L", "volume": "1 L"})
    assert any("worm eggs" in c for c in weak.cautions)
    assert not any("worm eggs" in c for c in strong.cautions)


def test_bleach_never_goes_into_water_with_animals():
    with pytest.raises(Refused) as no:
        dose.run({"level": "1 mg/L", "volume": "50 L", "substance": "sodium hypochlorite"})
    assert no.value.reasons[0].kind == "never-with-animals"


def test_rule_24_worm_eggs_want_heat_or_sixty_millilitres_a_litre():
    plan = net_plan(WORM_EGGS, FACTS, FIVE_PERCENT)
    heat, chlorine = plan.baths
    assert (heat.substance, heat.low, heat.high, heat.minutes_high) == ("heat", 50, 60, 30)
    assert (chlorine.high, chlorine.minutes_high, chlorine.bleach_ml_l) == (3000, 10, pytest.approx(60))
    assert plan.own_net


def test_rule_24_wasting_without_a_cause_is_taken_as_the_worst():
    assert germ_of(("camallanus", "mycobacteriosis", "hexamita")) == WASTING
    assert germ_of(("hexamita",)) == "general"
    assert germ_of(("mycobacteriosis",)) == MYCOBACTERIA
    assert net_plan(WASTING, FACTS, FIVE_PERCENT).own_net


def test_rule_24_bleach_alone_is_not_sure_against_mycobacteria():
    plan = net_plan(MYCOBACTERIA, FACTS, FIVE_PERCENT)
    assert plan.all_of
    assert [b.sure for b in plan.baths] == [False, True]
    assert plan.baths[-1].substance == "ethanol"


@pytest.mark.parametrize("times", [10, 100])
def test_rule_10_holds_for_water_too_far_over_the_published_level_is_refused(times):
    """Praziquantel is published up to 10 mg/L."""
    with pytest.raises(Refused) as no:
        dose.run({"level": f"{10 * times} mg/L", "volume": "50 L", "substance": "praziquantel"})
    assert no.value.reasons[0].kind == "over-published"
    assert no.value.reasons[0].would_change


def test_rule_16_metronidazole_warns_above_7_and_refuses_above_15():
    warned = dose.run({"level": "8 mg/L", "volume": "50 L", "substance": "metronidazole"})
    assert any("Above 7 mg/L" in c for c in warned.cautions)
    with pytest.raises(Refused) as no:
        dose.run({"level": "15.1 mg/L", "volume": "50 L", "substance": "metronidazole"})
    assert no.value.reasons[0].kind == "ceiling"


def test_rule_30_what_a_veterinarian_orders_is_said_to_be_so():
    answer = dose.run({"level": "5 mg/L", "volume": "50 L", "substance": "metronidazole"})
    assert any("veterinarian" in c for c in answer.cautions)
    assert dose.run({"level": "1 mg/L", "volume": "50 L", "substance": "praziquantel"}).source_keys()


@pytest.mark.parametrize("one", [s.id for s in FACTS.substances.values() if s.use == "hazard"])
def test_a_hazard_is_refused_whatever_the_amount(one):
    with pytest.raises(Refused) as no:
        dose.run({"level": "0.001 mg/L", "volume": "50 L", "substance": one})
    assert no.value.reasons[0].because


def test_a_substance_that_is_not_known_is_refused_by_name():
    with pytest.raises(BadInput, match="moonwater"):
        dose.run({"level": "1 mg/L", "volume": "50 L", "substance": "moonwater"})


def test_a_bath_tells_its_minutes_and_what_stops_it():
    answer = bath.run({"level": "12 mg/L", "volume": "12 L", "substance": "chloramine-T"})
    assert answer.value == pytest.approx(144)
    assert also(answer, "minutes").value == 60
    assert any("gasping" in c for c in answer.cautions)
    assert any("half of it: 30 min" in c for c in answer.cautions)


def test_a_bath_longer_than_published_is_said_to_be():
    answer = bath.run({"level": "12 mg/L", "volume": "12 L", "substance": "chloramine-T", "minutes": "90"})
    assert any("Longer than" in c for c in answer.cautions)


def test_a_bath_of_unknown_time_is_not_given_one():
    answer = bath.run({"level": "12 mg/L", "volume": "12 L"})
    assert also(answer, "minutes").value is None


def test_stock_solution_of_the_leaflet():
    """FA37: 285 g in a US gallon; 1 mL treats 10 US gallons at 2 mg/L."""
    answer = stock_solution.run(
        {"level": "2 mg/L", "volume": "10 US gal", "portion": "1 mL", "bottle": "1 US gal"}
    )
    assert answer.value / 1000 == pytest.approx(285, rel=0.01)


def test_what_does_not_dissolve_is_refused_with_the_bottle_that_would_do():
    """Praziquantel, 0.4 g/L: ten doses of 126 mg want 3.2 L."""
    with pytest.raises(Refused) as no:
        stock_solution.run(
            {
                "level": "2 mg/L",
                "volume": "63 L",
                "portion": "10 mL",
                "bottle": "100 mL",
                "substance": "praziquantel",
            }
        )
    assert no.value.reasons[0].kind == "solubility"
    assert "3.2 L" in no.value.reasons[0].would_change


def test_a_portion_larger_than_its_bottle():
    with pytest.raises(BadInput, match="portion"):
        stock_solution.run({"level": "2 mg/L", "volume": "63 L", "portion": "200 mL", "bottle": "100 mL"})


def test_dilute_a_concentrate():
    answer = dilute.run({"strength": "10%", "target": "1%", "make": "1 L"})
    assert (answer.value, also(answer, "water").value) == (pytest.approx(100), pytest.approx(900))


def test_nothing_is_diluted_to_more_than_it_was():
    with pytest.raises(BadInput, match="target"):
        dilute.run({"strength": "1%", "target": "5%", "make": "1 L"})


def test_three_halves_leave_an_eighth():
    assert also(
        wash_out.run({"start": "2 mg/L", "changes": "50%,50%,50%"}), "share left"
    ).value == pytest.approx(12.5)


def test_fading_between_changes_counts():
    """A half-life from change to change: half, then a quarter of that again."""
    answer = wash_out.run({"start": "8 mg/L", "changes": "50%,50%", "half-life": "24 h", "every": "1 day"})
    assert answer.value == pytest.approx(1.0)


def test_a_wait_is_asked_for():
    with pytest.raises(BadInput, match="every"):
        wash_out.run({"start": "8 mg/L", "changes": "50%,50%", "half-life": "24 h"})


def test_rule_18_start_over_two_to_the_n():
    answer = dilute_out.run({"level": "16 mg/L", "target": "1 mg/L", "change": "50%"})
    assert answer.value == 4
    assert [n.value for n in answer.also] == pytest.approx([8, 4, 2, 1])


def test_build_up_doubles_with_half_changed():
    answer = build_up.run({"level": "2 mg/L", "change": "50%", "every": "48 h", "doses": "30"})
    assert also(answer, "tends to").value == pytest.approx(4)
    assert answer.value == pytest.approx(4, rel=1e-6)


def test_build_up_without_a_change_has_no_end():
    answer = build_up.run({"level": "2.5 mg/L", "change": "0%", "every": "48 h", "doses": "3"})
    assert answer.value == pytest.approx(7.5)
    assert also(answer, "tends to").value is None


def test_two_and_a_half_doses_are_not_a_number_of_doses():
    with pytest.raises(BadInput, match="whole number"):
        build_up.run({"level": "2 mg/L", "change": "50%", "every": "48 h", "doses": "2.5"})


def test_half_life_of_trichlorfon():
    """KIM05: 0.7 % left after 96 h is a half-life of 13.4 h."""
    assert half_life.run({"share": "0.7%", "time": "96 h"}).value == pytest.approx(13.4, abs=0.05)


def test_litres_of_bleach_scale_with_the_bottle():
    assert bleach_ml(FIVE_PERCENT, 200, 1) == pytest.approx(2 * bleach_ml(2 * FIVE_PERCENT, 200, 1))
