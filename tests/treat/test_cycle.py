"""From egg to egg, and how soon doses have to follow each other."""

import pytest

from tankward.desk.calculations import CALCULATIONS
from tankward.quantities.faults import BadInput


def cycle(organism, temp):
    return CALCULATIONS["cycle"].run({"organism": organism, "temp": temp})


def named(found):
    return {n.name: n for n in found.also}


def test_gill_flukes_at_20_degrees_are_the_sum_of_egg_and_juvenile():
    """Egg 3.3 to 6.6 d, juvenile 3 to 9.9 d: published alone, 8 to 11 d from egg to a worm that lays."""
    found = cycle("gill flukes", "20 C")
    also = named(found)
    assert (also["as egg"].low, also["as egg"].high) == pytest.approx((3.3, 6.6), rel=0.02)
    assert (also["as juvenile"].low, also["as juvenile"].high) == pytest.approx((3.0, 9.9), rel=0.02)
    assert 6.3 < found.low < 8 < found.value < 11 < found.high < 16.5
    assert "ZHA15" in found.source_keys()


def test_doses_follow_no_slower_than_the_youngest_worm_lays():
    also = named(cycle("gill flukes", "20 C"))
    assert also["between doses, at most"].value == pytest.approx(also["as juvenile"].low, rel=1e-6)


def test_of_white_spot_what_is_free_is_met():
    """The one on the fish is shielded: doses wait for those that swim and sit on the floor."""
    also = named(cycle("white spot", "25 C"))
    assert also["between doses, at most"].value < 1.0 < also["as trophont"].low


def test_warmer_is_faster_and_too_cold_is_said():
    cool, warm = (cycle("white spot", t) for t in ("18 C", "26 C"))
    assert warm.high < cool.low
    assert not warm.cautions
    assert any("stand still" in c for c in cycle("capillaria", "10 C").cautions)


@pytest.mark.parametrize("organism", ["skin flukes", "columnaris"])
def test_what_has_no_stages_from_egg_to_egg_is_refused(organism):
    with pytest.raises(BadInput, match="no stages from egg to egg"):
        cycle(organism, "25 C")


def test_a_number_recalled_is_said_to_be():
    steps = {s.step: s for s in cycle("anchor worm", "25 C").how}
    assert steps["as nauplius"].status == "memory"
