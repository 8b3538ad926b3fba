"""Rules 13, 16, 29, 30, 33 and 35 as far as they are judged here."""

import pytest

from tankward.judge.causes import causes
from tankward.judge.ceilings import ceiling
from tankward.judge.conditions import People, conditions
from tankward.judge.evidence import Evidence
from tankward.judge.germs import grade_of, judge_germs
from tankward.judge.limits import limits
from tankward.judge.network_of import network_of
from tankward.judge.next_look import next_look
from tankward.judge.together import still_there, together
from tankward.judge.verdicts import judge_levels
from tankward.judge.vet import see_vet
from tankward.judge.waterstate import said_water
from tankward.room.things import Reading
from tests.judge.tanks import FACTS, group

NET = network_of(FACTS)
CAREFUL = People(expert=True, sensitised=False, pregnant_or_children=False, window=True, goggles=True)


def water(**values):
    return said_water([Reading(quantity=q, value=v) for q, v in values.items()], FACTS)


@pytest.mark.parametrize(("level", "says"), [(5.7, "under"), (7.6, "warn"), (15.2, "refuse")])
def test_rule_16_metronidazole_warns_above_7_and_refuses_above_15(level, says):
    assert ceiling("metronidazole", level, FACTS).says == says
    assert ceiling("praziquantel", level, FACTS).says == "none"


def test_rule_16_the_ceiling_holds_for_a_part_of_a_combination():
    found = limits("metronidazole_praziquantel", [group("platy", 25, sex="male")], FACTS)
    one = judge_levels(found, {"metronidazole": (7.6, 7.6, 7.6)}, 48, FACTS)[0]
    assert (one.says, one.why) == ("care", "warned-by-ceiling")
    assert judge_levels(found, {"metronidazole": (15.2, 15.2, 15.2)}, 48, FACTS)[0].says == "refused"


def test_rule_30_formalin_in_good_water_with_careful_people_may_be():
    state = water(oxygen=7.0, temp_c=24.0)
    assert conditions("formalin", state, FACTS, people=CAREFUL) == ()


@pytest.mark.parametrize(
    ("state", "kind"),
    [
        (water(oxygen=5.5, temp_c=24.0), "formalin-condition"),
        (water(oxygen=7.0, temp_c=26.0), "formalin-condition"),
        (water(temp_c=24.0), "formalin-water-unknown"),
        (water(oxygen=7.0), "formalin-water-unknown"),
    ],
)
def test_rule_30_formalin_needs_oxygen_and_cool_water(state, kind):
    assert [r.kind for r in conditions("formalin", state, FACTS, people=CAREFUL)] == [kind]


def test_rule_30_formalin_not_with_damaged_gills_nor_with_methylene_blue():
    state = water(oxygen=7.0, temp_c=24.0)
    assert conditions("formalin", state, FACTS, people=CAREFUL, seen={"swollen_gills"})
    assert conditions("formalin", state, FACTS, people=CAREFUL, still_in={"methylene_blue"})


@pytest.mark.parametrize("field", ["expert", "sensitised", "pregnant_or_children", "window", "goggles"])
def test_rule_30_dont_know_is_the_worse_answer(field):
    state = water(oxygen=7.0, temp_c=24.0)
    known = {f: getattr(CAREFUL, f) for f in CAREFUL.__struct_fields__ if f != field}
    reasons = conditions("formalin", state, FACTS, people=People(**known))
    assert [r.kind for r in reasons] == [f"people-unknown-{field}"]
    assert all(r.would_change for r in reasons)


def test_rule_30_a_combination_with_formalin_has_its_conditions():
    assert conditions("formalin_malachite", water(oxygen=4.0, temp_c=24.0), FACTS, people=CAREFUL)


def test_copper_needs_an_alkalinity_of_50_that_was_read():
    """4 dKH is 71 mg/L as CaCO3; 2 dKH is 36."""
    assert conditions("copper", water(kh=71.0), FACTS) == ()
    assert conditions("copper", water(kh=36.0), FACTS)[0].source == "FA13"
    assert conditions("copper", water(), FACTS)[0].kind == "copper-water-unknown"


def test_rule_13_one_medicine_at_a_time():
    meeting = together("levamisole", ["methylene_blue"], FACTS)[0]
    assert (meeting.rule, meeting.refuses) == ("separate", True)
    assert "half changes" in meeting.reason.would_change


def test_rule_13_what_must_never_meet_and_how_long_to_wait():
    copper = together("formalin", ["copper"], FACTS)[0]
    assert (copper.rule, copper.wait_h) == ("never", 48)
    assert together("copper", ["formalin"], FACTS)[0].rule == "never"
    assert together("erythromycin", ["oxytetracycline"], FACTS)[0].rule == "never"


def test_rule_13_carbon_comes_out_before_a_medicine():
    meetings = together("praziquantel", [], FACTS, in_filter=["activated_carbon"])
    assert meetings[0].refuses
    assert any("carbon" in m.order or "out before" in m.order for m in meetings)


def test_the_two_parts_of_one_packet_do_not_bar_each_other():
    assert together("metronidazole_praziquantel", ["praziquantel"], FACTS) == ()
    assert not any(m.refuses for m in together("metronidazole", ["praziquantel"], FACTS))


def test_a_trace_is_not_there_any_more():
    assert still_there({"copper": 0.01, "formalin": 5.0}, {"copper": 0.7, "formalin": 15.0}) == ("formalin",)


def test_rule_33_a_visit_says_what_to_bring_and_what_to_do_until_then():
    ranked = causes(Evidence(seen=("spinning", "popeye_both")), NET).ranked
    visit = see_vet(ranked, FACTS)
    assert visit.fish_vet
    assert len(visit.bring) >= 5
    assert len(visit.until_then) >= 4
    assert "alive" in visit.bring[0]
    assert "never frozen" in see_vet(ranked, FACTS, dead_at_hand=True).bring[0]


def test_rule_33_a_fast_disease_is_seen_today():
    fast = causes(Evidence(seen=("gasping_surface", "brown_gills", "fast_gills")), NET).ranked
    assert see_vet(fast, FACTS).in_time == "today"


@pytest.mark.parametrize(
    ("count", "grade"), [(0, "none"), (3, "slight"), (10, "moderate"), (20, "marked"), (60, "extreme")]
)
def test_rule_35_the_field_scale(count, grade):
    assert grade_of(count) == grade


def test_rule_35_slight_and_well_is_counted_again_marked_and_thin_is_treated():
    assert (judge_germs(3, False).then, judge_germs(3, False).again_d) == ("count-again", 7.0)
    assert judge_germs(20, True).then == "treat"
    assert judge_germs(20, False).then == "look-further"
    assert judge_germs(20, None).then == "look-further"


def test_the_next_look_for_thin_livebearers_is_the_vent_or_the_back():
    evidence = Evidence(seen=("belly_sunken", "white_stringy_faeces"), hosts=("livebearer",), onset="weeks")
    looks = next_look(evidence, NET, FACTS, most=12)
    assert any("vent" in x.what or "back" in x.what for x in looks)
    assert [x.gain_per_minute for x in looks] == sorted((x.gain_per_minute for x in looks), reverse=True)
    assert all(x.gain > 0.0 and x.minutes > 0.0 for x in looks)


def test_the_next_look_is_none_that_was_done_and_opens_no_fish_that_is_not_dead():
    evidence = Evidence(seen=("belly_sunken",), absent=("worms_at_vent",), vent_looked_at=True)
    looks = next_look(evidence, NET, FACTS, most=200)
    assert not {"belly_sunken", "worms_at_vent"} & {x.id for x in looks}
    assert not any(x.harm == "only a dead fish" for x in looks)
    opened = next_look(evidence, NET, FACTS, most=200, dead_at_hand=True)
    assert any(x.harm == "only a dead fish" for x in opened)
