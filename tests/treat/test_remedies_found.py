"""What was found changes the plan; several causes stand in their order; what a remedy costs and asks."""

from collections import Counter
from datetime import timedelta

import pytest
from msgspec.structs import replace

from tankward.desk.homes import home_for
from tankward.desk.remedy import counted_said, remedies_tank, thin_of
from tankward.judge.evidence import Evidence
from tankward.judge.germs import judge_germs
from tankward.quantities.faults import BadInput
from tankward.room.things import Active, Supply
from tankward.show.words import remedy_care as care
from tankward.show.words.people import sore_lines
from tankward.show.words.remedies import evidence_words, options_heading
from tankward.show.words.ruled_out import change_words
from tankward.treat.remedies.both import rank
from tests.helpers.rooms import room_from
from tests.judge.tanks import white_grains
from tests.treat.tanks import FACTS, NOW

from .test_remedies_rules import GUPPIES, about, closed, kinds, opened

FLUKES = ["gill_flukes", "skin_flukes"]
PACKET = Supply(
    id="p",
    name="worm powder",
    unit="g",
    actives=(Active(substance="praziquantel", mg=100.0),),
    left=1.0,
    price=2.5,
)


# Rule 35: a finding changes the plan both ways


def test_rule_35_few_in_a_fish_that_is_well_puts_waiting_first_and_closes_the_medicine():
    found = about("hexamita", germs={"hexamita": judge_germs(3, False)})
    assert found.open[0].id == "wait_and_count"
    assert "count-again" in kinds(closed(found, "metronidazole/feed"))
    assert options_heading(found, FACTS).startswith("Nothing goes into the water yet. Count again in a week")
    assert opened(found, "ill_apart")  # what needs no medicine stays open


def test_rule_35_many_in_a_thin_fish_is_treated_and_nobody_waits():
    found = about("hexamita", germs={"hexamita": judge_germs(20, True)})
    assert opened(found, "metronidazole/feed")
    assert "marked-and-thin" in kinds(closed(found, "wait_and_count"))


def test_rule_35_between_the_two_nothing_is_closed_and_the_words_say_look_further():
    plain, found = about("hexamita"), about("hexamita", germs={"hexamita": judge_germs(20, None)})
    assert [o.id for o in found.open] == [o.id for o in plain.open]
    assert "Look further" in care.germs_words({"hexamita": judge_germs(20, None)}, ["hexamita"], FACTS)


def test_rule_35_a_count_of_flagellates_says_nothing_of_another_cause():
    found = about(["hexamita", "skin_flukes"], germs={"hexamita": judge_germs(3, False)})
    assert "count-again" not in {k for row in found.ruled_out for k in kinds(row) if "praziq" in row.id}
    assert opened(found, "praziquantel/fluke_2x")


def test_rule_35_where_days_decide_nobody_counts_again():
    found = about("velvet", germs={"velvet": judge_germs(1, False)})
    assert "count-again" not in {k for row in found.ruled_out for k in kinds(row)}
    assert not any(o.first for o in found.open)


def test_rule_35_the_count_is_read_from_the_logbook():
    look = '14 May 2026 09:00  look T1  in-field="{}" not-seen=back_thin\n'
    view = next(v.id for v in FACTS.hygiene.view if v.cause == "hexamita")
    few = remedies_tank(room_from(ROOM + look.format(f"{view} 3")), "t1", ["hexamita"], NOW, FACTS)
    assert few.options.open[0].id == "wait_and_count"
    thin = look.replace("not-seen", "seen")
    many = remedies_tank(room_from(ROOM + thin.format(f"{view} 20")), "t1", ["hexamita"], NOW, FACTS)
    assert "marked-and-thin" in kinds(closed(many.options, "wait_and_count"))


def test_rule_35_thin_is_read_from_the_signs_and_unknown_is_unknown():
    assert thin_of(Evidence(seen=("back_thin",))) is True
    assert thin_of(Evidence(absent=("belly_sunken",))) is False
    assert thin_of(Evidence()) is None


@pytest.mark.parametrize(("number", "thin"), [("many", ""), ("-1", ""), ("1e9", ""), ("3", "perhaps")])
def test_a_count_that_is_none_is_asked_back(number, thin):
    with pytest.raises(BadInput):
        counted_said(number, thin)


# Rule 12: the same course again and again


def test_rule_12_two_courses_in_the_logbook_and_no_cause_seen_are_not_helping():
    found = about("skin_flukes", given=Counter(praziquantel=2))
    reasons = closed(found, "praziquantel/fluke_2x").reasons
    third = next(r for r in reasons if r.kind == "third-course")
    assert "not helping" in third.because
    assert "fresh dead" in third.would_change
    assert opened(about("skin_flukes", given=Counter(praziquantel=1)), "praziquantel/fluke_2x")
    assert opened(
        about("skin_flukes", given=Counter(praziquantel=2), seen_cause=True), "praziquantel/fluke_2x"
    )


def test_rule_12_is_read_from_the_logbook_of_the_tank():
    days = [f"{NOW - timedelta(days=d):%-d %B %Y}" for d in (90, 40)]
    begun = "".join(f"{d} 08:00  course T1 name=w substance=praziquantel cause=skin_flukes\n" for d in days)
    room = room_from(ROOM + begun)
    found = remedies_tank(room, "t1", ["skin_flukes"], NOW, FACTS).options
    assert "third-course" in kinds(closed(found, "praziquantel/fluke_2x"))


# Rule 26: survivors


def test_rule_26_survivors_are_not_sold_until_the_organisms_own_time_is_over():
    told = care.carries_words(about("white_spot"), FACTS)
    assert "days after the last sign" in told[0]
    assert "free of disease" in told[-1]
    assert "for life" in care.carries_words(about("mycobacteriosis"), FACTS)[0]
    assert care.carries_words(about("ammonia"), FACTS) == []


def test_rule_26_colder_water_keeps_them_longer():
    days = [about("white_spot", read={"temp_c": t}).carried[0].days for t in (16.0, 26.0)]
    assert days[0] > days[1]


# Rule 29 and 31: people


def test_rule_29_what_it_does_to_you_where_it_is_kept_and_where_the_rest_goes():
    told = " ".join(care.you_words(opened(about("hexamita"), "metronidazole/feed")))
    assert "gloves" in told
    assert "Away from children" in told
    assert "freezer" in told
    assert "sewer" in told
    assert care.you_words(opened(about("white_spot"), "fish_out")) == []


def test_rule_31_a_sore_is_sent_to_a_doctor_and_never_named():
    told = " ".join(sore_lines(["mycobacteriosis"], FACTS))
    for word in ("see a doctor", "tell them that you keep fish", "gloves", "never suck a hose"):
        assert word in told
    assert "granuloma" not in told
    assert "tuberculosis" not in told
    assert sore_lines(["white_spot"], FACTS) == []


def test_rule_32_a_humane_end_asks_a_veterinarian_first_and_never_chills():
    option = opened(about("mycobacteriosis"), "humane_end")
    told = " ".join(option.says)
    assert option.says[0].startswith("Ask a veterinarian first")
    assert "second step" in told
    for word in ("chilled", "frozen", "flushed"):
        assert word in told.split("Never", 1)[1]
    figures = {f.id: (f.low, f.high, f.unit) for f in option.figures}
    assert figures["after_gills"] == (60.0, 60.0, "min")
    assert figures["eugenol"] == (400.0, 1000.0, "mg/L")
    assert all(f.source != "none" for f in option.figures)
    assert "a day" not in evidence_words(option)


def test_rule_33_what_has_to_be_injected_is_a_veterinarians():
    assert any("injects, and nobody else" in line for line in opened(about("septicaemia"), "see_vet").says)


# Several causes


def test_rule_13_of_several_causes_what_kills_first_comes_first():
    order = sorted(["tapeworms", "hexamita", "ammonia", "fungus", "velvet"], key=lambda c: rank(c, FACTS))
    assert order == ["ammonia", "velvet", "hexamita", "tapeworms", "fungus"]


def test_one_remedy_for_both_stands_first_and_is_said_to_be_for_both():
    found = about(FLUKES)
    (turn,) = found.turns
    assert set(turn.causes) == set(FLUKES)
    assert found.open[0].also_for
    assert care.for_words(found.open[0], found.causes, FACTS).endswith("both.")
    assert care.turns_heading(found) == "One for all of them"


def test_two_that_no_remedy_shares_come_one_after_the_other():
    found = about(["hexamita", "white_spot"])
    assert [t.causes for t in found.turns] == [("white_spot",), ("hexamita",)]
    rows = care.turn_rows(found, {}, FACTS)
    assert "gut flagellates" in rows[1][1]
    one = next(o for o in found.open if o.id == found.turns[1].option)
    assert "not for" in care.for_words(one, found.causes, FACTS)


def test_rule_8_a_cause_that_nothing_open_clears_is_said_to_stay():
    found = about(["white_spot", "lymphocystis"])
    left = next(t for t in found.turns if "lymphocystis" in t.causes)
    assert left.option == ""
    assert care.NOBODY in {soft for _, _, soft in care.turn_rows(found, {}, FACTS)}


def test_rule_13_a_second_medicine_in_the_water_waits_for_the_first_to_be_out():
    found = about(["skin_flukes", "camallanus"])
    assert [bool(t.option) for t in found.turns] == [True, True]
    ways = {o.id: o for o in found.open}
    assert ways[found.turns[0].option].place in ("tank", "tub")
    assert found.turns[1].wait == "changed-out"
    assert "two half changes and a day of fresh carbon" in care.turn_rows(found, {}, FACTS)[1][2]


def test_rule_13_after_a_medicated_food_the_next_medicine_waits_for_its_end():
    found = about(["hexamita", "camallanus"])
    assert [t.causes for t in found.turns] == [("hexamita",), ("camallanus",)]
    assert found.turns[0].option == "metronidazole/feed"
    assert found.turns[1].wait == "course-over"


def test_the_heading_names_what_comes_first_of_several():
    found = about(["hexamita", "camallanus"])
    assert "metronidazole in the food" in options_heading(found, FACTS)


@pytest.mark.parametrize("first", sorted(FACTS.causes))
def test_no_cause_of_two_is_ever_lost(first):
    for second in ("white_spot", "hexamita", "camallanus"):
        asked = list(dict.fromkeys((first, second)))
        found = about(asked, stock=white_grains())
        assert sorted(c for t in found.turns for c in t.causes) == (sorted(asked) if len(asked) > 1 else [])


# The shelf, the time, the way out


def test_what_one_dose_takes_from_the_shelf_and_costs():
    option = opened(about("skin_flukes", shelf=(PACKET,)), "praziquantel/fluke_2x")
    low, high = option.shelf.units
    assert low == pytest.approx(option.level.low * 54 / 100)
    assert high == pytest.approx(option.level.high * 54 / 100)
    assert option.shelf.cost == pytest.approx((2.5 * low, 2.5 * high))
    assert "as you paid" in care.shelf_words(option)
    assert (option.shelf.enough is False) == (low > 1.0)


def test_a_price_that_nobody_wrote_down_is_unknown_and_never_nothing():
    option = opened(about("skin_flukes", shelf=(replace(PACKET, price=None),)), "praziquantel/fluke_2x")
    assert option.shelf.cost is None
    assert "not known" in care.shelf_words(option)
    assert "not known" in care.shelf_words(opened(about("skin_flukes"), "praziquantel/fluke_2x"))


def test_minutes_grow_with_rounds_and_moves():
    found = about("white_spot")
    assert opened(found, "fish_out").work.low >= 60.0
    for option in found.open:
        assert option.work is None or 0 < option.work.low <= option.work.high


ROOM = """
1 January 2026 08:00  tank  T1  volume="54 L" temp=25C filter=sponge
1 January 2026 08:01  stock T1  kind=guppy name=guppies number=6 length=3cm sex=male
1 January 2026 08:02  stock T1  kind=nerite name="nerite snails" number=2
1 January 2026 08:03  tank  T2  volume="20 L" temp=25C filter=sponge
1 January 2026 08:04  tank  T3  volume="20 L" temp=25C filter=sponge
1 January 2026 08:05  stock T3  kind=guppy name="other guppies" number=4
1 January 2026 08:06  tank  T4  volume="20 L" temp=24C filter=sponge
1 January 2026 08:07  stock T4  kind=cherry_shrimp name=shrimp number=20
14 May 2026 08:00  reading T1  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.6 temp=25C kh="8 dKH"
14 May 2026 08:01  reading T1  oxygen="7.5 mg/L"
"""


def test_rule_15_those_that_carry_go_where_no_fish_lives():
    room = room_from(ROOM)
    assert home_for(room, "t1", ["nerite snails"], NOW, FACTS).name == "T2"
    kept = room_from(
        ROOM.replace('1 January 2026 08:03  tank  T2  volume="20 L" temp=25C filter=sponge\n', "")
    )
    assert home_for(kept, "t1", ["nerite snails"], NOW, FACTS).name == "T4"
    assert home_for(kept, "t1", ["guppies"], NOW, FACTS) is None  # fish never go among shrimp of another tank


def test_the_way_out_names_the_tank():
    room = room_from(ROOM)
    found = remedies_tank(room, "t1", ["white_spot"], NOW, FACTS)
    named = [change_words(r, found.homes.get(r.id, "")) for r in found.options.ruled_out]
    assert any("2 nerite snails into T2, where no fish lives" in text for text in named)


def test_where_no_fish_bears_it_nobody_is_told_to_move_them_all():
    found = about("white_spot", GUPPIES, read={"kh": 120.0})
    assert "move the" not in change_words(closed(found, "copper/alk"))


def test_a_tank_too_warm_or_ill_is_no_home():
    warm = room_from(ROOM.replace('T2  volume="20 L" temp=25C', 'T2  volume="20 L" temp=30C'))
    assert home_for(warm, "t1", ["nerite snails"], NOW, FACTS).name == "T4"
    big = room_from(ROOM.replace("number=6 length=3cm", "number=60 length=5cm"))
    assert home_for(big, "t1", ["guppies"], NOW, FACTS) is None
