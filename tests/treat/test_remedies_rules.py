"""The safety rules that bind remedies, by number."""

import pytest

from tankward.judge.causes import causes
from tankward.judge.evidence import Evidence
from tankward.judge.findings import findings
from tankward.judge.network_of import network_of
from tankward.quantities.parse import Estimate
from tankward.treat.remedies.options import options
from tankward.treat.remedies.reach import reach
from tests.judge.tanks import group
from tests.treat.tanks import EXPERT, FACTS, case_1_stock, sachet, water

V = Estimate.exact(54.0)
GUPPIES = (group("guppy", 6, "guppies", sex="male", length_cm=Estimate.exact(3.0)),)


def about(cause, stock=GUPPIES, **more):
    read = more.pop("read", {})
    given = {"volume_l": V, "water": water(stock, V, **read), "region": "UK"} | more
    return options([cause] if isinstance(cause, str) else cause, stock, FACTS, **given)


def opened(found, name):
    return next((o for o in found.open if o.id == name), None)


def closed(found, name):
    return next((o for o in found.ruled_out if o.id == name), None)


def kinds(row):
    return {r.kind for r in row.reasons}


def test_rule_2_a_dose_near_the_lc50_is_never_open_in_any_course():
    """Copper over half a quarter of the LC50 of guppies' like stays closed even where no shrimp lives."""
    found = about("white_spot", read={"kh": 120.0})
    assert "quarter-of-lc50" in kinds(closed(found, "copper/alk"))


def test_rule_3_a_class_from_memory_never_prints_that_they_bear_it():
    for option in about("hexamita", shelf=(sachet(held_lawfully=True),)).open:
        for verdict in option.bears:
            assert verdict.says != "bears" or verdict.limit.measured


def test_rule_4_what_would_change_is_never_a_smaller_dose():
    stock = (*GUPPIES, group("cherry_shrimp", 30, "cherry shrimp"))
    for row in about("white_spot", stock, read={"kh": 120.0}).ruled_out:
        for text in row.would_change:
            assert "less" not in text
            assert "half" not in text


def test_rule_5_no_number_of_packets_with_fry_about():
    """240 + 80 mg in 63 L: 0.79 packets keep praziquantel at 1.0 but leave metronidazole at 3.0."""
    found = about(
        "hexamita", case_1_stock(), volume_l=Estimate.exact(63.0), shelf=(sachet(held_lawfully=True),)
    )
    row = closed(found, "metronidazole_praziquantel/by_parts")
    assert "fixed-ratio" in kinds(row)
    assert any("metronidazole" in text for text in row.would_change)


def test_rule_5_the_single_substance_named_is_for_the_cause():
    """Praziquantel alone would stay under every limit, but does nothing against gut flagellates."""
    packets = (sachet(metronidazole=2000, praziquantel=10, held_lawfully=True),)
    row = closed(about("hexamita", shelf=packets), "metronidazole_praziquantel/by_parts")
    reason = next(r for r in row.reasons if r.kind == "fixed-ratio")
    assert "praziquantel" not in reason.would_change


def test_rule_5_where_nobody_lives_only_what_works_counts():
    found = about("hexamita", (), shelf=(sachet(held_lawfully=True),))
    assert opened(found, "metronidazole_praziquantel/by_parts") is not None


def test_rule_6_what_nobody_measured_asks_for_a_jar_trial():
    strange = group("", 4, "small red fish")
    found = about("skin_flukes", (strange,))
    tried = [o for o in found.open if any(v.says == "unknown" for v in o.bears)]
    assert all(o.jar_trial for o in tried)
    assert not any(o.jar_trial for o in found.open if all(v.says != "unknown" for v in o.bears))


def test_rule_8_every_remedy_says_what_it_reaches_and_what_it_leaves():
    """Praziquantel on the eggs of gill flukes: nothing is known to kill them, so they are left."""
    option = opened(about("gill_flukes"), "praziquantel/fluke_2x")
    assert {r.stage for r in option.reaches} >= {"adult"}
    assert "egg" in {r.stage for r in option.not_reached}
    assert all(r.source for r in option.reaches)


def test_rule_8_a_stage_without_a_row_is_not_reached():
    reached, left = reach("magnesium_sulfate", "water_long", ("white_spot",), FACTS)
    assert reached == ()
    assert {r.share for r in left} == {None}


def test_rule_8_likely_causes_that_stay_untouched_are_named():
    evidence = Evidence(seen=("white_stringy_faeces", "back_thin"), hosts=("livebearer",))
    ranking = causes(evidence, network_of(FACTS))
    option = opened(about("camallanus", ranking=ranking), "levamisole/bath")
    likely = {r.id for r in ranking.ranked if r.value > 0.05}
    assert {left.cause for left in option.leaves} == likely - {"camallanus", "capillaria"}
    assert len(option.leaves) > 0


def test_rule_10_food_is_judged_by_what_leaches():
    """50 mg/kg for the fish, all of it leached: 50 x grams / 1000 / 54 L."""
    grams = water(GUPPIES, V).fish_g.value
    option = opened(about("tapeworms"), "praziquantel/feed_tape")
    assert {v.level for v in option.bears} == {50 * grams / 1000 / 54}
    nobody_knows = opened(about("tapeworms", volume_l=None), "praziquantel/feed_tape")
    assert nobody_knows.bears == ()


def test_rule_13_no_antibiotic_for_what_might_follow():
    row = closed(about("septicaemia"), "doxycycline/feed")
    assert "antibiotic-without-cause-seen" in kinds(row)
    assert opened(about("septicaemia", seen=("ulcer",)), "doxycycline/feed").use == "vet"


def test_rule_13_an_erythromycin_bath_is_not_proposed():
    found = about("streptococcus", seen=("ulcer",))
    assert not [o for o in found.open if o.substance == "erythromycin" and o.route != "feed"]


@pytest.mark.parametrize(
    ("cause", "name"), [("skin_flukes", "garlic/feed_guppy"), ("constipation", "magnesium_sulfate/bath")]
)
def test_rule_14_adjuncts_come_last_and_say_what_they_do_not_do(cause, name):
    found = about(cause)
    option = opened(found, name)
    assert option.adjunct
    said = next(r for r in option.cautions if r.kind == "adjunct").because
    assert FACTS.substances[option.substance].not_for[0] in said
    after = found.open[found.open.index(option) :]
    assert all(o.adjunct for o in after)


def test_rule_14_epsom_salt_is_no_swap_for_salt():
    """It carries no chloride: nothing of it is offered against nitrite, and sodium chloride is."""
    found = about("nitrite", read={"nitrite_n": 1.0})
    assert "sodium_chloride" in {o.substance for o in found.open}
    assert "magnesium_sulfate" not in {o.substance for o in found.open}


def test_rule_15_the_tank_without_fish_is_a_full_remedy():
    """14 d at 24 to 25 C; moved before the earliest hatch, every 12 h, until day 8: 15 moves."""
    option = opened(about("white_spot", read={"temp_c": 24.0}), "fish_out")
    figures = {f.id: (f.low, f.high) for f in option.figures}
    assert figures["empty_days"] == (14.0, 14.0)
    assert figures["move_every_h"] == (12.0, 12.0)
    assert figures["move_days"] == (8.0, 8.0)
    assert figures["moves"] == (15.0, 15.0)
    assert figures["carrier_days"] == (14.0, 28.0)
    assert 12.0 < figures["hatch_h"][0] < 24.0
    assert {r.place for r in option.reaches} == {"water", "surface"}
    assert option.days[0] >= 14.0


def test_rule_15_in_cool_water_fish_are_moved_less_often_and_for_longer():
    warm = opened(about("white_spot", read={"temp_c": 25.0}), "fish_out")
    cool = opened(about("white_spot", read={"temp_c": 16.0}), "fish_out")
    days = [next(f.high for f in o.figures if f.id == "move_days") for o in (warm, cool)]
    every = [next(f.high for f in o.figures if f.id == "move_every_h") for o in (warm, cool)]
    assert days[1] > 1.5 * days[0]
    assert every[1] > every[0]


def test_rule_15_what_breeds_on_the_fish_is_not_starved_out():
    assert opened(about("skin_flukes"), "fish_out") is None


def test_rule_15_the_daily_siphon_says_what_share_it_takes():
    option = opened(about("white_spot"), "daily_siphon")
    share = next(r.share for r in option.reaches if r.stage == "tomont")
    row = next(
        p
        for p in FACTS.organisms["ichthyophthirius"].parameter
        if (p.name, p.stage) == ("siphon_bare", "tomont")
    )
    assert share == (row.low, row.high)


def test_rule_16_metronidazole_over_fifteen_is_refused_and_over_seven_warned():
    """5 mg/L asked for, 3 or 11 mg/L still in: 8 warns, 16 is refused."""
    held = (sachet(held_lawfully=True),)
    warned = opened(about("hexamita", shelf=held, still_in={"metronidazole": 3.0}), "metronidazole/bath")
    assert "ceiling-warn" in {r.kind for r in warned.cautions}
    shut = closed(about("hexamita", shelf=held, still_in={"metronidazole": 11.0}), "metronidazole/bath")
    assert "ceiling-refuse" in kinds(shut)


def test_rule_20_bad_water_closes_medicines_and_leaves_the_water():
    found = about("gill_flukes", read={"ammonia_n": 2.0, "ph": 8.0})
    assert "water-ammonia" in kinds(closed(found, "praziquantel/fluke_2x"))
    assert opened(found, "water_only") is not None
    assert not [o for o in found.open if o.kind == "substance" and not o.relieves and o.route != "filter"]


def test_rule_20_a_sure_parasite_waits_for_the_water_and_is_not_a_no():
    found = about("tapeworms", read={"ammonia_n": 2.0, "ph": 8.0}, seen=("segments_in_faeces",))
    option = opened(found, "praziquantel/tape_24h_low")
    assert "water-ammonia" in {r.kind for r in option.cautions}
    assert any(r.would_change for r in option.cautions if r.kind == "water-ammonia")


def test_rule_20_unknown_water_leaves_what_spares_oxygen_and_filter():
    """No reading at all: formalin, permanganate and dyes are closed, praziquantel is open."""
    found = about(["gill_flukes", "costia_trichodina"], water=None)
    assert "water-unknown" in kinds(closed(found, "potassium_permanganate/long"))
    assert "water-unknown" in kinds(closed(found, "acriflavine/tilapia_long"))
    option = opened(found, "praziquantel/fluke_2x")
    assert "water-unknown" in {r.kind for r in option.cautions}


def test_rule_20_salt_for_nitrite_is_not_held_back_by_the_nitrite():
    found = about("nitrite", read={"nitrite_n": 2.0})
    assert opened(found, "sodium_chloride/nitrite") is not None


def test_rule_29_the_hazard_to_people_goes_with_the_remedy():
    found = about("hexamita", shelf=(sachet(held_lawfully=True),))
    option = opened(found, "metronidazole/feed")
    assert any("pregnant" in row.protect for row in option.people)


def test_rule_30_formalin_asks_its_questions_and_is_refused_without_them():
    row = closed(about("costia_trichodina"), "formalin/bath_ornamental_split")
    assert {k for k in kinds(row) if k.startswith("people-unknown")} == {
        "people-unknown-expert",
        "people-unknown-sensitised",
        "people-unknown-pregnant_or_children",
        "people-unknown-window",
        "people-unknown-goggles",
    }
    assert opened(about("costia_trichodina", people=EXPERT), "formalin/bath_ornamental_split") is not None


@pytest.mark.parametrize(
    ("read", "more", "kind"),
    [
        ({"oxygen": 5.0}, {}, "formalin-condition"),
        ({"oxygen": None}, {}, "formalin-water-unknown"),
        ({"temp_c": 26.5}, {}, "formalin-condition"),
        ({}, {"seen": ("swollen_gills",)}, "formalin-condition"),
        ({}, {"still_in": {"methylene_blue": 2.0}}, "formalin-condition"),
    ],
)
def test_rule_30_formalin_needs_oxygen_cool_water_sound_gills_and_no_blue(read, more, kind):
    found = about("costia_trichodina", people=EXPERT, read=read, **more)
    assert kind in kinds(closed(found, "formalin/bath_ornamental_split"))


def test_rule_33_the_veterinarian_always_with_what_to_bring_and_until_then():
    option = opened(about("mycobacteriosis"), "see_vet")
    assert option.kind == "vet"
    assert option.vet.bring
    assert option.vet.until_then
    assert isinstance(option.vet.fish_vet, bool)


@pytest.mark.parametrize("kh", [None, 30.0])
def test_copper_is_closed_where_alkalinity_is_unknown_or_low(kh):
    row = closed(about("white_spot", read={"kh": kh}), "copper/alk")
    assert kinds(row) & {"copper-water-unknown", "copper-condition"}


def test_findings_given_are_the_ones_that_count():
    state = water(GUPPIES, V, nitrite_n=5.0)
    given = about("gill_flukes", findings=findings(state, FACTS))
    assert "water-nitrite" in kinds(closed(given, "praziquantel/fluke_2x"))
