"""Expert cases 1 to 3, as far as they are judged here: who bears what, what it may be, what comes
first. Invented.
"""

import pytest

from tankward.judge.causes import causes
from tankward.judge.ceilings import ceiling
from tankward.judge.conditions import conditions
from tankward.judge.evidence import Evidence
from tankward.judge.limits import limits
from tankward.judge.network_of import network_of
from tankward.judge.packets import highest
from tankward.judge.slips import what_now
from tankward.judge.told import evidence_of
from tankward.judge.urgent import Told, urgent
from tankward.judge.verdicts import judge_level, judge_levels, refused, worst
from tankward.judge.waterstate import said_water
from tankward.quantities.parse import Estimate
from tankward.room.things import Reading
from tests.judge.tanks import FACTS, approx, thin_livebearers, white_grains

NET = network_of(FACTS)
LITRES = 63.0
SACHET = {"metronidazole": 240.0, "praziquantel": 80.0}


def sachets(n):
    return {p: (mg * n / LITRES,) * 3 for p, mg in SACHET.items()}


def verdicts(n, not_there=("egg",), hours=48):
    found = limits("metronidazole_praziquantel", thin_livebearers(), FACTS, hours=hours, not_there=not_there)
    return judge_levels(found, sachets(n), hours, FACTS)


class TestCase1:
    """Thin livebearers, pale stringy droppings; 63 L; the sachet of two actives."""

    def test_levels_of_one_and_a_half_and_two_sachets(self):
        one, half_more, two = sachets(1), sachets(1.5), sachets(2)
        assert (one["metronidazole"][0], one["praziquantel"][0]) == approx((3.8, 1.27), abs=0.05)
        assert (half_more["metronidazole"][0], half_more["praziquantel"][0]) == approx((5.7, 1.9), abs=0.05)
        assert (two["metronidazole"][0], two["praziquantel"][0]) == approx((7.6, 2.5), abs=0.05)

    def test_with_fry_about_one_sachet_is_refused_and_says_fry_out(self):
        reasons = refused(verdicts(1))
        assert [r.would_change for r in reasons] == ["take the fry out, or say that there are none"]

    def test_without_fry_one_and_a_half_is_care_or_not_measured_never_bears(self):
        says = {v.limit.who: v.says for v in verdicts(1.5, ("egg", "fry")) if v.limit.part == "praziquantel"}
        assert says["platies"] == "care"
        assert says["cherry shrimp"] == "no-harm-reported-not-measured"
        assert says["ramshorn snails"] == "care"
        assert "bears" not in says.values()

    def test_the_label_on_75_litres_is_warned_and_blind_repeats_run_into_the_ceiling(self):
        """Peaks 7.6, 11.4, 13.3, 14.3 towards 15.2: warned, and refused where it tends to."""
        assert [ceiling("metronidazole", x, FACTS).says for x in (7.6, 11.4, 13.3, 14.3)] == ["warn"] * 4
        assert ceiling("metronidazole", 15.2, FACTS).says == "refuse"

    def test_fry_hold_praziquantel_at_one_which_is_0_79_sachet(self):
        found = limits("metronidazole_praziquantel", thin_livebearers(), FACTS, hours=48)
        most = highest("praziquantel", found, 48, FACTS)
        assert most == approx(1.0, rel=0.01)
        assert most * LITRES / SACHET["praziquantel"] == approx(0.79, abs=0.01)
        assert most * 3 < 5.0  # what is left of the other part lies under anything that worked

    def test_levamisole_at_2_refuses_nobody_and_calls_shrimp_not_measured_or_care(self):
        found = limits("levamisole", thin_livebearers(), FACTS, hours=24, not_there={"egg"})
        said = {v.limit.who: v.says for v in judge_level(found, 2.0, 2.0, 2.0, 24)}
        assert said["cherry shrimp"] == "care"
        assert said["platies"] == "no-harm-reported-not-measured"
        assert "refused" not in said.values()
        assert "bears" not in said.values()

    def test_no_heat_for_the_catfish(self):
        cats = [
            x for x in limits("heat", thin_livebearers(), FACTS, route="heat") if x.who == "small catfish"
        ]
        assert worst(judge_level(cats, 30.0, 30.0, 30.0, 240)) == "refused"

    def test_what_it_may_be_is_several_ranges_and_none_certain(self):
        told = evidence_of(
            ["sunken belly", "white stringy droppings"],
            [],
            FACTS,
            animals=thin_livebearers(),
            onset="weeks",
            share="some",
        )
        found = causes(told, NET)
        first = [r.id for r in found.ranked[:6]]
        assert {"hexamita", "mycobacteriosis", "starvation"} <= set(first)
        assert {"camallanus", "capillaria"} & set(first)
        assert found.ranked[0].value < 0.66
        assert found.of("mycobacteriosis").human_hazard.startswith("yes")


class TestCase2:
    """White grains, loaches, harlequins, shrimp; 58 L, 24 °C, 4 dKH (71 mg/L), pH 7.0."""

    def test_white_spot_very_likely_and_velvet_open(self):
        told = evidence_of(["white spots"], [], FACTS, animals=white_grains(), onset="days")
        found = causes(told, NET)
        assert found.ranked[0].id == "white_spot"
        assert found.ranked[0].value > 0.9
        assert found.of("velvet").value >= 0.001

    def test_copper_is_ruled_out_for_the_shrimp_at_5_8_times_their_lc50(self):
        """71/100 = 0.71 mg/L sulfate = 0.18 Cu; 96 h LC50 of a shrimp 0.0313 as Cu."""
        shrimp = next(x for x in limits("copper", white_grains(), FACTS) if x.who == "cherry shrimp")
        assert shrimp.cls == "lethal"
        assert 0.71 / shrimp.lc50 == approx(5.8, abs=0.1)
        reasons = refused(judge_level(limits("copper", white_grains(), FACTS), 0.71, 0.71, 0.71, 240))
        assert ("cherry shrimp",) in [r.who for r in reasons]

    def test_copper_would_pass_the_water_of_4_dkh(self):
        state = said_water([Reading(quantity="kh", value=71.4)], FACTS)
        assert conditions("copper", state, FACTS) == ()

    def test_salt_at_2_g_l_is_ruled_out_for_shrimp_and_loaches(self):
        found = limits("sodium_chloride", white_grains(), FACTS, not_there={"egg"})
        who = {r.who[0] for r in refused(judge_level(found, 2000, 2000, 2000, 192))}
        assert who == {"cherry shrimp", "kuhli loaches"}

    @pytest.mark.parametrize(("substance", "level"), [("formalin", 15.0), ("malachite_green", 0.05)])
    def test_dye_and_formalin_are_ruled_out_for_shrimp(self, substance, level):
        found = limits(substance, white_grains(), FACTS, not_there={"egg"})
        assert "cherry shrimp" in {r.who[0] for r in refused(judge_level(found, level, level, level, 96))}

    def test_heat_of_30_is_ruled_out_and_28_is_not_for_harlequins_and_shrimp(self):
        found = limits("heat", white_grains(), FACTS, route="heat", not_there={"egg"})
        assert refused(judge_level(found, 31, 31, 31, 240))
        mild = {v.limit.who: v.says for v in judge_level(found, 28, 28, 28, 240)}
        assert mild["harlequins"] == mild["cherry shrimp"] == "care"

    @pytest.mark.parametrize(("dye", "level"), [("methylene_blue", 3.0), ("malachite_green", 0.05)])
    def test_dye_in_a_tub_without_loaches_is_tried_on_one_harlequin_first(self, dye, level):
        only = [s for s in white_grains() if s.name == "harlequins"]
        verdict = judge_level(limits(dye, only, FACTS, not_there={"egg"}), level, level, level, 72)[0]
        assert (verdict.says, verdict.why) == ("unknown", "recalled-regimen")
        assert verdict.would_change == "try it on one of them first, for a day"

    def test_half_a_dose_of_copper_is_refused_as_well(self):
        assert refused(judge_level(limits("copper", white_grains(), FACTS), 0.35, 0.35, 0.35, 240))


class TestCase3:
    """Everyone at the surface 40 minutes after a dose; 45 L, 28 °C; dechlorinator "don't know"."""

    def test_the_steps_in_their_order_with_their_amounts(self):
        plan = urgent(["gasping_surface"], Told(volume_l=Estimate.exact(45.0), big_change_d=0.3), FACTS)
        assert [s.act for s in plan.steps] == [
            "air",
            "stop",
            "dechlorinate",
            "change",
            "carbon",
            "dim",
            "look",
        ]
        by_act = {s.act: s for s in plan.steps}
        assert by_act["dechlorinate"].amount.shown == "1.4 g"
        assert by_act["change"].share == 0.5
        assert "within 2 °C" in by_act["change"].caution
        assert plan.look_again_min == 10

    def test_an_old_or_acid_tank_gets_little_and_again(self):
        plan = urgent(["gasping_surface"], Told(volume_l=Estimate.exact(45.0), big_change_d=100.0), FACTS)
        change = next(s for s in plan.steps if s.act == "change")
        assert (change.share, change.again_h) == (0.175, (2.0, 3.0))

    def test_the_questions_come_after_and_what_they_tell(self):
        plan = urgent(["gasping_surface"], Told(), FACTS)
        assert ("brown gills", "nitrite") in plan.tells
        assert ("better within minutes of air", "low_oxygen") in plan.tells
        assert plan.ask[0].id == "dose"

    def test_a_medicine_did_it_is_among_the_causes(self):
        told = evidence_of(
            ["gasping_surface"], [], FACTS, history="dosed praziquantel 1 hour ago", onset="hours"
        )
        found = causes(told, NET)
        assert (
            found.of("medicine_harm").value
            > causes(Evidence(seen=("gasping_surface",)), NET).of("medicine_harm").value
        )
        assert found.of("medicine_harm").water

    def test_nothing_that_is_never_done_is_among_the_steps(self):
        plan = what_now(["gasping_surface"], "dosed twice", Told(), FACTS)
        assert not {"peroxide", "salt", "dose", "heat"} & {s.act for s in plan.steps}
