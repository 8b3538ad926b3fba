"""Rules 17 and 18: the next ten minutes, in order; and an overdose thinned out. Expert case 3."""

import pytest

from tankward.judge.first_aid import dechlorinator, dilute_out, shock_limit
from tankward.judge.slips import slips_in, what_now
from tankward.judge.urgent import Told, first_steps, urgent
from tankward.quantities.parse import Estimate
from tankward.show.words.judge import step_head
from tests.judge.tanks import FACTS, approx

V45 = Estimate.exact(45.0)


def steps(told, seen=("gasping_surface",)):
    return {s.act: s for s in urgent(seen, told, FACTS).steps}


def test_rule_17_the_order_is_air_stop_dechlorinate_change_carbon_dim_look():
    told = Told(volume_l=V45)
    assert list(steps(told)) == ["air", "stop", "dechlorinate", "change", "carbon", "dim", "look"]
    assert urgent(["gasping_surface"], told, FACTS).ask[0].id == "dose"


@pytest.mark.parametrize("sign", ["gasping_surface", "on_side", "sudden_deaths_many"])
def test_rule_17_what_makes_it_urgent(sign):
    assert urgent([sign], Told(), FACTS) is not None


def test_rule_17_white_spots_are_not_the_next_ten_minutes():
    assert urgent(["white_spots", "flashing"], Told(), FACTS) is None


def test_rule_17_thiosulfate_for_the_whole_tank():
    """Case 3: 45 L, 3 mg/L x 7 x 1.5 = 1.4 g."""
    amount = steps(Told(volume_l=V45))["dechlorinate"].amount
    assert amount.value == approx(45 * 3 * 7 * 1.5 / 1000)
    assert amount.shown == "1.4 g"
    assert {"CLINFISH"} <= set(amount.source_keys())


def test_rule_17_without_a_volume_the_amount_is_for_ten_litres():
    assert dechlorinator(None, FACTS).value == approx(0.315)
    assert "10 L" in dechlorinator(None, FACTS).says


def test_rule_17_a_tap_that_is_ruled_out_needs_no_dechlorinator():
    assert "dechlorinate" not in steps(Told(untreated_tap=False))
    assert steps(Told(untreated_tap=None))["dechlorinate"].ask.if_answer == ("yes", "dont-know")
    assert steps(Told(untreated_tap=True))["dechlorinate"].ask is None


@pytest.mark.parametrize(
    ("told", "share"),
    [
        (Told(big_change_d=90.0), 0.175),
        (Told(big_change_d=7.0), 0.5),
        (Told(big_change_d=7.0, ph=6.2), 0.5),
        (Told(), 0.175),
        (Told(ph=6.4), 0.175),
        (Told(ph=7.6), 0.5),
    ],
)
def test_rule_17_how_much_to_change_in_a_tank_that_may_be_old(told, share):
    change = steps(told)["change"]
    assert change.share == share
    assert (change.again_h == (2.0, 3.0)) == (share < 0.5)
    assert ("pH raiser" in change.caution) == (share < 0.5)


def test_rule_17_half_a_change_of_case_3_is_22_litres():
    amount = steps(Told(volume_l=V45, big_change_d=0.2))["change"].amount
    assert amount.value == approx(22.5)


def test_rule_17_carbon_unless_formaldehyde_salt_or_magnesium():
    assert "carbon" in steps(Told(dosed=("praziquantel",)))
    for leaves in ("formalin", "sodium_chloride", "magnesium_sulfate"):
        assert "carbon" not in steps(Told(dosed=(leaves,)))
    assert set(steps(Told(dosed=None))["carbon"].unless) >= {"formalin", "sodium_chloride"}


def test_rule_17_never_peroxide_salt_or_another_medicine():
    plan = urgent(["on_side"], Told(), FACTS)
    assert {"peroxide", "salt", "another medicine", "cold water"} <= set(plan.never)
    assert not {"dose", "salt", "heat"} & {s.act for s in plan.steps}


def test_rule_18_an_overdose_is_halved_until_it_is_under_its_target():
    plan = dilute_out(16.0, 2.0)
    assert (plan.changes, plan.levels) == (3, (8.0, 4.0, 2.0))
    assert dilute_out(16.0, 1.9).changes == 4
    assert dilute_out(1.0, 2.0).changes == 0
    assert "no rate" in plan.caution


def test_rule_18_within_the_shock_limits():
    """Salt no faster than 30 % a day; an old tank in small steps."""
    assert shock_limit("sodium_chloride", False, FACTS) == (0.30, 24.0)
    assert shock_limit("praziquantel", True, FACTS)[0] == 0.175
    share, every = shock_limit("praziquantel", False, FACTS)
    assert (share, every) == (0.5, 1.0)


@pytest.mark.parametrize(
    ("did", "slips"),
    [
        ("dosed twice", ("too-much",)),
        ("carbon left in; forgot one", ("carbon-in", "forgot-one")),
        ("forgot the dechlorinator", ("untreated-tap",)),
        ("dosed the wrong tank", ("wrong-tank",)),
        ("sang to them", ("something-else",)),
    ],
)
def test_slips_are_heard_in_plain_words(did, slips):
    assert slips_in(did) == slips


def test_a_slip_without_ill_fish_is_mended_without_the_alarm():
    plan = what_now([], "carbon left in", Told(volume_l=V45), FACTS)
    assert [s.act for s in plan.steps] == ["carbon-out", "wait", "look"]
    assert [s.act for s in what_now([], "forgot one", Told(), FACTS).steps] == ["give-late", "look"]


def test_danger_comes_before_the_slip():
    plan = what_now(["gasping_surface"], "dosed twice", Told(volume_l=V45), FACTS)
    assert [s.act for s in plan.steps][:2] == ["air", "stop"]
    acts = [s.act for s in plan.steps]
    assert len(acts) == len(set(acts))


def test_somebody_who_says_nothing_gets_the_first_steps():
    plan = what_now([], "", Told(), FACTS)
    assert next(s.act for s in plan.steps) == "air"
    assert plan.because == ()


def test_rule_17_thiosulfate_is_said_as_it_can_be_weighed():
    """T2: 31.5 L x 31.5 mg = 0.99 g is 1.0 g on a scale of 0.1 g; a cup of 1 L gets 0.1 g, never 0.03."""
    assert dechlorinator(Estimate.exact(31.5), FACTS).says == "1 g of thiosulfate for the whole tank"
    assert dechlorinator(Estimate.exact(1.0), FACTS).shown == "0.1 g"


def test_story_10_a_change_of_15_to_20_per_cent_has_both_ends_in_litres():
    """15 and 20 % of 45 L are 6.75 and 9 L."""
    (step,) = (s for s in first_steps(Told(volume_l=Estimate.exact(45.0)), FACTS) if s.act == "change")
    assert step_head(step) == "Change 15 to 20 % of the water (6.8 to 9 L)"
