"""The water in a tank: what the sizes hold, less what lies in it."""

from __future__ import annotations

import math

import pytest

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.water.volume import Sizes, water_volume
from tests.water.ask import also, ask

TANK = {
    "shape": "box", "length": "60cm", "width": "30cm", "glass": "6mm", "fill": "31cm", "substrate": "4cm",
    "grain": "1-2 mm", "solids": "2 L",
}  # fmt: skip


def test_a_tank_bought_as_sixty_litres_holds_forty_six():
    """(60 − 1.2) × (30 − 1.2) × 31 = 52.50 L, less grains 4.06 L (four cm, 60 %), less 2 L."""
    answer = ask("volume", **TANK)
    assert answer.value == pytest.approx(52.497 - 4.064 - 2.0, abs=0.01)
    assert answer.says == "The water is 46 L (44 to 49 L)."


def test_a_tank_bought_as_seventy_five_litres_holds_sixty_three():
    answer = ask(
        "volume", shape="box", length="75.5cm", width="30cm", fill="31cm",
        substrate="4 cm", grain="1-2mm", solids="2 L",
    )  # fmt: skip
    assert answer.says == "The water is 63 L (60 to 66 L)."
    assert also(answer, "the sizes hold") == pytest.approx(70.2, abs=0.05)
    assert also(answer, "grains") == pytest.approx(5.4, abs=0.05)
    assert also(answer, "wood and stone") == 2.0


def test_a_round_tank():
    """π × 15² × 35 cm = 24.7 L."""
    assert ask("volume", shape="cylinder", diameter="30cm", fill="35cm").value == pytest.approx(
        24.74, abs=0.01
    )


def test_glass_round_a_hexagon_takes_more_than_itself_off_the_side():
    """Outside side 20 cm, glass 0.6 cm: the inner side is 20 − 2 × 0.6 × tan 30° = 19.307 cm."""
    inner = 20 - 2 * 0.6 * math.tan(math.radians(30))
    found = ask("volume", shape="hexagon", side="20cm", glass="6mm", fill="40cm").value
    assert found == pytest.approx(1.5 * math.sqrt(3) * inner**2 * 40 / 1000)


def test_a_bow_front_is_a_box_and_a_segment():
    """Half a circle of 90 cm: 90 × 30 + π × 45² / 2 = 5880.9 cm²."""
    found = ask("volume", shape="bow", length="90cm", width="30cm", bow="45cm", fill="40cm").value
    assert found == pytest.approx((2700 + math.pi * 45**2 / 2) * 40 / 1000)


def test_an_unmeasured_bed_is_wider_than_a_known_one():
    known = ask("volume", **TANK)
    unknown = ask("volume", **{**TANK, "grain": ""})
    assert unknown.high - unknown.low > known.high - known.low


def test_a_range_of_the_water_line_is_carried_through():
    wide = ask("volume", **{**TANK, "fill": "28-34 cm"})
    narrow = ask("volume", **TANK)
    assert wide.low < narrow.low < wide.value < narrow.high < wide.high


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"fill": "0 cm"}, "fill", "more than 0"),
        ({"fill": "31"}, "fill", "has no unit"),
        ({"length": ""}, "length", "a box needs length and width"),
        ({"glass": "40 cm"}, "glass", "at most 10 cm"),
        ({"glass": "10 cm", "width": "15 cm"}, "width", "the glass is thicker"),
        ({"substrate": "40 cm"}, "substrate", "above the water"),
        ({"solids": "60 L"}, "solids", "the tank holds 52.5 L"),
        ({"shape": "ball"}, "shape", "box, cylinder, hexagon, bow"),
        ({"grain": "marbles"}, "grain", "Write a size like 1-2 mm"),
        ({"depth": "3 cm"}, "depth", "is not asked for by volume"),
    ],
)
def test_what_cannot_be_is_refused_by_name(change, field, words):
    with pytest.raises(BadInput) as fault:
        ask("volume", **{**TANK, **change})
    assert fault.value.field == field
    assert words in str(fault.value)


def test_no_range_ever_reaches_below_nothing():
    found = water_volume(Sizes(length_cm=5, width_cm=5, fill_cm=1, porosity=Estimate.exact(0.4)))
    assert 0 < found.estimate.low < found.water_l
