"""Small rooms, written as a keeper would tell them, and what comes of them."""

import json
from datetime import UTC, datetime, timedelta

import msgspec
import numpy as np
import pytest

from tankward.model.forecast import as_data, forecast
from tankward.quantities.faults import BadInput
from tankward.room.acts import Air, Change, Dose, Feed, Media, Move
from tests.helpers.rooms import room_from
from tests.model.tanks import FACTS

NOW = datetime(2026, 3, 7, 9, 20, tzinfo=UTC)

NURSERY = """
1 March 2026 08:00  tank     Nursery  volume="54 L" temp=26C filter=sponge filter-age="12 weeks" light=8h
1 March 2026 08:05  stock    Nursery  kind=guppy number=20 length=2.5cm
2 March 2026 08:00  reading  Nursery  ph=7.6
"""


def of(text, planned=(), tank="nursery", **more):
    return forecast(room_from(text), tank, NOW, facts=FACTS, planned=planned, **({"draws": 64} | more))


def kinds(found, about=None):
    return {c.kind for c in found.cautions if about is None or c.about == about}


def later(**span):
    return NOW + timedelta(**span)


def test_every_series_is_as_long_as_its_times():
    found = of(NURSERY, [(later(days=1), Dose(actives={"praziquantel": 108.0}))])
    assert [s.name for s in found.series] == [
        "praziquantel",
        "ammonia_n",
        "nh3_n",
        "nitrite_n",
        "oxygen",
        "temp_c",
    ]
    for s in found.series:
        assert {len(line) for line in (s.low, s.q25, s.value, s.q75, s.high)} == {len(found.times_h)}
        assert all(np.diff([s.low[-1], s.q25[-1], s.value[-1], s.q75[-1], s.high[-1]]) >= 0)


def test_a_dose_jumps_and_both_points_are_kept():
    """108 mg in 54 L is 2 mg/L; the volume was said without a range."""
    found = of(NURSERY, [(later(days=1), Dose(actives={"praziquantel": 108.0}))])
    rows = [n for n, t in enumerate(found.times_h) if t == pytest.approx(found.now_h + 24)]
    assert [found.of("praziquantel").value[n] for n in rows] == pytest.approx([0.0, 2.0])
    assert found.peak("praziquantel").value == pytest.approx(2.0)
    assert found.peak("praziquantel").at_h == pytest.approx(24.0)
    assert found.at("praziquantel", 24.0).value == pytest.approx(2.0)


def test_a_past_dose_still_fades_now():
    found = of(NURSERY + "6 March 2026 20:00  dose  Nursery  praziquantel=108mg\n")
    assert 0 < found.at("praziquantel", 0).value < 2.0


def test_a_dose_before_the_beginning_is_followed_too():
    salted = (
        NURSERY.replace("1 March", "1 February")
        + "10 February 2026 20:00  dose  Nursery  sodium_chloride=54g\n"
    )
    assert of(salted).at("sodium_chloride", 0).value == pytest.approx(1000.0, rel=0.02)


def test_a_reading_counts_together_with_what_is_known():
    """A keeper's 1 mg/L, which a model that would have said next to nothing hardly explains: both stand."""
    plain = of(NURSERY, draws=256)
    read = of(NURSERY + '7 March 2026 08:00  reading  Nursery  ammonia="1 mg/L as N"\n', draws=256)
    assert plain.at("ammonia_n", 0).high < 0.6
    assert plain.at("ammonia_n", 0).value < read.at("ammonia_n", 0).value < 1.0 < read.at("ammonia_n", 0).high
    assert read.peak("nh3_n").high > 3 * plain.peak("nh3_n").high


def test_what_nobody_read_at_the_beginning_is_not_nil():
    """A filter of three weeks: there may have been ammonia. A new one stands in new water."""
    young, new = (of(NURSERY.replace("12 weeks", age)) for age in ("20 days", "2 days"))
    assert young.record.levels("ammonia_n")[0].min() > 0
    assert new.record.levels("ammonia_n")[0].max() == 0


def test_a_tank_tells_of_itself():
    """What today's readings changed: the filter, the exchange of gas; the look alone narrows the gas."""
    crowded = NURSERY.replace("filter=sponge ", "").replace("number=20", "number=60")
    found = of(crowded + "6 March 2026 20:00  look  Nursery  well=yes\n", draws=256)
    told = {n.what: n for n in found.own}
    assert set(told) == {"filter", "gas_exchange"}
    assert told["gas_exchange"].after.low > told["gas_exchange"].at_first.low
    assert as_data(found)["own"][1]["what"] == "gas_exchange"


def test_a_reading_that_nothing_explains_is_told():
    found = of(NURSERY + '7 March 2026 08:00  reading  Nursery  ammonia="8 mg/L as N"\n')
    assert "reading-unexplained" in kinds(found, "ammonia_n")
    assert "reading-unexplained" not in kinds(of(NURSERY), "ammonia_n")


@pytest.mark.parametrize("wrong", ["ph=75", 'ammonia="-1 mg/L as N"'])
def test_a_reading_that_cannot_be_is_asked_back(wrong):
    with pytest.raises(BadInput, match=wrong.split("=")[0]):
        room_from(NURSERY + f"7 March 2026 08:00  reading  Nursery  {wrong}\n")


def test_nitrate_is_charted_only_after_a_reading():
    assert "nitrate-unknown" in kinds(of(NURSERY))
    found = of(NURSERY + '6 March 2026 08:00  reading  Nursery  nitrate="20 mg/L as NO3"\n')
    assert "nitrate-unknown" not in kinds(found)
    assert found.at("nitrate_n", 0).low < 20 / 4.43 < found.at("nitrate_n", 0).high


def test_a_tank_whose_fish_are_well_has_had_air():
    """Without a look the gas exchange is anyone's guess; a look at well fish rules out the draws they'd
    not survive.
    """
    crowded = NURSERY.replace("filter=sponge ", "").replace("number=20", "number=60")
    guess, seen = (
        of(crowded, draws=256),
        of(crowded + "6 March 2026 20:00  look  Nursery  well=yes\n", draws=256),
    )
    assert guess.effective_draws == pytest.approx(256)
    assert seen.effective_draws < 256
    assert seen.least("oxygen").low > guess.least("oxygen").low
    assert seen.chance("oxygen", below=4.0) < guess.chance("oxygen", below=4.0)


def test_fish_that_gasp_rule_nothing_out():
    gasping = NURSERY + "6 March 2026 20:00  look  Nursery  seen=gasping_surface eating=yes\n"
    assert of(gasping).effective_draws == pytest.approx(64)


def test_a_course_is_not_held_against_the_tank():
    """Well fish under formalin: the week without it is what is judged."""
    look = "6 March 2026 20:00  look  Nursery  well=yes\n"
    dosed = of(NURSERY + "3 March 2026 20:00  dose  Nursery  formalin=1080mg\n" + look)
    assert np.allclose(dosed.weights, of(NURSERY + look).weights)


def test_a_new_filter_lets_ammonia_rise():
    full = NURSERY.replace("number=20", "number=60")
    ripe, new = of(full), of(full.replace("12 weeks", "2 days"))
    assert new.at("ammonia_n", 150).value > 3 * ripe.at("ammonia_n", 150).value


def test_a_fast_keeps_ammonia_down_in_a_tank_without_a_filter():
    bare = NURSERY.replace("filter=sponge ", "filter=none ")
    assert of(bare, [(NOW, Feed(usual=0.0))]).peak("ammonia_n").value < of(bare).peak("ammonia_n").value


def test_changes_lower_what_they_take():
    bare = NURSERY.replace("filter=sponge ", "filter=none ")
    daily = [(later(days=n), Change(share=0.5)) for n in range(7)]
    assert of(bare, daily).at("ammonia_n", 160).value < 0.5 * of(bare).at("ammonia_n", 160).value


def test_a_substance_that_harms_the_filter_lets_ammonia_rise():
    """Oxytetracycline: "severe" for the filter. Sodium chloride: "low"."""
    hit = of(NURSERY, [(later(hours=1), Dose(actives={"oxytetracycline": 54 * 25.0}))])
    spared = of(NURSERY, [(later(hours=1), Dose(actives={"sodium_chloride": 54 * 1000.0}))])
    assert hit.at("ammonia_n", 150).value > 2 * spared.at("ammonia_n", 150).value


def test_formalin_takes_oxygen_and_air_gives_it_back():
    """25 µL/L can take up to 5 mg/L."""
    still = NURSERY.replace("filter=sponge ", "filter=none ")
    dose = (later(hours=2), Dose(actives={"formalin": 54 * 25.0}))
    before, dosed = of(still).least("oxygen").value, of(still, [dose]).least("oxygen").value
    aired = of(still, [(NOW, Air(more=True)), dose]).least("oxygen").value
    assert dosed < before - 0.5
    assert aired > dosed + 1.0


def test_fish_moved_out_breathe_elsewhere():
    still = NURSERY.replace("filter=sponge ", "filter=none ").replace("number=20", "number=60")
    out = [(NOW, Move(stock="nursery-guppy", to="tub"))]
    assert of(still, out).at("oxygen", 24).value > of(still).at("oxygen", 24).value + 0.5


def test_carbon_takes_a_drug_out():
    dosed = NURSERY + "6 March 2026 20:00  dose  Nursery  praziquantel=108mg\n"
    left = of(dosed).at("praziquantel", 24).value
    assert of(dosed, [(NOW, Media())]).at("praziquantel", 24).value < 0.2 * left


def test_a_dead_fish_left_in_feeds_the_ammonia():
    bare = NURSERY.replace("filter=sponge ", "filter=none ")
    dead = "5 March 2026 20:00  death  Nursery  stock=nursery-guppy number=10 taken-out="
    assert (
        of(bare + dead + "no\n").at("ammonia_n", 48).value
        > of(bare + dead + "yes\n").at("ammonia_n", 48).value
    )


def test_chances_fall_as_the_limit_rises():
    found = of(NURSERY)
    chances = [found.chance("ammonia_n", above=level) for level in (0.0, 0.1, 0.3, 1.0, 50.0)]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] == pytest.approx(1.0)
    assert chances[-1] == 0.0
    assert found.chance("ammonia_n", above=0.1, between=(0, 1)) <= found.chance("ammonia_n", above=0.1)


def test_what_is_not_known_is_told():
    bare = "1 March 2026 08:00  tank  Nursery  volume=54L\n"
    assert kinds(of(bare)) >= {
        "temp-unknown", "ph-unknown", "stock-unknown", "filter-unknown", "filter-age-unknown",
    }  # fmt: skip
    assert kinds(of(NURSERY)) == {"ph-kept", "nitrate-unknown"}


def test_generic_figures_are_shown_as_such():
    """For quinine no loss was found; for praziquantel it was."""
    found = of(NURSERY, [(NOW, Dose(actives={"quinine": 500.0, "praziquantel": 50.0}))])
    assert "loss-generic" in kinds(found, "quinine")
    assert "loss-generic" not in kinds(found, "praziquantel")
    quinine = next(c for c in found.cautions if c.about == "quinine")
    assert (quinine.low, quinine.high, quinine.status) == (24.0, 2000.0, "memory")


def test_a_combination_is_not_run_as_one():
    found = of(NURSERY, [(NOW, Dose(actives={"metronidazole_praziquantel": 100.0}))])
    assert "combination-as-one" in kinds(found, "metronidazole_praziquantel")
    assert "metronidazole_praziquantel" not in [s.name for s in found.series]


def test_formalin_is_counted_by_volume():
    found = of(NURSERY, [(NOW, Dose(actives={"formalin": 540.0}))])
    assert found.of("formalin").unit == "uL/L"
    assert found.peak("formalin").value == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("text", "tank", "says"),
    [(NURSERY, "attic", "attic"), ("1 March 2026 08:00  tank  Nursery  temp=25C\n", "nursery", "volume")],
)
def test_what_cannot_be_run_is_one_sentence(text, tank, says):
    with pytest.raises(BadInput, match=says):
        of(text, tank=tank)


def test_asking_for_what_is_not_there():
    found = of(NURSERY)
    for wrong in (lambda: found.of("gold"), lambda: found.peak("gold"), lambda: found.chance("oxygen")):
        with pytest.raises(BadInput):
            wrong()


def test_json_is_the_forecast():
    found = of(NURSERY, [(NOW, Dose(actives={"praziquantel": 50.0}))])
    told = json.loads(json.dumps(as_data(found, [("oxygen", "below", 5.0)])))
    assert told["chances"] == [{"name": "oxygen", "below": 5.0, "chance": found.chance("oxygen", below=5.0)}]
    assert [s["name"] for s in told["series"]] == [s.name for s in found.series]
    assert len(told["times_h"]) == len(told["series"][0]["value"])
    assert told["cautions"] == [msgspec.to_builtins(c) for c in found.cautions]
