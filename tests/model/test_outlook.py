"""What is suspected, through the forecast of a tank: series by place, chances by day, what is not known."""

from datetime import UTC, datetime, timedelta
from functools import cache
from math import isnan

import numpy as np
import pytest

from tankward.model.forecast import forecast
from tankward.model.suspect import Suspect, of_causes
from tankward.room.acts import Change, Dose, Feed, Lost, Move
from tankward.room.text import room_of_text
from tankward.show.words.forecast import caution_says
from tests.model.tanks import FACTS

NOW = datetime(2026, 3, 7, 9, 20, tzinfo=UTC)
TANK = """
1 March 2026 08:00  tank     Nursery  volume="54 L" temp=26C filter=sponge filter-age="12 weeks" light=8h
1 March 2026 08:05  stock    Nursery  kind=guppy number=20 length=2.5cm
"""
LOOK = "6 March 2026 20:00  look     Nursery  seen=white_spots,flashing"
COUNTED = LOOK + ' counts="white_spots 6"\n'


@cache
def untreated(organism, draws=64):
    """The outlook of one organism in a tank in which nothing is planned."""
    return followed(organism, draws=draws)


def followed(organism, *, looks="", planned=(), days=7, draws=64, cause=""):
    """The outlook of one organism."""
    found = forecast(
        room_of_text(TANK + looks), "nursery", NOW, facts=FACTS, days=days, planned=planned, draws=draws,
        suspects=(Suspect(organism=organism, cause=cause),),
    )  # fmt: skip
    return found, found.outlooks[0]


def line(outlook, where):
    return next(s for s in outlook.series if s.where == where and s.name == outlook.organism)


def dosed(days=(0, 3)):
    return tuple((NOW + timedelta(days=d), Dose(actives={"praziquantel": 135.0})) for d in days)


def test_without_a_suspect_nothing_is_followed():
    found = forecast(room_of_text(TANK), "nursery", NOW, facts=FACTS, draws=64)
    assert found.outlooks == ()


def test_the_organisms_of_a_cause_are_followed_each_once():
    causes = [("costia_trichodina", 0.6), ("fin_rot", 0.4), ("columnaris", 0.35), ("nitrite", 0.9)]
    found = of_causes(causes, FACTS)
    assert [s.organism for s in found] == ["ichthyobodo", "trichodina", "aeromonas", "columnaris"]
    assert found[3].cause == "fin_rot"


def test_series_by_place_on_the_times_of_the_water():
    found, spot = followed("ichthyophthirius", looks=LOOK + "\n", cause="white_spot", days=2)
    assert {s.where for s in spot.series if s.name == spot.organism} == {"in fish", "water", "surfaces"}
    for s in spot.series:
        assert len(s.value) == len(found.times_h)
        shown = [n for n, v in enumerate(s.value) if not isnan(v)]
        assert found.times_h[shown[0]] == pytest.approx(spot.since_h, abs=1.0)
        assert all(s.low[n] <= s.q25[n] <= s.value[n] <= s.q75[n] <= s.high[n] for n in shown)


def test_it_is_followed_from_the_look_that_saw_it():
    """The evening of the 6th, 132 to 133 h after the run began at 08:00 of the first; else from now."""
    seen, spot = followed("ichthyophthirius", looks=LOOK + "\n", cause="white_spot", days=2)
    assert seen.start + timedelta(hours=spot.since_h) == datetime(2026, 3, 6, 20, 0, tzinfo=UTC)
    unseen, again = followed("argulus", cause="white_spot", days=2)
    assert unseen.start + timedelta(hours=again.since_h) == NOW


def test_a_count_is_a_beginning():
    """6 of 20 with spots: fewer on a fish than in a tank where a keeper just happens to see it."""
    one, counted = followed("ichthyophthirius", looks=COUNTED, cause="white_spot", days=2)
    other, usual = followed("ichthyophthirius", looks=LOOK + "\n", cause="white_spot", days=2)
    assert counted.counted
    assert not usual.counted
    begun, guessed = (
        np.nanmax(np.array(line(o, "in fish").value)[np.array(f.times_h) < 180])
        for f, o in ((one, counted), (other, usual))
    )
    assert begun < guessed


def test_a_substance_in_the_water_kills_and_says_so():
    _, plain = untreated("gyrodactylus")
    _, treated = followed("gyrodactylus", planned=dosed())
    assert treated.acts == ("praziquantel",)
    assert plain.acts == ()
    assert line(treated, "on fish").value[-1] < line(plain, "on fish").value[-1] / 3
    assert treated.chances[-1].value > plain.chances[-1].value


def test_a_strain_that_nothing_harms_stays_in_the_upper_band():
    """In 0.15 of the draws praziquantel does nothing to these flukes: the upper band hardly falls."""
    _, plain = untreated("gyrodactylus", 128)
    _, treated = followed("gyrodactylus", planned=dosed(), draws=128)
    assert line(treated, "on fish").high[-1] > line(plain, "on fish").value[-1]


def test_chances_by_day_climb_to_the_end():
    _, lice = followed("argulus", days=14)
    assert [round(c.days) for c in lice.chances] == [3, 7, 14]
    for c in lice.chances:
        assert 0.0 <= c.low <= c.value <= c.high <= 1.0
        assert c.by > NOW


def test_what_lives_in_every_tank_is_never_gone():
    _, rods = followed("columnaris")
    assert rods.holds == "never-gone"
    assert 0.0 < rods.chances[0].value < 1.0


def test_a_substance_of_which_nothing_is_known_is_named_and_lowers_nothing():
    _, plain = untreated("camallanus")
    _, dosed_ = followed("camallanus", planned=dosed())
    assert set(dosed_.silent) == {"praziquantel"}
    assert dosed_.acts == ()
    assert line(dosed_, "in fish").value[-1] == pytest.approx(line(plain, "in fish").value[-1], rel=0.02)


def test_food_with_a_medicine_reaches_what_lives_in_the_fish():
    """Fenbendazole in the food against worms in the gut, for fish that eat some of it."""
    fed = ((NOW, Feed(usual=1.0, actives_mg_per_g={"fenbendazole": 2.5})),)
    _, plain = untreated("camallanus")
    _, treated = followed("camallanus", planned=fed)
    assert "fenbendazole" in treated.acts
    assert line(treated, "in fish").value[-1] < 0.8 * line(plain, "in fish").value[-1]


def test_changes_thin_out_what_swims():
    changes = tuple((NOW + timedelta(days=d), Change(share=0.5)) for d in range(1, 7))
    _, plain = untreated("lernaea")
    _, changed = followed("lernaea", planned=changes)
    assert line(changed, "water").value[-1] < line(plain, "water").value[-1]


def test_what_swims_goes_out_with_lost_water_and_stands_as_thick_in_what_is_left():
    """Nine tenths of the water go, with 85 to 100 % of the swimmers in them: 0.1 to 0.235 of all are left, in
    a tenth of the water.
    """
    found, lost = followed("ichthyophthirius", planned=((NOW + timedelta(days=2), Lost(share=0.9)),))
    here = found.times_h.index(pytest.approx(found.now_h + 48.0))
    before, after = line(lost, "water").value[here : here + 2]
    assert 0.98 * before < after < 2.4 * before


def test_more_draws_begin_with_the_same():
    _, few = untreated("gyrodactylus", 128)
    _, many = followed("gyrodactylus", draws=256)
    assert line(few, "on fish").value == pytest.approx(line(many, "on fish").value, rel=0.05, nan_ok=True)


def test_a_tank_without_its_fish_starves_what_needs_them():
    """All fish out: what seeks a fish finds none, and a week later it is nearly surely gone."""
    out = [(NOW + timedelta(hours=1), Move(stock="nursery-guppy", to="tub"))]
    room = TANK + '1 March 2026 08:00  tank     Tub  volume="20 L" temp=26C filter=none\n'
    for planned, expected in (((), (0.0, 0.3)), (out, (0.8, 1.0))):
        found = forecast(
            room_of_text(room), "nursery", NOW, facts=FACTS, days=8, planned=planned, draws=64,
            suspects=(Suspect(organism="ichthyophthirius"),),
        )  # fmt: skip
        assert expected[0] <= found.outlooks[0].chances[-1].value <= expected[1]


def test_without_fish_nothing_is_followed():
    shrimp = TANK.replace("kind=guppy number=20 length=2.5cm", "kind=cherry_shrimp number=20 length=2.5cm")
    found = forecast(
        room_of_text(shrimp), "nursery", NOW, facts=FACTS, draws=64, suspects=(Suspect(organism="argulus"),)
    )
    assert found.outlooks == ()


COLD = TANK.replace("temp=26C", "temp=14C")


def beyond(found):
    return {(c.kind, c.about, c.on): (c.low, c.high) for c in found.cautions if c.kind.endswith("-beyond")}


def test_a_tank_within_what_was_read_has_no_caution_for_its_warmth():
    assert beyond(untreated("ichthyophthirius")[0]) == {}


def test_water_colder_than_any_figure_of_a_life_is_told():
    """Eggs of lice were read at 15 to 35 °C; white spot down to 5 °C and less."""
    text = COLD + LOOK
    suspects = tuple(Suspect(organism=o, cause="") for o in ("argulus", "camallanus"))
    found = forecast(room_of_text(text), "nursery", NOW, facts=FACTS, draws=64, suspects=suspects)
    assert beyond(found) == {("life-beyond", "argulus", ""): (15.0, 35.0)}
    told = [caution_says(c, FACTS) for c in found.cautions if c.kind == "life-beyond"]
    assert "fish lice" in told[0]
    assert "15 to 35 °C" in told[0]


def test_a_substance_that_was_read_in_colder_water_is_told():
    """Salt against white spot was read at 17.3 to 23.5 °C; this tank has 26 °C. Praziquantel without any."""
    salt = ((NOW, Dose(actives={"sodium_chloride": 2000.0 * 54})),)
    found, _ = followed("ichthyophthirius", planned=salt)
    assert beyond(found) == {("kill-beyond", "sodium_chloride", "ichthyophthirius"): (17.3, 23.5)}
    assert "white spot" in caution_says(next(c for c in found.cautions if c.kind == "kill-beyond"), FACTS)
    assert beyond(followed("dactylogyridae", planned=dosed())[0]) == {}


@pytest.mark.parametrize(
    ("organism", "lamp", "said"),
    [
        ("ichthyophthirius", "in=yes", True),
        ("ichthyophthirius", "in=no", False),
        ("ichthyophthirius", "", False),
        ("camallanus", "in=yes", False),  # nothing of it swims
    ],
)
def test_a_uv_lamp_is_told_as_not_followed(organism, lamp, said):
    """Its rows tell a dose of light, and nobody knows the dose of a lamp: no death is claimed by it."""
    looks = LOOK + (f"\n2 March 2026 08:00  media  Nursery  medium=ultraviolet {lamp}\n" if lamp else "\n")
    found, outlook = followed(organism, looks=looks)
    assert ("lamp-not-followed" in {c.kind for c in found.cautions}) is said
    assert "ultraviolet" not in outlook.acts
    assert all(k.route == "uv" for k in FACTS.organisms[organism].kill if k.substance == "ultraviolet")
