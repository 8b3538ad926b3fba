"""What it may be: ranges, contexts, signs against, and what never happens."""

import msgspec
import pytest

from tankward.judge.causes import causes
from tankward.judge.choices import CONTEXT_CAP, FLOOR
from tankward.judge.context import Row, moved_by, odds_factor, weight
from tankward.judge.evidence import Evidence, Happened, Outcome, fair
from tankward.judge.likely import word_of
from tankward.judge.network_of import network_of
from tests.judge.tanks import FACTS, approx

NET = network_of(FACTS)


def rank(**given):
    return causes(Evidence(**given), NET)


def test_every_cause_is_there_with_a_range_and_none_is_ruled_out():
    found = rank(seen=("white_spots", "flashing"), absent=("gold_dust",))
    assert {r.id for r in found.ranked} == set(FACTS.causes)
    for r in (*found.ranked, found.unlisted):
        assert FLOOR.value <= r.low <= r.value <= r.high <= 1.0


def test_something_not_on_this_list_is_always_among_the_answers():
    for seen in ((), ("white_spots",), ("gasping_surface", "brown_gills")):
        assert rank(seen=seen).unlisted.value >= FLOOR.value


def test_white_grains_on_newly_come_tetras_are_white_spot_likely_with_its_reasons():
    found = rank(
        seen=("white_spots", "flashing"), hosts=("tetra",), happened=(Happened(context="arrival", age_d=10),)
    )
    first = found.ranked[0]
    assert first.id == "white_spot"
    assert first.speaks_for[0].what == "white_spots"
    assert [m.context for m in first.moved] == ["arrival", "host"]


def test_a_sign_not_looked_for_is_no_sign_absent():
    nothing, absent = rank(seen=("flashing",)), rank(seen=("flashing",), absent=("white_spots",))
    assert absent.of("white_spot").value < nothing.of("white_spot").value
    unsure = rank(seen=("flashing",), unsure=("white_spots",))
    assert unsure.of("white_spot").value == nothing.of("white_spot").value


def test_a_sign_against_lowers_its_cause():
    plain = rank(seen=("white_spots",))
    dusty = rank(seen=("white_spots", "gold_dust"))
    assert dusty.of("white_spot").value < plain.of("white_spot").value


def test_how_many_is_one_fact_and_never_a_sign_beside_itself():
    """ "Only one fish" said twice, as a sign and as the share, counts once."""
    once = rank(seen=("lumps",), share="one")
    twice = rank(seen=("lumps", "one_fish_only"), share="one")
    as_sign = rank(seen=("lumps", "one_fish_only"))
    assert (
        [r.value for r in once.ranked] == [r.value for r in twice.ranked] == [r.value for r in as_sign.ranked]
    )


def test_the_range_is_as_wide_as_what_is_known():
    found = rank(seen=("belly_sunken", "slow_deaths"), onset="weeks")
    assert found.of("mycobacteriosis").high > 2 * found.of("mycobacteriosis").low


def test_two_causes_at_work_may_both_be_likely():
    found = rank(seen=("white_spots", "worms_at_vent"))
    assert found.of("white_spot").value > 0.5
    assert found.of("camallanus").value > 0.5


def test_a_negative_water_test_speaks_against_its_cause():
    test = NET.cause("nitrite").tests[0].name
    before = rank(seen=("gasping_surface", "fast_gills"))
    after = rank(
        seen=("gasping_surface", "fast_gills"), tests=(Outcome(cause="nitrite", test=test, positive=False),)
    )
    assert after.of("nitrite").value < before.of("nitrite").value / 3
    assert after.of("nitrite").speaks_against[0].what == test


def test_rule_35_a_germ_found_moves_the_odds_little_where_healthy_fish_carry_it():
    smear = Outcome(cause="hexamita", test="fresh faecal smear, motile flagellates", positive=True)
    before, after = rank(seen=("belly_sunken",)), rank(seen=("belly_sunken",), tests=(smear,))
    assert before.of("hexamita").value < after.of("hexamita").value < 0.66


def test_rule_34_pale_stringy_droppings_never_name_a_cause():
    found = rank(seen=("white_stringy_faeces",))
    assert all(r.word in ("unlikely", "extremely unlikely") for r in found.ranked)


def test_rule_34_no_worms_seen_counts_only_where_the_vent_was_looked_at():
    thin = {"seen": ("belly_sunken",), "hosts": ("livebearer",)}
    plain = rank(**thin).of("camallanus").value
    assert rank(**thin, absent=("worms_at_vent",)).of("camallanus").value == plain
    assert "vent" in rank(**thin, absent=("worms_at_vent",)).missing
    assert rank(**thin, absent=("worms_at_vent",), vent_looked_at=True).of("camallanus").value < plain


def test_rule_34_in_gravid_livebearers_the_belly_misleads():
    kept = fair(Evidence(absent=("belly_sunken", "back_thin"), gravid_livebearers=True))
    assert kept.absent == ("back_thin",)
    assert kept.unsure == ("belly_sunken",)


ARRIVAL = Row(id="arrival", low=3, high=8, window_d=(0, 28), fade_d=14)


@pytest.mark.parametrize(("age", "expected"), [(0, 1.0), (28, 1.0), (42, 0.5), (56, 0.25), (None, 1.0)])
def test_what_happened_fades_with_its_half_life(age, expected):
    assert weight(ARRIVAL, Happened(context="arrival", age_d=age)) == approx(expected)


def test_before_the_window_it_does_not_count():
    late = msgspec.structs.replace(ARRIVAL, window_d=(30, 120), fade_d=60)
    assert weight(late, Happened(context="arrival", age_d=10)) == 0.0
    assert weight(late, Happened(context="arrival", age_d=60)) == 1.0


def test_what_was_asked_and_is_not_so_does_not_count():
    assert weight(ARRIVAL, Happened(context="arrival", true=False)) == 0.0


def test_thresholds_hold_or_do_not():
    warm = Row(id="warm", low=3, high=8, above_c=29)
    assert weight(warm, Happened(context="warm", value=30.0)) == 1.0
    assert weight(warm, Happened(context="warm", value=28.0)) == 0.0
    assert weight(warm, Happened(context="warm")) == 0.0


def test_rows_of_one_word_count_once_the_strongest():
    rows = [
        Row(id="filter_upset", low=3, high=10, one_of="filter"),
        Row(id="dose", low=2, high=3, one_of="filter"),
        Row(id="overfed", low=2, high=5),
    ]
    happened = [Happened(context=c) for c in ("filter_upset", "dose", "overfed")]
    assert [r.id for r, _ in moved_by(rows, happened)] == ["filter_upset", "overfed"]


def test_all_that_happened_moves_the_odds_by_thirty_at_most():
    rows = [(Row(id=f"c{i}", low=10, high=40), 1.0) for i in range(5)]
    assert odds_factor("x", rows).max() <= CONTEXT_CAP.value
    assert odds_factor("x", [(Row(id="d", low=0.001, high=0.002), 1.0)]).min() >= 1 / CONTEXT_CAP.value


def test_a_survey_takes_the_place_of_the_elicited_host_row():
    discus = causes(Evidence(hosts=("cichlid", "discus")), NET).of("hexamita").moved
    assert [(m.context, m.low, m.high) for m in discus] == [("host", approx(2.0), approx(6.0))]


def test_words_are_those_of_the_joined_scale():
    told = {0.01: "extremely unlikely", 0.2: "unlikely", 0.5: "about as likely as not", 0.8: "likely"}
    assert all(word_of(p) == word for p, word in told.items())
    assert (word_of(0.97), word_of(0.995)) == ("extremely likely", "almost certain")


def test_the_same_evidence_gives_the_same_answer():
    given = Evidence(seen=("flashing", "excess_slime"), onset="days")
    assert causes(given, NET) == causes(given, NET)
