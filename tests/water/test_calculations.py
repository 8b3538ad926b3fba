"""What a keeper may ask of the chemistry: figures worked out by hand, and what is said beside them."""

from __future__ import annotations

import msgspec
import pytest

from tankward.desk.calculations import CALCULATIONS
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, Refused
from tests.water.ask import also, ask

SALT = {"nitrite": "1 mg/L", "as_": "NO2", "chloride": "0 mg/L", "volume": "100 L"}
EXAMPLES = {
    "ammonia": {"reading": "1 mg/L", "as_": "N", "ph": "8.0", "temp": "25C"},
    "ammonia-criterion": {"ph": "7", "temp": "20C"},
    "ammonia-made": {
        "food": "1 g", "protein": "40%", "volume": "100 L", "ph": "8", "temp": "25C", "days": "2 days",
    },
    "alkalinity-use": {"nitrogen": "2 mg/L"},
    "biomass": {"number": "10", "length": "3 cm", "animal": "guppy"},
    "buffer": {"rise": "1 dKH", "volume": "100 L"},
    "carbon-dioxide": {"ph": "7", "alkalinity": "5 dKH", "temp": "25C"},
    "convert": {"amount": "10 US gal", "to": "L"},
    "copper": {"alkalinity": "5 dKH", "volume": "100 L"},
    "dechlorinate": {"chlorine": "3 mg/L", "volume": "45 L", "chloramine": "yes"},
    "evaporation": {"length": "60cm", "width": "30cm", "temp": "26C", "air_temp": "21C", "humidity": "50%"},
    "hardness": {"rise": "1 dGH", "volume": "100 L"},
    "match-water": {"want": "25C", "hot": "55C", "cold": "10C", "volume": "9 L"},
    "mix-water": {"have": "12 dGH", "add": "4 dGH", "share": "25%"},
    "oxygen-saturation": {"temp": "25C", "altitude": "500 m"},
    "oxygen-use": {"animals": "18 cherry_barb 3.5cm; 30 cherry_shrimp", "temp": "25C"},
    "salinity": {"conductivity": "2 mS/cm", "temp": "22C"},
    "salt-for-nitrite": SALT,
    "volume": {"shape": "box", "length": "60cm", "width": "30cm", "fill": "30cm"},
    "volume-by-salt": {"salt": "10 g", "before": "500 uS/cm", "after": "850 uS/cm"},
}  # fmt: skip


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_answer_has_its_working_its_range_and_a_sentence(name):
    answer = ask(name, **EXAMPLES[name])
    assert answer.how
    assert answer.says
    assert answer.low <= answer.value <= answer.high
    assert answer.how[-1].value is not None


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_source_named_is_known(name):
    sources = load().sources
    calculation = CALCULATIONS[name]
    assert calculation.source == "none" or calculation.source in sources
    assert set(ask(name, **EXAMPLES[name]).source_keys()) <= set(sources)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_unit_is_the_one_that_is_listed(name):
    listed = CALCULATIONS[name].unit
    assert listed in {ask(name, **EXAMPLES[name]).unit, "as given", "as asked"}


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_answer_goes_out_as_data(name):
    assert msgspec.json.decode(msgspec.json.encode(ask(name, **EXAMPLES[name])))["value"] is not None


def test_the_poisonous_part_of_one_milligram():
    """FA16 prints 0.0537 at pH 8.0, 25 °C."""
    assert ask("ammonia", **EXAMPLES["ammonia"]).value == pytest.approx(0.0537, abs=5e-5)


def test_a_reading_as_nh3_is_less_nitrogen():
    """17.031 / 14.007 = 1.2159 mg NH3 for each mg N."""
    as_n = ask("ammonia", **EXAMPLES["ammonia"])
    as_nh3 = ask("ammonia", **{**EXAMPLES["ammonia"], "as_": "NH3"})
    assert as_n.value / as_nh3.value == pytest.approx(1.2159, abs=1e-4)


def test_salt_lowers_the_poisonous_part_and_never_the_limit():
    salted = ask("ammonia", **EXAMPLES["ammonia"], salinity="3 g/kg")
    fresh = ask("ammonia", **EXAMPLES["ammonia"])
    assert 0.80 < salted.value / fresh.value < 0.85
    assert salted.high == pytest.approx(fresh.value)
    assert any("without it" in c for c in salted.cautions)


def test_river_criteria_at_ph_7_and_20_degrees():
    """EPA 2013: 17 mg/L for an hour, 1.9 for a month."""
    answer = ask("ammonia-criterion", ph="7", temp="20C")
    assert answer.shown == "17 mg/L as N"
    assert also(answer, "a month's mean may reach") == pytest.approx(1.9, abs=0.05)


def test_criteria_stay_on_the_strict_side_of_what_is_published():
    assert (
        ask("ammonia-criterion", ph="6", temp="20C").value
        == ask("ammonia-criterion", ph="6.5", temp="20C").value
    )
    hot, warm = (ask("ammonia-criterion", ph="7", temp=t) for t in ("32C", "30C"))
    assert hot.value < warm.value
    assert hot.cautions != warm.cautions


def test_ammonia_from_food():
    """4 g of fish fed 3 % of 50 % protein in 28 L: 120 mg × 0.5 × 0.092 = 5.5 mg N, 0.20 mg/L a day."""
    answer = ask("ammonia-made", food="120 mg", protein="50%", volume="28 L", days="3 days")
    assert answer.value == pytest.approx(5.52)
    assert also(answer, "rise of total ammonia") == pytest.approx(0.197, abs=0.001)
    assert also(answer, "total ammonia after 3 days") == pytest.approx(0.591, abs=0.001)


def test_oxygen_falls_with_height():
    """Benson and Krause: 8.26 mg/L at 25 °C; 500 m takes 5.8 % of the pressure, and more of the oxygen."""
    sea, hill = ask("oxygen-saturation", temp="25C"), ask("oxygen-saturation", temp="25C", altitude="500 m")
    assert sea.value == pytest.approx(8.26, abs=0.01)
    assert hill.value / sea.value == pytest.approx(0.940, abs=0.003)


def test_carbon_dioxide_by_the_old_rule():
    """TUCKER84: factor 0.197 × alkalinity at pH 7.0, 25 °C, within 1.5 %."""
    answer = ask("carbon-dioxide", ph="7", alkalinity="100 mg/L CaCO3", temp="25C")
    assert answer.value == pytest.approx(19.7, rel=0.015)


def test_a_milligram_of_nitrogen_takes_four_tenths_of_a_degree():
    answer = ask("alkalinity-use", nitrogen="1 mg/L")
    assert answer.value == pytest.approx(7.146, abs=0.001)
    assert also(answer, "the same") == pytest.approx(0.40, abs=0.005)


def test_thirty_grams_of_bicarbonate_raise_a_cubic_metre_by_a_degree():
    assert ask("buffer", rise="1 dKH", volume="1000 L").value == pytest.approx(30.0, abs=0.05)


def test_salts_for_hardness():
    """One degree in 100 L: 2.62 g calcium chloride dihydrate or 4.40 g magnesium sulfate heptahydrate."""
    answer = ask("hardness", rise="1 dGH", volume="100 L")
    assert answer.value == pytest.approx(2.62, abs=0.005)
    assert also(answer, "or magnesium sulfate heptahydrate") == pytest.approx(4.40, abs=0.005)


@pytest.mark.parametrize(
    ("name", "written", "chosen"),
    [
        ("hardness", "Epsom salt", "magnesium_sulfate_heptahydrate"),
        ("hardness", "magnesium_sulfate", "magnesium_sulfate_heptahydrate"),
        ("hardness", "calcium chloride", "calcium_chloride_dihydrate"),
        ("buffer", "baking soda", "sodium_bicarbonate"),
        ("dechlorinate", "sodium_thiosulfate", "sodium_thiosulfate_pentahydrate"),
        ("dechlorinate", "Sodium Ascorbate", "sodium_ascorbate"),
    ],
)
def test_a_salt_may_be_called_by_its_plain_name(name, written, chosen):
    plain = {**EXAMPLES[name], "chloramine": "no"} if name == "dechlorinate" else EXAMPLES[name]
    assert ask(name, **plain, substance=written) == ask(name, **plain, substance=chosen)


def test_ten_parts_of_chloride_to_one_of_nitrite():
    """10 × 1 mg/L × 1.6486 × 100 L = 1.65 g; as N three times that."""
    as_ion, as_n = ask("salt-for-nitrite", **SALT), ask("salt-for-nitrite", **{**SALT, "as_": "N"})
    assert as_ion.value == pytest.approx(1.6486, abs=1e-3)
    assert as_n.value / as_ion.value == pytest.approx(3.284, abs=0.001)


def test_chloride_enough_needs_no_salt():
    answer = ask("salt-for-nitrite", **{**SALT, "chloride": "100 mg/L"})
    assert (answer.value, answer.says) == (0.0, "There is chloride enough: add no salt.")


def test_a_gram_of_salt_conducts_two_millisiemens():
    assert ask("salinity", conductivity="1990 uS/cm", temp="25C").value == pytest.approx(1.0, abs=0.005)
    assert also(ask("salinity", level="1 g/L", temp="25C"), "the meter shows") == pytest.approx(1990, abs=10)


def test_dechlorinating_a_tank():
    """3 mg/L × 45 L × 7.0 = 945 mg; half as much again 1.4 g. Chloramine leaves 0.59 mg/L of ammonia."""
    answer = ask("dechlorinate", chlorine="3 mg/L", volume="45 L", chloramine="yes")
    assert answer.value == pytest.approx(945, abs=0.5)
    assert also(answer, "with half as much again, as is usual") == pytest.approx(1418, abs=1)
    assert also(answer, "ammonia it frees in the new water") == pytest.approx(0.593, abs=0.001)


def test_ascorbic_acid_is_refused_for_chloramine():
    with pytest.raises(Refused) as refusal:
        ask("dechlorinate", chlorine="3 mg/L", volume="45 L", chloramine="yes", substance="ascorbic_acid")
    assert refusal.value.reasons[0].source in load().sources


def test_a_quarter_of_new_water():
    """12 × 0.75 + 4 × 0.25 = 10 degrees."""
    answer = ask("mix-water", have="12 dGH", add="4 dGH", share="25%")
    assert also(answer, "the same") == pytest.approx(10.0)


def test_ph_is_never_mixed():
    with pytest.raises(Refused) as refusal:
        ask("mix-water", have="pH 7.0", add="pH 8.0", share="50%")
    assert "KH" in refusal.value.reasons[0].would_change


def test_a_bucket_of_the_right_warmth():
    """9 L × (25 − 10) / (55 − 10) = 3 L of hot."""
    answer = ask("match-water", **EXAMPLES["match-water"])
    assert (answer.value, also(answer, "cold water")) == pytest.approx((3.0, 6.0))


def test_evaporation_of_a_tank_in_a_living_room():
    """0.74 × (25 + 1.9) × 0.18 m² × (0.0212 − 0.0077) × 24 = 1.16 L a day."""
    answer = ask("evaporation", **EXAMPLES["evaporation"])
    assert answer.value == pytest.approx(1.16, rel=0.02)
    assert (answer.low, answer.high) == pytest.approx((answer.value / 2, answer.value * 2))


def test_a_tank_weighed_by_salt():
    """With a jar no constant is needed: (10 / 0.2) × (380 / 350) × 1 L = 54.3 L."""
    jar = {"jar_salt": "0.2 g", "jar_volume": "1 L", "jar_before": "500 uS/cm", "jar_after": "880 uS/cm"}
    by_jar = ask("volume-by-salt", **EXAMPLES["volume-by-salt"], **jar)
    by_line = ask("volume-by-salt", **EXAMPLES["volume-by-salt"])
    assert by_jar.value == pytest.approx(54.29, abs=0.01)
    assert by_line.high - by_line.low > by_jar.high - by_jar.low


@pytest.mark.parametrize(
    ("name", "change", "field"),
    [
        ("ammonia", {"ph": "15"}, "ph"),
        ("ammonia", {"ph": "3"}, "ph"),
        ("ammonia", {"temp": "300C"}, "temp"),
        ("ammonia", {"reading": "1"}, "reading"),
        ("ammonia", {"reading": "-1 mg/L"}, "reading"),
        ("ammonia", {"as_": "ppm"}, "as"),
        ("ammonia-criterion", {"ph": "9.5"}, "ph"),
        ("ammonia-made", {"ph": ""}, "ph"),
        ("ammonia-made", {"volume": "0 L"}, "volume"),
        ("carbon-dioxide", {"ph": "4"}, "ph"),
        ("dechlorinate", {"substance": "vinegar"}, "substance"),
        ("match-water", {"want": "5C"}, "want"),
        ("mix-water", {"add": "5 dKH"}, "add"),
        ("mix-water", {"add": "5 mg/L"}, "add"),
        ("mix-water", {"have": "seven"}, "have"),
        ("oxygen-saturation", {"pressure": "900 hPa"}, "altitude"),
        ("salinity", {"level": "1 g/L"}, "conductivity"),
        ("salinity", {"conductivity": "50 mS/cm"}, "conductivity"),
        ("volume-by-salt", {"after": "400 uS/cm"}, "after"),
        ("volume-by-salt", {"jar_salt": "1 g"}, "jar-volume"),
        ("evaporation", {"humidity": "150%"}, "humidity"),
    ],
)
def test_what_cannot_be_is_refused_by_name(name, change, field):
    with pytest.raises(BadInput) as fault:
        ask(name, **{**EXAMPLES[name], **change})
    assert fault.value.field == field
