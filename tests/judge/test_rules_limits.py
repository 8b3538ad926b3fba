"""Rules 1 to 7: the limit of every inhabitant, by the number of the rule."""

import pytest

from tankward.judge.limits import limits
from tankward.judge.packets import packet
from tankward.judge.presumed import presumed
from tankward.judge.trials import Trial
from tankward.judge.verdicts import judge_level, judge_levels, refused
from tankward.knowledge.bearing import WORSE
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tests.judge.tanks import FACTS, approx, group, thin_livebearers

SHRIMP_AND_SNAILS = [a.id for a in FACTS.animals.values() if a.kind in ("shrimp", "snail", "crayfish")]


def one(substance, kind, **more):
    """The limit of a single animal; scatterers' eggs and fry are left out."""
    route = more.pop("route", "water")
    hours = more.pop("hours", 96.0)
    found = limits(
        substance, [group(kind, 5, **more)], FACTS, route=route, hours=hours, not_there={"fry", "egg"}
    )
    return found[0]


def says(limit, level, hours=48.0, **more):
    return judge_level([limit], level, level, level, hours, **more)[0]


@pytest.mark.parametrize("animal", SHRIMP_AND_SNAILS)
def test_rule_1_copper_is_lethal_to_every_shrimp_and_snail(animal):
    limit = one("copper", animal)
    assert (limit.cls, limit.level) == ("lethal", 0.0)
    assert says(limit, 0.01).says == "refused"


def test_rule_1_formalin_with_fry_is_avoid():
    limit = one("formalin", "guppy", stage="fry")
    assert limit.cls == "avoid"
    assert says(limit, 5.0).says == "refused"


def test_rule_1_every_animal_and_substance_gives_a_class():
    for substance in FACTS.substances.values():
        for animal in FACTS.animals:
            for limit in limits(substance.id, [group(animal, 3)], FACTS):
                assert limit.cls in WORSE
                assert (limit.level is None) == (limit.kind == "unknown")


def test_rule_1_a_name_that_resolves_to_nothing_stops():
    with pytest.raises((BadInput, KeyError)):
        limits("copperr", [group("guppy", 3)], FACTS)


def test_rule_1_a_combination_is_its_parts_and_the_worst_decides():
    found = limits("formalin_malachite", [group("cherry_shrimp", 9)], FACTS)
    assert {x.part for x in found} == {"formalin", "malachite_green"}
    levels = {x.part: (0.01, 0.01, 0.01) for x in found}
    assert refused(judge_levels(found, levels, 24, FACTS))


def test_rule_2_a_tenth_of_its_own_96_h_lc50():
    """Formalin, guppy: 96 h LC50 100 uL/L printed; limit 10."""
    limit = one("formalin", "guppy", sex="male")
    assert (limit.level, limit.lc50, limit.near) == (approx(10.0), approx(100.0), "own species")


def test_rule_2_three_hundredths_of_a_relative_and_the_lower_figure_stays():
    """Salt, tetras: Metynnis 10.5 g/L printed; 0.03 x 10,500 = 315 mg/L. The killifish's 1.44 g/L
    is lower.
    """
    limit = one("sodium_chloride", "neon_tetra")
    assert limit.near == "own group"
    assert next(f.taxon for f in limit.lower) == "annual killifish"
    assert limit.lc50 == approx(10500.0)


def test_rule_2_one_hundredth_of_another_group():
    """Praziquantel: zebrafish 30.4, shiner 49.7, grass carp 60.6; the middle one x 0.01 for a platy."""
    limit = one("praziquantel", "platy", sex="male")
    assert (limit.near, limit.level) == ("another group", approx(0.497))
    assert [f.level for f in limit.lower] == [30.4]


def test_rule_2_a_no_effect_level_comes_first_but_only_for_the_time_tested():
    """Emamectin, zebrafish: no side effects at 0.56 mg/L for 24 h."""
    assert one("emamectin", "zebra_danio", hours=24.0).kind == "published-no-effect"
    assert one("emamectin", "zebra_danio", hours=96.0).kind != "published-no-effect"


def test_rule_2_over_the_limit_only_as_a_published_course_under_a_quarter_of_the_lc50():
    limit = one("praziquantel", "platy", sex="male")
    published = says(limit, 2.0, hours=30)
    assert (published.says, published.why) == ("care", "published-regimen")
    assert says(limit, 10.0, hours=48).says == "care"
    assert says(limit, 11.0, hours=24).why == "no-regimen"
    assert says(limit, 0.25 * 49.7).why == "quarter-of-lc50"


def test_rule_2_beyond_the_time_tested_is_refused():
    """10 mg/L is published for 48 h; three days of it are not."""
    limit = one("praziquantel", "platy", sex="male")
    assert says(limit, 9.0, hours=72).why == "beyond-time-tested"


def test_rule_2_a_timed_bath_only_as_published_and_no_longer():
    assert one("formalin", "rosy_barb", route="bath", hours=1.0).level == approx(100.0)
    assert one("formalin", "rosy_barb", route="bath", hours=2.0).level is None


def test_rule_3_a_class_from_memory_never_says_bears():
    for substance in FACTS.substances:
        for animal in ("platy", "cherry_shrimp", "ramshorn", "bronze_cory", "java_moss"):
            for limit in limits(substance, [group(animal, 3)], FACTS):
                if limit.kind == "class" and limit.cls_status == "memory":
                    assert says(limit, (limit.level or 0.0) * 0.5).says != "bears"


def test_rule_3_no_harm_reported_is_said_as_not_measured():
    assert says(one("metronidazole", "cherry_shrimp"), 5.0).says == "no-harm-reported-not-measured"


def test_rule_3_a_trial_from_a_jar_never_lifts_lethal():
    stock = [group("cherry_shrimp", 9)]
    trial = Trial(substance="copper", animal="cherry_shrimp", level=0.5, hours=24, harmed=False)
    assert judge_level(limits("copper", stock, FACTS, trials=[trial]), 0.3, 0.3, 0.3, 24)[0].says == "refused"


def test_rule_4_what_would_change_a_refusal_is_never_a_smaller_dose():
    stock = thin_livebearers()
    for substance in ("copper", "formalin", "malachite_green", "praziquantel", "sodium_chloride"):
        for verdict in judge_level(limits(substance, stock, FACTS), 20.0, 20.0, 20.0, 240):
            if verdict.says == "refused":
                assert not {"half", "less", "smaller", "lower"} & set(verdict.would_change.split())
                assert verdict.would_change


def test_rule_4_who_can_not_bear_it_moves():
    verdict = judge_level(limits("copper", [group("nerite", 2, "snails")], FACTS), 0.2, 0.2, 0.2, 24)[0]
    assert verdict.would_change == "move the 2 snails to another tank or into a tub, or choose another remedy"


@pytest.mark.parametrize("substance", ["copper", "potassium_permanganate", "formalin", "malachite_green"])
def test_rule_4_gravid_females_and_juveniles_are_kept_from_it_not_half_dosed(substance):
    assert one(substance, "platy", sex="female", gravid=True).cls == "avoid"
    assert one(substance, "zebra_danio", stage="juvenile").cls == "avoid"


def test_rule_5_fry_are_presumed_with_both_sexes_or_a_female_bought_lately():
    both = [group("guppy", 3, "him", sex="male"), group("guppy", 3, "her", sex="female", arrived_d=400)]
    assert [p.stage for p in presumed(both, FACTS)] == ["fry"]
    assert [p.stage for p in presumed([group("guppy", 3, sex="female", arrived_d=90)], FACTS)] == ["fry"]
    assert presumed([group("guppy", 3, sex="female", arrived_d=400)], FACTS) == ()
    assert presumed([group("guppy", 3, sex="male")], FACTS) == ()
    assert presumed(both, FACTS, not_there={"fry"}) == ()


def test_rule_5_eggs_are_presumed_with_scatterers_on_moss():
    barbs = group("cherry_barb", 18)
    assert [p.stage for p in presumed([barbs, group("java_moss", 1)], FACTS)] == ["egg"]
    assert presumed([barbs], FACTS) == ()


def test_rule_5_presumed_fry_refuse_and_say_how_to_go_on():
    """Praziquantel harmed young carp at 2 mg/L: half of it, 1 mg/L, is never passed with fry."""
    fry = next(x for x in limits("praziquantel", thin_livebearers(), FACTS) if x.presumed == "fry")
    assert fry.level == approx(1.0)
    verdict = says(fry, 1.9)
    assert (verdict.says, verdict.why) == ("refused", "harms-young")
    assert verdict.would_change == "take the fry out, or say that there are none"


def test_rule_5_a_fixed_ratio_packet_that_can_not_work_is_refused_with_what_would():
    """240 mg + 80 mg in 63 L: 3.8 and 1.27 mg/L a packet; fry hold the second at 1.0, the first
    works from 5.
    """
    found = limits("metronidazole_praziquantel", thin_livebearers(), FACTS, hours=48)
    per_unit = {"metronidazole": 240 / 63, "praziquantel": 80 / 63}
    answer = packet(per_unit, {"metronidazole": 5.0, "praziquantel": 0.75}, found, 48, FACTS)
    assert answer.reason is not None
    assert answer.most == approx(0.79, abs=0.005)
    assert answer.works_alone == ("metronidazole", "praziquantel")
    assert "metronidazole" in answer.reason.would_change
    assert any("fry" in who for who in answer.reason.who)


def test_rule_5_without_fry_the_packet_may_be_used():
    found = limits("metronidazole_praziquantel", thin_livebearers(), FACTS, hours=24, not_there={"fry"})
    per_unit = {"metronidazole": 240 / 63, "praziquantel": 80 / 63}
    answer = packet(per_unit, {"metronidazole": 5.0, "praziquantel": 0.75}, found, 24, FACTS)
    assert answer.reason is None
    assert answer.least == approx(5.0 / (240 / 63))


def test_rule_6_a_jar_trial_narrows_what_nobody_knew():
    snail = [group("assassin_snail", 2)]
    before = judge_level(limits("levamisole", snail, FACTS), 2.0, 2.0, 2.0, 24)[0]
    assert (before.says, before.would_change) == ("unknown", "try it in a jar for 24 hours")
    trial = Trial(substance="levamisole", animal="assassin_snail", level=2.0, hours=24, harmed=False)
    tried = limits("levamisole", snail, FACTS, trials=[trial])
    assert judge_level(tried, 2.0, 2.0, 2.0, 24)[0].says == "care"
    assert judge_level(tried, 3.0, 3.0, 3.0, 24)[0].says == "refused"


def test_rule_6_harm_in_the_jar_refuses_and_a_short_trial_proves_nothing():
    snail = [group("assassin_snail", 2)]
    harmed = Trial(substance="levamisole", animal="assassin_snail", level=2.0, hours=6, harmed=True)
    found = limits("levamisole", snail, FACTS, trials=[harmed])
    assert judge_level(found, 1.0, 1.0, 1.0, 24)[0].says == "refused"
    short = Trial(substance="levamisole", animal="assassin_snail", level=2.0, hours=6, harmed=False)
    assert limits("levamisole", snail, FACTS, trials=[short])[0].kind == "unknown"


def test_rule_7_an_unknown_animal_is_judged_as_the_strictest_and_asked_about():
    stranger = group("", 2, "wonderfish")
    limit = limits("copper", [stranger], FACTS)[0]
    fish = [g.id for g in FACTS.groups.values() if g.kind == "fish" and not g.life_stage]
    strictest = max((FACTS.sensitivity(g, "copper").cls for g in fish), key=WORSE.index)
    assert limit.cls == strictest
    verdict = judge_level(limits("metronidazole", [stranger], FACTS), 5.0, 5.0, 5.0, 24)[0]
    assert (verdict.says, verdict.why) == ("care", "unknown-animal")
    assert verdict.would_change.startswith("say what they are")


def test_rule_7_where_a_fish_was_caught_is_no_limit_to_a_substance():
    warm = one("heat", "zebra_danio", route="heat")
    assert warm.kind == "class"
    assert warm.level == approx(28.0)


def test_missing_is_never_zero_and_never_safe():
    limit = one("albendazole", "platy", sex="male")
    assert limit.level is None
    assert says(limit, 1.0).says == "unknown"


def test_a_length_under_a_centimetre_is_fry_whatever_it_was_called():
    tiny = limits("formalin", [group("platy", 9, sex="male", length_cm=Estimate.exact(0.8))], FACTS)[0]
    assert tiny.stage == "fry"
