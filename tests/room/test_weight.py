"""What animals weigh, and how they are named in one line."""

from __future__ import annotations

import msgspec
import pytest

from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.spoken import animals_said
from tankward.room.things import Stock, Tank
from tankward.room.volume import litres, volume_of
from tankward.room.weight import adult_length, animal_called, curve_of, one_g, shape_curve, stock_g

FACTS = load()
EXACT = Estimate.exact


def grams(text: str) -> Estimate:
    """Of all the animals named."""
    parts = [stock_g(stock, FACTS) for stock in animals_said(text, FACTS)]
    return Estimate(*(sum(getattr(p, end) for p in parts) for end in ("value", "low", "high")))


def test_forty_platies_weigh_eight_grams():
    """25 × 0.008511 × 3.0^3.15 + 15 × 0.008511 × 2.2^3.15 = 6.77 + 1.53 g; the curve spans × 0.5 to 2."""
    found = grams("25 platies 3.0 cm female; 15 platies 2.2 cm male")
    assert found.value == pytest.approx(8.3, abs=0.05)
    assert (found.low, found.high) == pytest.approx((4.1, 16.9), abs=0.1)


def test_a_species_own_estimate_comes_before_its_family_s_and_its_shape_s():
    own, family = (curve_of(FACTS.animals[k], FACTS) for k in ("swordtail", "platy"))
    assert "species" in own.basis
    assert "Family" in family.basis.replace("(Sub)family", "Family")
    assert curve_of(FACTS.animals["cherry_shrimp"], FACTS) == shape_curve("shrimp", FACTS)


def test_every_animal_has_a_curve():
    for animal in FACTS.animals.values():
        curve = curve_of(animal, FACTS)
        assert curve is not None, animal.id
        assert curve.factor > 1.1


def test_what_was_weighed_wins_over_the_curve():
    stock = animals_said("10 guppies 3 cm", FACTS)[0]
    weighed = msgspec.structs.replace(stock, mass_g=EXACT(0.5))
    assert stock_g(weighed, FACTS) == EXACT(5.0)


def test_missing_stays_missing():
    assert stock_g(animals_said("10 guppies", FACTS)[0], FACTS) is None
    assert one_g("unicorn", EXACT(3.0), FACTS) is None
    assert shape_curve("ball", FACTS) is None
    assert (
        stock_g(Stock(id="a", tank="t", kind="", name="?", number=EXACT(3), length_cm=EXACT(2)), FACTS)
        is None
    )


def test_a_shrimp_is_as_long_as_the_facts_say():
    assert adult_length(FACTS.animals["cherry_shrimp"]) == EXACT(4.0)


@pytest.mark.parametrize(
    ("text", "kind", "number", "length", "stage"),
    [
        ("18 cherry_barb 3.5cm", "cherry_barb", 18, 3.5, "adult"),
        ("about 40 guppies", "guppy", 40, None, "adult"),
        ("12 harlequins 3,5 cm", "harlequin", 12, 3.5, "adult"),
        ("8 kuhli loaches 80 mm", "kuhli_loach", 8, 8.0, "adult"),
        ("3 x platy fry", "platy", 3, None, "fry"),
        ("10-12 guppies 2-3 cm", "guppy", 11, 2.5, "adult"),
    ],
)
def test_animals_as_people_name_them(text, kind, number, length, stage):
    (stock,) = animals_said(text, FACTS)
    assert (stock.kind, stock.number.value, stock.stage) == (kind, number, stage)
    assert (stock.length_cm and stock.length_cm.value) == (length and pytest.approx(length))


def test_females_and_gravid_are_heard():
    (stock,) = animals_said("5 gravid guppy females 4 cm", FACTS)
    assert (stock.sex, stock.gravid) == ("female", True)


def test_several_are_parted_by_semicolon_or_comma():
    kinds = [s.kind for s in animals_said("18 cherry_barb 3,5cm, 30 cherry shrimp; 2 nerite snails", FACTS)]
    assert kinds == ["cherry_barb", "cherry_shrimp", "nerite"]


@pytest.mark.parametrize("text", ["", ";", "guppies", "0 guppies", "3 unicorns", "-2 guppies"])
def test_what_names_no_animals_is_refused(text):
    with pytest.raises(BadInput):
        animals_said(text, FACTS)


def test_an_animal_is_found_by_its_common_name():
    assert animal_called("cherry shrimp", FACTS).id == "cherry_shrimp"


TANK = Tank(
    id="t", name="T", length_cm=60, width_cm=30, glass_mm=6, fill_cm=31, substrate_cm=4, grain="1-2 mm",
    solids_l=2,
)  # fmt: skip


def test_a_tank_s_water_comes_from_its_sizes_unless_it_was_measured():
    """58.8 × 28.8 × 31 cm, less 4.06 L of grains and 2 L of wood: 46.4 L."""
    assert litres(TANK).value == pytest.approx(46.43, abs=0.01)
    assert litres(msgspec.structs.replace(TANK, volume_l=EXACT(44.0))) == EXACT(44.0)


def test_a_tank_without_a_water_line_has_no_volume():
    unknown = msgspec.structs.replace(TANK, fill_cm=None)
    assert volume_of(unknown) is None
    assert litres(unknown) is None
