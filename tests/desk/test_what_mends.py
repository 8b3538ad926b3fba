"""What to do after a slip, with its numbers: each checked by hand or against the exact model."""

from datetime import timedelta

import pytest

from tankward.model.levels import levels
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change
from tankward.room.replay import replay
from tankward.show.words.mistake import after_heading
from tankward.treat.mend import power
from tankward.treat.mend.inside import in_it
from tankward.treat.mend.late import late_doses
from tankward.treat.mend.power import oxygen_lasts, which_first
from tankward.treat.mend.uneaten import leaching

from .slipped import (
    BY_SACHET,
    DOSED,
    FACTS,
    NOW,
    Slipped,
    ago,
    ahead,
    change_step,
    course,
    done,
    dose_step,
    feed_step,
)
from .test_slips_said import WORDS


def order(found) -> list[str]:
    return [s.act for s in found.urgent.steps]


# Too much


def test_rule_18_an_overdose_gets_its_series_in_litres_with_dechlorinator():
    """1,750 mg in 35 L: about 49 mg/L; 6.6 is published. log2(49 / 6.6) = 2.9: three halves of 17.5 L."""
    found = Slipped(DOSED).now_after("dosed ten times")
    changes = [s for s in found.urgent.steps if s.act == "change"]
    (x,) = found.inside
    assert x.level.value == pytest.approx(50.0, rel=0.05)
    assert len(changes) == 3
    for n, step in enumerate(changes, start=1):
        assert step.amount.value == pytest.approx(17.5)
        assert step.of.change.after.value == pytest.approx(x.level.value / 2**n)
        # 17.5 L of tap water at its worst: 3 mg/L chlorine × 7 × 1.5, by arithmetic.
        assert step.of.thiosulfate.value == pytest.approx(17.5 * 3 * 7 * 1.5 / 1000)
    assert [s.at for s in changes] == [None, ahead(1), ahead(2)]
    assert changes[-1].of.change.after.high <= 6.6


def test_rule_18_carbon_comes_after_the_changes_and_is_no_promise():
    """No rate is published; of salt it takes nothing, so it is not asked for."""
    steps = [s.act for s in Slipped(DOSED).now_after("dosed ten times").urgent.steps]
    assert max(n for n, act in enumerate(steps) if act == "change") < steps.index("carbon")
    carbon = Slipped(DOSED).acts("dosed ten times")["carbon"]
    assert "no rate is published" in carbon.caution and "no promise" in carbon.caution
    salted = Slipped("12 May 2026 20:30 dose T7 sodium_chloride=200g").acts("dosed ten times")
    assert "change" in salted and "carbon" not in salted


def test_rule_18_the_series_of_a_room_is_that_of_the_exact_model():
    """What is in it now, thinned, is not over what model/levels finds with all losses counted."""
    room = Slipped(DOSED).said("dosed ten times").room
    (x,) = in_it(room, "t7", NOW, FACTS, Slipped(DOSED).now_after("dosed twice").told)
    acts = [
        *room.acts("t7"),
        *((NOW + timedelta(hours=c.at_h), Change(share=c.share)) for c in x.thin.changes),
    ]
    made = levels(
        "metronidazole", acts, facts=FACTS, volume_l=Estimate.exact(35.0), filter="sponge",
        temp_c=Estimate.exact(25.0), until=NOW + timedelta(hours=x.thin.hours),
    )  # fmt: skip
    assert made.end.value <= x.thin.changes[-1].after.value * 1.001
    assert made.end.value == pytest.approx(x.thin.changes[-1].after.value, rel=0.15)


def test_rule_17_18_water_that_may_be_old_goes_in_small_shares():
    """Acid, and no big change is known: 15 to 20 %. With the change of Sunday in the log: half."""
    acid = f"{DOSED}\n12 May 2026 20:30 reading T7 ph=6.2"
    room = Slipped(acid)
    assert room.now_after("dosed ten times").inside[0].thin.changes[0].share == 0.5
    room.entries = [e for e in room.entries if not isinstance(getattr(e, "act", None), Change)]
    room.room = replay(room.entries)
    assert room.now_after("dosed ten times").inside[0].thin.changes[0].share == 0.175


def test_rule_18_hard_tap_water_makes_smaller_changes_of_it():
    lines = """12 May 2026 20:30 reading T7 conductivity=200uS/cm
12 May 2026 20:31 reading T7 conductivity=600uS/cm where=tap"""
    found = Slipped(f"{DOSED}\n{lines}").now_after("dosed ten times")
    first = next(s for s in found.urgent.steps if s.act == "change")
    assert first.share == pytest.approx(0.25 * 200 / 400)
    assert first.of.change.by == "conductivity"


def test_twice_within_what_is_published_is_only_watched():
    """87.5 mg twice are 5 mg/L."""
    found = Slipped(DOSED.replace("175mg", "87.5mg")).now_after("dosed twice")
    assert found.calm
    assert order(found) == ["stop", "watch", "look"]


def test_whom_it_kills_goes_out_first_and_into_water_that_is_known_good():
    """Copper with shrimp: out at once; T11 is empty, warm alike, read today."""
    found = Slipped("12 May 2026 20:40 dose T7 copper=20mg").now_after("dosed the wrong tank")
    first = found.urgent.steps[0]
    assert first.act == "move"
    assert "amano shrimp" in first.of.who
    assert first.of.refuge.tank == "t11"
    assert first.of.within_h == 0.0


def test_rule_22_without_such_a_tank_it_is_a_tub():
    lines = (
        "12 May 2026 20:40 dose T7 copper=20mg\n12 May 2026 20:45 stock T11 kind=guppy number=2 length=3cm"
    )
    first = Slipped(lines).now_after("dosed the wrong tank").urgent.steps[0]
    assert first.of.refuge.tank == ""
    assert first.of.refuge.litres > 0


def test_a_series_that_takes_longer_than_was_tested_moves_them_too():
    """Salt at 10 g/L comes down by 30 % a day: days, where hours were tested."""
    found = Slipped("12 May 2026 20:40 dose T7 sodium_chloride=350g").now_after("dosed ten times")
    move = found.urgent.steps[0]
    assert move.act == "move"
    assert move.of.slow_h is None or move.of.slow_h > move.of.within_h


def test_what_nobody_knows_is_not_called_fine():
    """Kanamycin as shrimp bear it nobody knows; what is not in the facts at all has no level."""
    found = Slipped("12 May 2026 20:40 dose T10 doxycycline=300mg").now_after("dosed twice", "t10")
    assert not found.calm
    change = next(s for s in found.urgent.steps if s.act == "change")
    assert type(change.of).__name__ == "Nobody"


def test_carbon_is_no_promise_and_not_offered_against_salt():
    assert "carbon" in order(Slipped(DOSED).now_after("dosed ten times"))
    assert "carbon" not in order(
        Slipped("12 May 2026 20:40 dose T7 sodium_chloride=350g").now_after("dosed ten times")
    )


# Too little


def test_what_was_spilled_goes_in_again():
    """Half of 175 mg went in: the other half, and what has faded since, within what everybody bears."""
    step = Slipped(DOSED).acts("spilled half")["put-back"]
    (end,) = step.of.ends
    assert end.full == pytest.approx(5.0)
    assert end.gone == pytest.approx(175.0)
    assert end.lasting == pytest.approx(87.5, rel=0.01)
    assert 87.5 <= end.likely <= 175.0
    assert step.of.peaks["metronidazole"].high <= 6.6 * 1.05


def test_none_of_it_went_in_so_all_of_it_goes_in():
    step = Slipped(DOSED).acts("spilled it, nothing went in")["put-back"]
    assert step.of.ends[0].likely == pytest.approx(175.0)


def test_a_part_of_a_packet_is_put_back_in_packets():
    step = Slipped(BY_SACHET).acts("spilled half")["put-back"]
    assert step.of.supply == "sachet"
    assert step.of.amounts["metronidazole"] == pytest.approx(200.0 * step.of.units)


def test_carbon_left_in_comes_out_first_then_what_is_missing():
    """Dosed two days ago into carbon: under what works; both ends stand beside what is likely."""
    room = Slipped("10 May 2026 20:00 dose T7 metronidazole=175mg")
    found = room.now_after("carbon left in")
    assert order(found)[:2] == ["carbon-out", "put-back"]
    (end,) = found.urgent.steps[1].of.ends
    assert end.lasting <= end.likely <= end.gone == pytest.approx(175.0)
    assert end.level.value < end.works
    assert end.likely == pytest.approx((5.0 - end.level.value) * 35.0)


def test_carbon_that_took_little_needs_nothing_back():
    """Dosed minutes ago: it still works."""
    found = Slipped("12 May 2026 20:58 dose T7 metronidazole=190mg").now_after("carbon left in")
    assert order(found)[:2] == ["carbon-out", "wait"]
    assert found.urgent.steps[1].of.why == "works"


def test_what_goes_back_never_passes_what_everybody_bears():
    """A range so wide that the likely amount could pass 6.6 is cut to what surely fits."""
    for hours in (0.5, 6, 24, 72):
        lines = f"{(NOW - timedelta(hours=hours)):%d %B %Y %H:%M} dose T7 metronidazole=225mg"
        step = Slipped(lines).acts("carbon left in").get("put-back")
        if step is not None:
            assert step.of.peaks["metronidazole"].high <= 6.6 * 1.05


def test_a_change_before_the_dose_took_nothing_of_it():
    lines = "12 May 2026 18:00 change T7 share=50%\n" + DOSED
    assert "put-back" not in Slipped(lines).acts("water change 90 %")
    after = DOSED + "\n12 May 2026 19:00 change T7 share=50%"
    assert "put-back" in Slipped(after).acts("water change 90 %")


# Late


def late(room: Slipped, name: str):
    now = room.now_after("forgot a dose")
    steps = room.room.courses["t7"].steps
    open_steps = [s for s in steps if not any(getattr(e, "step", "") == s.id for e in room.room.log)]
    return late_doses(room.room, "t7", NOW, FACTS, open_steps, now.inside, step=name)[0]


GIVEN = dose_step("a", ago(50))


def test_a_late_dose_is_given_and_the_next_comes_as_planned():
    """Two hours late, the next in three days: nothing changes."""
    room = Slipped("", course(GIVEN, dose_step("b", ago(2)), dose_step("c", ahead(72))), done(GIVEN, ago(50)))
    found = late(room, "b")
    assert (found.advice, found.give_at, found.next_then) == ("give", NOW, ahead(72))


def test_a_dose_that_is_too_late_puts_the_next_one_off():
    """A day and a half late, the next in 12 hours: it waits as long as two of them stand apart."""
    room = Slipped("", course(dose_step("b", ago(36)), dose_step("c", ahead(12))))
    found = late(room, "b")
    assert found.advice == "give-and-move"
    assert found.next_then == ahead(found.apart_h)
    rows = [r for r in FACTS.substances["metronidazole"].regimen if r.recommended and r.route == "water_long"]
    assert found.apart_h == min(
        24.0 * r.interval_d_low for r in rows if r.interval_d_low and "hexamita" in r.treats
    )


def test_two_doses_never_stand_closer_than_the_interval():
    """The one before was late too: this one waits. 2.5 mg/L each, so that nothing else holds it back."""
    first, second = dose_step("a", ago(50), 87.5), dose_step("b", ago(2), 87.5)
    room = Slipped("", course(first, second, dose_step("c", ahead(46), 87.5)), done(first, ago(20)))
    found = late(room, "b")
    assert found.advice == "wait"
    assert found.give_at == ago(20) + timedelta(hours=found.apart_h)
    assert found.next_then >= found.give_at + timedelta(hours=found.apart_h)


def test_a_late_dose_that_comes_higher_than_the_course_would_have_is_left_out():
    """5 mg/L each, the one before only 20 hours ago: over 6.6, and over what was planned."""
    room = Slipped("", course(GIVEN, dose_step("b", ago(2)), dose_step("c", ahead(46))), done(GIVEN, ago(20)))
    assert late(room, "b").advice == "leave-out"


def test_the_peak_of_a_late_dose_is_that_of_the_model():
    room = Slipped("", course(GIVEN, dose_step("b", ago(2)), dose_step("c", ahead(72))), done(GIVEN, ago(50)))
    found = late(room, "b")
    acts = [(ago(50), GIVEN.act), (NOW, GIVEN.act)]
    made = levels(
        "metronidazole", acts, facts=FACTS, volume_l=Estimate.exact(35.0), temp_c=Estimate.exact(25.0),
        filter="sponge", until=NOW,
    )  # fmt: skip
    assert found.peak.value == pytest.approx(made.end.value, rel=0.01)


def test_a_dose_is_left_out_while_a_full_one_is_in():
    """Given twice this evening by hand, and the planned one still open: 10 mg/L are in."""
    lines = "12 May 2026 20:30 dose T7 metronidazole=350mg"
    room = Slipped(lines, course(dose_step("b", ago(2)), dose_step("c", ahead(72))))
    assert late(room, "b").advice == "leave-out"
    assert "leave-out" in room.acts("forgot a dose")


def test_the_change_that_belongs_to_it_comes_first():
    room = Slipped("", course(change_step("x", ago(2)), dose_step("b", ago(2)), dose_step("c", ahead(72))))
    assert order(room.now_after("forgot a dose"))[:2] == ["do-late", "give-late"]


def test_nothing_that_is_not_late_is_called_so():
    room = Slipped("", course(dose_step("b", ahead(20))))
    found = room.now_after("forgot a dose")
    assert "give-late" not in order(found)


def test_rule_20_no_dose_goes_into_bad_water():
    """Ammonia 2 mg/L as N at pH 8.2: the water first; neither the late dose nor what carbon took."""
    bad = '12 May 2026 20:50 reading T7 ammonia="2 mg/L as N" ph=8.2 temp=25C'
    late = Slipped(bad, course(dose_step("b", ago(2)), dose_step("c", ahead(72)))).acts("forgot a dose")
    assert "water-first" in late
    assert "give-late" not in late
    carbon = Slipped(f"12 May 2026 09:00 dose T7 metronidazole=175mg\n{bad}").acts("carbon left in")
    assert "water-first" in carbon
    assert "put-back" not in carbon


def test_rule_19_what_nobody_knows_is_thinned_even_where_the_rest_is_fine():
    """A packet without named actives went in beside a known medicine that everybody bears."""
    lines = """1 May 2026 08:40 supply mystery unit=sachet per=40L
12 May 2026 18:30 dose T7 metronidazole=87mg
12 May 2026 19:00 dose T7 supply=mystery units=2"""
    found = Slipped(lines).now_after("dosed too much")
    assert "change" in order(found)
    assert "watch" not in order(found)


# Water, warmth, power


def test_warmth_comes_back_by_what_they_bear_in_an_hour():
    """31 to 25 °C at 0.5 to 1 °C an hour: 6 to 12 hours."""
    step = Slipped().acts("heater stuck 31C")["cool"]
    assert step.of.per_h == (0.5, 1.0)
    assert step.of.hours == (6.0, 12.0)
    assert order(Slipped().now_after("heater stuck 31C"))[:2] == ["heater-off", "air"]


def test_cold_goes_up_the_same_way():
    step = Slipped().acts("heater went cold 19C")["warm"]
    assert step.of.by_c == -6.0
    assert step.of.hours == (6.0, 12.0)


def test_cold_new_water_is_reckoned_from_the_mixture():
    """Half of it at 10 into 25 °C: 17.5, by arithmetic."""
    lines = "12 May 2026 20:30 change T7 share=50% dechlorinated=yes"
    step = Slipped(lines).acts("the new water was too cold 10C")["warm"]
    assert step.of.now_c == pytest.approx(17.5)


def test_a_thermometer_that_nobody_read_is_asked_for():
    assert Slipped().acts("heater stuck")["cool"].of.now_c is None


def test_oxygen_hours_are_those_of_the_forecast():
    """The same tank with a quarter of its animals lasts longer; a crowded one comes first."""
    room = Slipped().room
    ours = oxygen_lasts(room, "t7", NOW, FACTS)
    crowd = Slipped("1 May 2026 08:40 stock T7 kind=neon_rainbow name=more number=60 length=4cm").room
    crowded = oxygen_lasts(crowd, "t7", NOW, FACTS)
    assert crowded.first < ours.first
    first = which_first(crowd, NOW, FACTS)
    assert first[0].tank == "t7"
    assert {x.tank for x in first} == {"t7", "t10"}  # nobody lives in T11


def test_a_tank_whose_litres_are_not_known_says_so_instead_of_hours():
    room = Slipped("1 May 2026 08:50 tank T12 temp=25C\n1 May 2026 08:51 stock T12 kind=guppy number=3").room
    found = oxygen_lasts(room, "t12", NOW, FACTS)
    assert found.fault
    assert found.care == (None, None)


def test_without_power_air_is_by_hand_and_nobody_is_fed():
    found = Slipped().now_after("power cut")
    assert order(found)[:3] == ["air", "oxygen", "no-food"]
    assert type(found.urgent.steps[0].of).__name__ == "ByHand"
    assert "oxygen" not in order(Slipped("12 May 2026 10:00 power_cut T7 hours=2h").now_after("sang to them"))


def test_when_it_flows_again_only_the_filter_is_rinsed():
    found = Slipped().now_after("power cut 6 h")
    assert order(found) == ["air", "rinse-filter", "look"]
    assert after_heading("no-flow", found.urgent.steps, found.calm).startswith("Nothing flowed for a while.")


def test_a_forgotten_change_is_made_now():
    room = Slipped("", course(change_step("x", ago(20)), dose_step("c", ahead(20))))
    step = room.acts("forgot the water change")["change"]
    assert step.share == 0.5
    assert step.of.planned.id == "x"
    assert "next-dose" in room.acts("forgot the water change")


# Newcomers and food


def test_a_newcomer_is_held_against_what_is_in_the_water():
    """28 days from now for all (rule 27); the dose stays."""
    step = Slipped(DOSED).acts("added 3 cherry shrimp")
    assert step["clock"].of.clock_until == NOW + timedelta(days=28)
    assert "dose-stays" in step
    assert {v.limit.who for v in step["clock"].of.verdicts} == {"cherry shrimp"}


def test_a_newcomer_that_cannot_bear_it_goes_out():
    lines = "12 May 2026 20:40 dose T11 copper=15mg"
    found = Slipped(lines).now_after("added 3 cherry shrimp", "t11")
    assert found.urgent.steps[0].act == "move"
    assert "cherry shrimp" in found.urgent.steps[0].of.who


def test_one_that_nobody_names_is_never_safe():
    step = Slipped(DOSED).acts("a new fish came in")["stay"]
    assert step.of.nameless


def test_the_next_meal_stays_where_it_is():
    fed, later = feed_step("f", ago(4)), feed_step("g", ahead(20))
    found = Slipped("", course(fed, later), done(fed, ago(4))).acts("they spat out the food")
    assert found["not-counted"].of.step.id == "g"
    low, high = leaching("metronidazole", FACTS).low, leaching("metronidazole", FACTS).high
    assert found["food-out"].of.leaches == (("metronidazole", low, high),)


# Together


def test_danger_comes_before_the_slip():
    found = Slipped(DOSED).now_after("carbon left in", seen=("gasping_surface",))
    assert order(found)[:2] == ["air", "stop"]
    assert order(found).index("carbon-out") > order(found).index("change")


def test_an_overdose_is_found_whatever_was_told():
    """1,750 mg are in the log; what is told is a forgotten change."""
    found = Slipped(DOSED.replace("175mg", "1750mg")).now_after("forgot the water change")
    assert [s.act for s in found.urgent.steps].count("change") >= 3


def test_what_the_log_says_is_done_is_not_told_again():
    lines = """11 May 2026 08:00 media T7 in=yes
12 May 2026 20:55 media T7 in=no
12 May 2026 20:59 air T7 more=yes"""
    found = Slipped(f"{DOSED}\n{lines}").now_after("carbon left in")
    assert not {"carbon-out", "air"} & set(order(found))


def test_the_answer_starts_from_the_log_alone():
    """Told and kept, the same answer comes from the logbook without a word of the slip's texts."""
    room = Slipped(DOSED)
    told = room.now_after("dosed ten times")
    kept = Slipped(DOSED, *room.said("dosed ten times").entries)
    again = kept.now_after("overdosed")
    assert [s.amount.value for s in told.urgent.steps if s.act == "change"] == [
        s.amount.value for s in again.urgent.steps if s.act == "change"
    ]


@pytest.mark.parametrize("did", [w for w, slip in WORDS if slip != "no-flow"])
def test_no_answer_waits_for_a_forecast(did, monkeypatch):
    """Only a power cut asks one, of eight hours and few draws; bench/bench_what_now.py has the seconds."""

    def waits(*_, **__):
        raise AssertionError("a forecast was asked for")

    monkeypatch.setattr(power, "forecast", waits)
    assert Slipped(DOSED).now_after(did).urgent.steps
