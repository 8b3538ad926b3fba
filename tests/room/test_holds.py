"""How much water a tank holds: measured, said, or made of its sizes."""

import pytest

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.holds import litres_now, water_of
from tests.helpers.rooms import room_from

SIZES = 'length=60cm width=30cm height=36cm glass=6mm fill=31cm substrate=4cm grain="1-2 mm" solids=2L'


def water(text, tank="t7"):
    room = room_from(text)
    return water_of(room.tanks[tank], room)


def test_by_the_sizes():
    """By hand: 58.8 x 28.8 x 31 cm is 52.5 L; grains 58.8 x 28.8 x 4 x 0.6 are 4.1 L; wood and stone 2 L."""
    found = water(f"1 March 08:00 tank T7 {SIZES}")
    assert found.value == pytest.approx(52.5 - 4.1 - 2, abs=0.1)
    assert (found.shown, found.shown_range) == ("46 L", "44 to 49 L")
    assert [step.source for step in found.how][:3] == ["GEOM"] * 3


def test_what_was_said_wins_and_a_contradiction_is_told():
    found = water(f"1 March 08:00 tank T7 {SIZES} volume=46L")
    assert (found.value, found.low, found.high) == (46, 46, 46)
    assert found.cautions == ()
    assert "one of the two is wrong" in water(f"1 March 08:00 tank T7 {SIZES} volume=60L").cautions[0]


MEASURED = '1 March 08:00 tank T7 volume=54L\n2 March 08:00 volume T7 volume="45 to 47 L" how=salt\n'


def test_a_measurement_wins_until_a_size_is_described_anew():
    found = water(MEASURED)
    assert (found.low, found.value, found.high) == (45, 46, 47)
    assert found.how[0].step == "salt and a conductivity pen, 2 March"
    assert water(MEASURED + "3 March 08:00 tank T7 volume=54L temp=25C").value == 46
    assert water(MEASURED + "3 March 08:00 tank T7 volume=50L").value == 50


def test_a_measurement_reaches_all_who_ask_the_tank():
    room = room_from(MEASURED + '4 March 08:00 volume T7 volume="44 to 46 L"')
    assert room.tanks["t7"].volume_l == Estimate(45, 44, 46)
    assert room.as_described("t7").volume_l == Estimate.exact(54)
    assert room_from("2 March 08:00 volume T9 volume=3L").tanks == {}


def test_not_known_is_not_zero():
    room = room_from("1 March 08:00 tank T7 temp=25C")
    assert water_of(room.tanks["t7"], room).value is None
    assert litres_now(room.tanks["t7"], room) is None


def test_sizes_that_no_tank_has_are_refused():
    with pytest.raises(BadInput):
        water("1 March 08:00 tank T7 length=60cm width=30cm fill=10cm substrate=20cm")
