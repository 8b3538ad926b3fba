"""Arrivals with fry about, and winding down: each point that the screen should come to."""

import pytest

from tests.cases.rooms import CASE_4, CASE_4_READY, CASE_5, CASE_5_LEFT
from tests.cli.asking import NOW, ask, ask_room, fill


@pytest.fixture(scope="module")
def arrivals(tmp_path_factory):
    folder = tmp_path_factory.mktemp("arrivals")
    fill(folder, CASE_4)
    return folder


@pytest.fixture(scope="module")
def leftovers(tmp_path_factory):
    folder = tmp_path_factory.mktemp("leftovers")
    fill(folder, CASE_5)
    return folder


@pytest.fixture(scope="module")
def ready(tmp_path_factory):
    folder = tmp_path_factory.mktemp("ready")
    fill(folder, CASE_4_READY)
    return folder


@pytest.fixture(scope="module")
def left(tmp_path_factory):
    folder = tmp_path_factory.mktemp("left")
    fill(folder, CASE_5_LEFT)
    return folder


def printed(room, *words):
    return ask(*words, "--room", str(room), "--now", NOW).out


# Case 4


def test_what_four_grams_make_of_ammonia_in_28_litres(arrivals):
    """4 g fed 3 % of food with 45 % protein: 0.18 mg/L TAN-N a day; at pH 8.0, 25 C 0.02 NH3-N on day 3."""
    said = printed(arrivals, "calc", "ammonia-made", "food=0.12g", "protein=45%", "volume=28L", "ph=8.0",
                   "temp=25C")  # fmt: skip
    assert "0.18 mg/L a day" in said
    assert "days to 0.02 mg/L of the poisonous part: 2.1 days" in said


def test_newcomers_who_look_well_get_no_medicine_named(arrivals):
    said = printed(arrivals, "causes", "A")
    assert "Nothing was seen, so no cause is named." in said


def test_how_long_they_stay_apart_is_known_with_its_source(arrivals):
    said = printed(arrivals, "facts", "quarantine")
    assert "30 d statement minimum used by 95 percent" in said
    assert "starts the clock again for the whole tank" in said


def test_young_are_presumed_where_both_sexes_may_be(arrivals):
    said = printed(arrivals, "options", "A", "--cause", "skin_flukes")
    assert "fry of platies" in said


BOTH = ("auction=8 platies 2.5cm", "exchange=6 neon rainbow 4cm")


def test_sources_go_apart_one_into_a_the_other_into_a_tub(ready):
    found = ask_room(ready, "quarantine", *BOTH).json
    assert [(a["origin"], a["tank"]) for a in found["arrivals"]] == [("auction", "a"), ("exchange", "")]
    assert found["arrivals"][1]["least_l"] >= 15
    assert "food-grade tub" in found["arrivals"][1]["says"]


def test_b_with_its_fry_is_no_quarantine(ready):
    said = ask_room(ready, "quarantine", "auction=8 platies", "into=B")
    assert said.code == 3
    assert said.json["refused"] and said.json["reasons"][0]["kind"] == "not-apart"
    assert "B is no quarantine: guppies live there" in said.json["says"]
    assert "A: nobody lives there" in said.json["reasons"][0]["would_change"]


def test_their_own_net_last_in_the_round_and_no_bag_water(ready):
    said = printed(ready, "quarantine", *BOTH)
    for part in (
        "Its own net, siphon, cup and towel", "Last in the round", "less than 2 °C", "within minutes",
        "No bag water into the tank",
    ):  # fmt: skip
        assert part in said, part


def test_the_water_in_a_by_both_rations(ready):
    """4 g: 3 % makes 0.18 mg/L a day, over 0.02 on day 3, held at 0.019 by half a day; 1 % by every third."""
    words = ("quarantine", "auction=8 platies", "fish=4g", "food=3 %", "protein=45%")
    three, one = ask_room(ready, *words).json["arrivals"][0]["water"]
    assert "rises by 0.18 mg/L as N a day" in three["says"] and "on day 3" in three["says"]
    assert (three["change_every_days"], round(three["nh3_n_mg_l"], 3)) == (1, 0.019)
    assert (one["change_every_days"], round(one["nh3_n_mg_l"], 3)) == (3, 0.019)


def test_looks_droppings_vents_and_the_days(ready):
    steps = ask_room(ready, "quarantine", "auction=8 platies").json["arrivals"][0]["steps"]
    assert [(s["on"], s["says"]) for s in steps] == [
        ("2026-05-14", "They go in"),
        ("2026-05-17", "Day 3: look at the droppings"),
        ("2026-05-24", "Day 10: look at the droppings"),
        ("2026-06-03", "Day 20: look at the droppings"),
        ("2026-06-11", "They may join, if all of this is so"),
        ("2026-06-25", "Day 42: look at the vents"),
        ("2026-08-06", "Day 84: look at the vents"),
        ("2026-08-12", "Until here red worms stay open"),
    ]
    assert "14 days" in steps[4]["why"]


def test_a_newcomer_on_day_9_makes_it_day_37_for_all_in_that_tub(tmp_path):
    fill(tmp_path, [*CASE_4_READY, ("quarantine", "auction=8 platies 2.5cm", "into=A", "--begin")])
    fill(tmp_path, [("quarantine", "auction=1 platy 2.5cm", "into=A", "--begin")], now="2026-05-23T18:00")
    (apart,) = ask_room(tmp_path, "quarantine", "A", now="2026-05-23T19:00").json["apart"]
    assert (apart["over"], apart["restarted"], len(apart["stock"])) == ("2026-06-20", "newcomer", 2)
    held = ask_room(tmp_path, "log", "move", "A", "stock=platies", "to=B", now="2026-05-24T18:00").json
    assert "their days apart are not over" in held["cautions"][0]


def test_no_preventive_mixture_and_nobody_is_called_clean(ready):
    said = printed(ready, "quarantine", *BOTH)
    assert "No mixture, no worm powder, no antibiotic" in said
    assert "No number of clean days says that they are free of anything." in said
    for never in ("disease free", "are clean", "safe"):
        assert never not in said.replace("to be safe", "").replace("food-safe", ""), never


# Case 5


def test_nothing_is_sold_or_given(left):
    found = ask_room(left, "wind-down", "T1").json
    assert [h["why"] for h in found["holds"]] == ["unknown"]
    assert all(a["held"] for a in found["animals"])
    for goes in ("sold", "given"):
        said = ask_room(left, "wind-down", "T1", "stock=pygmy cory", f"goes={goes}")
        assert said.code == 3 and said.json["reasons"][0]["kind"] == "held"


def test_the_unknown_fish_are_asked_about_and_go_to_nobody(left):
    found = ask_room(left, "wind-down", "T1").json
    row = next(a for a in found["animals"] if a["name"] == "the timid two")
    assert row["kind"] == "unknown" and row["homes"] == []
    assert "Ask what they are" in row["says"] and "Alone in a tub" in row["says"]
    said = ask_room(left, "wind-down", "T1", "stock=the timid two", "goes=T2")
    assert said.code == 3 and said.json["reasons"][0]["kind"] == "unknown-animal"


def test_each_to_the_exposed_or_apart_28_days_90_while_worms_stay_open(left):
    rows = {a["name"]: a for a in ask_room(left, "wind-down", "T1").json["animals"]}
    assert (rows["pygmy cory"]["apart_days"], rows["pygmy cory"]["worms_days"]) == (28, 90)
    assert (rows["cherry shrimp"]["apart_days"], rows["cherry shrimp"]["worms_days"]) == (28, None)
    assert rows["moss"]["apart_days"] == 21
    assert {h["tank"] for h in rows["pygmy cory"]["homes"]} == {"t3"}
    said = ask_room(left, "wind-down", "T1", "stock=pygmy cory", "goes=T2")
    assert said.code == 3 and said.json["reasons"][0]["kind"] == "not-exposed"


def test_caught_in_the_dark_the_heater_last_carbon_then_the_sewer(left):
    said = printed(left, "wind-down", "T1")
    order = ["in the dark, with a cup", "heater off last", "for 24 to 48 hours", "Drain it into the toilet",
             "into the bin, or boiled", "252 mL of bleach in 63 L, for 24 hours",
             "88 g of sodium thiosulfate", "Dry for", "70 % alcohol on rims"]  # fmt: skip
    at = [said.find(part) for part in order]
    assert -1 not in at and at == sorted(at), dict(zip(order, at, strict=True))


def test_a_fish_that_cannot_be_housed_and_what_never_happens(left):
    said = printed(left, "wind-down", "T1")
    for part in ("a humane end: by a veterinarian first", "Never chilling, freezing or flushing",
                 "Never into a pond", "Never topped up and sold"):  # fmt: skip
        assert part in said, part


def test_the_record_is_closed_once_each_has_its_place(tmp_path):
    fill(tmp_path, CASE_5_LEFT)
    assert ask_room(tmp_path, "wind-down", "T1", "--close").code == 3
    went = {"the timid two": "T3", "pygmy cory": "ended", "bristlenose": "dead", "cherry shrimp": "other"}
    fill(tmp_path, [("wind-down", "T1", f"stock={who}", f"goes={to}") for who, to in went.items()])
    said = ask_room(tmp_path, "wind-down", "T1", "--close", "note=no room")
    assert said.json["closed"] and said.json["entry"]
    assert "T1" not in printed(tmp_path, "tank", "list")
    assert ask_room(tmp_path, "undo", said.json["entry"]).code == 0
    assert "T1" in printed(tmp_path, "tank", "list")


def test_a_fish_nobody_can_name_is_held_to_the_strictest(leftovers):
    said = printed(leftovers, "options", "T1", "--cause", "camallanus")
    care = next(line for line in said.splitlines() if line.strip().startswith("care:"))
    assert "the timid two" in care


def test_the_bleach_of_the_last_day(leftovers):
    """63 L at 200 mg/L of 5 % bleach is 252 mL; 12.6 g of chlorine x 7 is 88 g of thiosulfate."""
    said = printed(leftovers, "calc", "bleach", "strength=5%", "target=200mg/L", "volume=63L")
    assert said.startswith("252 mL of bleach; after it, 88 g of thiosulfate pentahydrate.")
    assert "Never with animals in the water" in said


def test_what_goes_to_the_sewer_and_what_never_leaves(leftovers):
    said = printed(leftovers, "facts", "disposal")
    assert "never release fish" in said
    assert "foul sewer" in said
