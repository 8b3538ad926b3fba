"""Rules 19 and 20: water first, without deadlock; and a medicine that may have done it."""

import msgspec
import pytest

from tankward.judge.choices import NH3_CARE
from tankward.judge.finding import WORST
from tankward.judge.findings import findings, medicine_gate, readings_as_tests, room_findings, spares
from tankward.judge.network_of import network_of
from tankward.judge.water_findings import by_kind
from tankward.judge.waterstate import Dosed, Read, said_water
from tankward.quantities.parse import Estimate
from tankward.room.things import Reading
from tests.judge.tanks import FACTS, approx, group, thin_livebearers


def water(stock=(), volume_l=None, **values):
    given = [Reading(quantity=q, value=v) for q, v in values.items()]
    return said_water(given, FACTS, stock, volume_l)


def found(state, seen=()):
    return findings(state, FACTS, seen)


GOOD = {"ammonia_n": 0.0, "nitrite_n": 0.0, "ph": 7.4, "temp_c": 25.0}


def test_the_poisonous_part_of_ammonia_by_ph_and_temperature():
    """Emerson: 5.37 % at pH 8.0, 25 °C. 1 mg/L total is 0.054 mg/L as N; 0.1 mg/L total is 0.005."""
    bad = by_kind(found(water(ammonia_n=1.0, ph=8.0, temp_c=25.0)), "ammonia")
    assert bad.value == approx(0.0537, abs=0.0005)
    assert (bad.severity, bad.blocks_medicine, bad.cause) == ("caution", True, "ammonia")
    assert by_kind(found(water(ammonia_n=0.1, ph=8.0, temp_c=25.0)), "ammonia").severity == "fine"
    assert by_kind(found(water(ammonia_n=2.0, ph=8.0, temp_c=25.0)), "ammonia").severity == "danger"


def test_the_same_ammonia_in_acid_water_is_seen_but_does_not_block():
    acid = by_kind(found(water(ammonia_n=4.0, ph=6.0, temp_c=25.0)), "ammonia")
    assert acid.value == approx(0.0022, abs=0.0003)
    assert (acid.severity, acid.blocks_medicine) == ("caution", False)


def test_ammonia_without_ph_is_not_called_safe():
    state = water(ammonia_n=0.5, temp_c=25.0)
    unknown = by_kind(found(state), "ammonia")
    assert (unknown.severity, unknown.blocks_medicine, unknown.ask) == ("caution", True, "ph")


@pytest.mark.parametrize(
    ("value", "severity", "blocks"), [(0.2, "fine", False), (0.8, "caution", True), (2.0, "danger", True)]
)
def test_nitrite(value, severity, blocks):
    seen = by_kind(found(water(**{**GOOD, "nitrite_n": value})), "nitrite")
    assert (seen.severity, seen.blocks_medicine) == (severity, blocks)


def test_any_chlorine_is_danger_and_none_proves_little():
    assert by_kind(found(water(chlorine=0.1)), "chlorine").severity == "danger"
    none = by_kind(found(water(chlorine=0.0)), "chlorine")
    assert none.severity == "fine"
    assert "chloramine" in none.because


def test_oxygen_under_three_is_danger():
    assert by_kind(found(water(oxygen=2.5)), "low_oxygen").severity == "danger"
    assert by_kind(found(water(oxygen=4.5)), "low_oxygen").severity == "caution"
    assert by_kind(found(water(oxygen=7.5)), "low_oxygen").severity == "fine"


def test_rule_7_warmth_outside_a_residents_range_names_them_and_never_blocks():
    barbs = [group("cherry_barb", 18, "barbs")]
    near = by_kind(found(water(barbs, temp_c=29.0)), "temperature")
    assert (near.severity, near.who, near.blocks_medicine, near.cause) == (
        "caution",
        ("barbs",),
        False,
        "heat",
    )
    far = by_kind(found(water(barbs, temp_c=18.0)), "temperature")
    assert (far.severity, far.blocks_medicine, far.cause) == ("caution", False, "cold")
    assert medicine_gate(found(water(barbs, temp_c=18.0))).opens != "water-first"


def test_crowding_is_grams_of_fish_in_a_litre():
    many = [group("platy", 60, length_cm=Estimate.exact(4.0), sex="male")]
    crowd = by_kind(found(water(many, Estimate.exact(20.0))), "crowding")
    assert crowd.severity == "caution"
    assert crowd.value > 1.0
    some = [group("platy", 4, length_cm=Estimate.exact(4.0), sex="male")]
    assert by_kind(found(water(some, Estimate.exact(60.0))), "crowding").severity == "fine"


def test_a_reading_carries_the_error_of_its_kit():
    """0.5 as N is 0.608 as NH3, between the marks 0.5 and 1: one step of 0.5 either way is 0.411 as N."""
    read = water(ammonia_n=0.5).of("ammonia_n")
    assert (read.low, read.high) == approx((0.089, 0.911), abs=0.002)
    assert water(ammonia_n=0.0).of("ammonia_n").high == approx(0.2 / 1.2159, abs=0.001)
    assert (water(ph=7.4).of("ph").low, water(ph=7.4).of("ph").high) == approx((7.1, 7.7))


def test_a_range_that_was_given_is_kept():
    state = said_water([Reading(quantity="ammonia_n", value=0.5, low=0.4, high=0.6)], FACTS)
    assert (state.of("ammonia_n").low, state.of("ammonia_n").high) == (0.4, 0.6)


def test_worst_first():
    order = [
        WORST.index(f.severity) for f in found(water(thin_livebearers(), ammonia_n=3.0, ph=8.2, temp_c=25.0))
    ]
    assert order == sorted(order)


def test_rule_20_good_water_opens_the_gate():
    gate = medicine_gate(found(water(**GOOD)))
    assert (gate.opens, gate.reasons) == ("all", ())


def test_rule_20_without_a_reading_only_what_takes_no_oxygen_and_spares_the_filter():
    gate = medicine_gate(found(water()))
    assert gate.opens == "sparing"
    assert set(gate.unknown) == {"ammonia_n", "nitrite_n", "ph", "temp_c"}
    never = (
        "formalin",
        "copper",
        "potassium_permanganate",
        "malachite_green",
        "methylene_blue",
        "erythromycin",
    )
    assert not any(spares(s, FACTS) for s in never)
    assert all(spares(s, FACTS) for s in ("levamisole", "praziquantel", "metronidazole"))


def test_rule_20_an_old_reading_does_not_clear_the_water():
    state = water(**GOOD)
    aged = {q: msgspec.structs.replace(r, age_h=30.0) for q, r in state.read.items()}
    assert medicine_gate(found(msgspec.structs.replace(state, read=aged))).opens == "sparing"


def test_rule_20_bad_water_stands_before_a_medicine():
    gate = medicine_gate(found(water(**{**GOOD, "ammonia_n": 1.0, "ph": 8.0})))
    assert gate.opens == "water-first"
    assert [r.kind for r in gate.reasons] == ["water-ammonia"]
    assert gate.reasons[0].would_change


def test_rule_20_bad_water_and_a_sure_parasite_is_a_date_and_not_a_no():
    state = msgspec.structs.replace(
        water(**{**GOOD, "ammonia_n": 1.0, "ph": 8.0}), clear_in_h={"nh3_n": 20.0}
    )
    gate = medicine_gate(found(state), sure_parasite=True)
    assert (gate.opens, gate.until_h) == ("after-water", 20.0)
    assert by_kind(gate.blocked_by, "ammonia").limit == NH3_CARE.value == 0.02


def test_rule_19_a_dose_within_48_h_and_ill_fish_is_a_cause_of_its_own():
    state = msgspec.structs.replace(water(**GOOD), doses=(Dosed(substances=("formalin",), age_h=0.7),))
    blamed = by_kind(found(state, {"gasping_surface"}), "medicine-did-it")
    assert (blamed.severity, blamed.cause, blamed.blocks_medicine) == ("danger", "medicine_harm", True)
    assert by_kind(found(state, {"white_spots"}), "medicine-did-it") is None
    old = msgspec.structs.replace(state, doses=(Dosed(substances=("formalin",), age_h=60.0),))
    assert by_kind(found(old, {"gasping_surface"}), "medicine-did-it") is None


def test_readings_that_do_not_fit_are_a_finding_and_not_an_edit():
    odd = by_kind(found(msgspec.structs.replace(water(**GOOD), fits=False)), "readings-do-not-fit")
    assert odd.severity == "caution"


def test_the_forecast_warns_of_oxygen_that_nobody_measured():
    state = msgspec.structs.replace(water(**GOOD), ahead={"oxygen": Estimate(4.0, 2.0, 6.0)})
    low = by_kind(found(state), "low_oxygen")
    assert (low.severity, low.blocks_medicine, low.status) == ("caution", False, "computed")


def test_the_forecast_warns_of_ammonia_that_is_to_come():
    state = msgspec.structs.replace(water(**GOOD), ahead={"nh3_n": Estimate(0.06, 0.02, 0.2)})
    ahead = by_kind(found(state), "ammonia-ahead")
    assert (ahead.severity, ahead.blocks_medicine, ahead.limit) == ("caution", False, 0.02)
    assert by_kind(found(water(**GOOD)), "ammonia-ahead") is None


def test_readings_are_tests_for_the_water_causes():
    net = network_of(FACTS)
    results = {
        t.cause: t.positive for t in readings_as_tests(found(water(**{**GOOD, "nitrite_n": 2.0})), net)
    }
    assert results["nitrite"] is True
    assert results["ammonia"] is False
    assert "chlorine" not in results


def test_a_room_shows_its_worst_tank_first_and_no_fine_ones():
    well, bad = found(water(**GOOD)), found(water(**{**GOOD, "nitrite_n": 3.0}))
    shown = room_findings({"A": well, "B": bad})
    assert shown[0].kind == "nitrite"
    assert all(f.severity != "fine" for f in shown)


def test_the_age_of_a_reading_decides_whether_it_says_anything():
    state = msgspec.structs.replace(
        water(), read={"nitrite_n": Read(value=5.0, low=4.0, high=6.0, age_h=400.0)}
    )
    assert by_kind(found(state), "nitrite") is None
    assert by_kind(found(state), "nitrite-unknown").value == 5.0
