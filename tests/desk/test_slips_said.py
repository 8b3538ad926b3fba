"""Every slip of the list in a keeper's words: which it is, what it writes, that nothing is kept unasked."""

import pytest

from tankward.judge.slips import SLIPS, slip_in
from tankward.room.acts import Change, Dose, Feed, Heat, Lost, Media, PowerCut
from tankward.room.entries.acts import Done, StepSkipped
from tankward.room.entries.animals import StockAdded
from tankward.room.entries.corrections import Corrected, Undone
from tankward.room.entries.notes import Note
from tankward.room.entries.water import ReadingTaken

from .slipped import BY_SACHET, DOSED, Slipped, ago, ahead, change_step, course, done, dose_step, feed_step

WORDS = [
    ("dosed twice", "too-much"),
    ("dosed ten times", "too-much"),
    ("grams: g instead of mg", "too-much"),
    ("a tablespoon instead of a teaspoon", "too-much"),
    ("imperial gallons for US", "too-much"),
    ("a whole sachet, per tank", "too-much"),
    ("spilled half", "too-little"),
    ("gave half", "too-little"),
    ("gave only three quarters of the dose", "too-little"),
    ("mg instead of g", "too-little"),
    ("forgot a dose", "forgot-one"),
    ("two hours late", "forgot-one"),
    ("carbon left in", "carbon-in"),
    ("the wrong tank, T10", "wrong-tank"),
    ("heater stuck on, 31C", "too-warm"),
    ("heater went cold, 19C", "too-cold"),
    ("the new water was too cold 10C", "too-cold"),
    ("power cut 6 h", "no-flow"),
    ("filter stopped", "no-flow"),
    ("forgot the water change", "no-change"),
    ("water change 80 %", "big-change"),
    ("water change too large", "big-change"),
    ("added 2 guppies", "newcomer"),
    ("a new fish came in", "newcomer"),
    ("they spat out the food", "not-eaten"),
    ("medicated food not eaten", "not-eaten"),
    ("tap water without dechlorinator", "untreated-tap"),
    ("forgot the dechlorinator", "untreated-tap"),
    ("water ran out, 80 %", "little-water"),
    ("sang to them", "something-else"),
]


@pytest.mark.parametrize(("words", "slip"), WORDS)
def test_what_is_said_is_that_slip(words, slip):
    assert slip_in(words) == slip


def test_every_slip_can_be_said():
    assert {slip for _, slip in WORDS} == set(SLIPS)


@pytest.mark.parametrize("words", [w for w, _ in WORDS])
def test_saying_it_keeps_nothing_and_leads_to_acts(words):
    room = Slipped(DOSED)
    before = len(room.entries)
    found = room.now_after(words)
    assert found.urgent.steps[-1].act == "look"
    assert len(found.urgent.steps) >= 2
    assert len(room.entries) == before


def of(room: Slipped, did: str, kind: type, tank: str = "t7") -> list:
    """Acts of that kind that a slip writes down; what it corrects is not among them."""
    made = room.said(did, tank)
    return [e.act for e in made.entries if isinstance(e, Done) and isinstance(e.act, kind)]


@pytest.mark.parametrize(
    ("did", "mg"),
    [
        ("dosed ten times", 1750),
        ("3 times too much", 525),
        ("spilled half", 87.5),
        ("a tenth of it went in", 17.5),
    ],
)
def test_another_amount_is_a_correction(did, mg):
    room = Slipped(DOSED)
    assert [a.actives["metronidazole"] for a in of(room, did, Dose)] == [pytest.approx(mg)]
    assert any(isinstance(e, Corrected) for e in room.said(did).entries)


@pytest.mark.parametrize(
    ("did", "mg"),
    [
        ("gave 800 mg instead of 175 mg", 800),
        ("2 g of metronidazole, not 175 mg", 2000),
        ("100 mg went in, not 175 mg", 100),
    ],
)
def test_a_mass_that_is_named_is_what_went_in(did, mg):
    assert [a.actives["metronidazole"] for a in of(Slipped(DOSED), did, Dose)] == [pytest.approx(mg)]


@pytest.mark.parametrize(
    ("lines", "did", "mg"),
    [
        ("", "overdosed, 800 mg praziquantel", 800),
        (DOSED, "overdosed, 800 mg praziquantel", 800),
        ("", "1,5 g of praziquantel, twice", 3000),
    ],
)
def test_a_dose_that_is_not_written_down_is_what_is_named(lines, did, mg):
    made = Slipped(lines).said(did)
    assert not any(isinstance(e, Corrected) for e in made.entries)
    assert [e.act.actives for e in made.entries] == [{"praziquantel": pytest.approx(mg)}]


def test_less_instead_of_more_is_too_little():
    assert slip_in("800 mg instead of 80 mg") == "too-much"
    assert slip_in("80 mg instead of 1 g") == "too-little"


def test_twice_is_a_second_dose():
    room = Slipped(DOSED).said("dosed twice").room
    assert [a.actives for _, a in room.acts("t7") if isinstance(a, Dose)] == [{"metronidazole": 175.0}] * 2


def test_a_dose_of_which_nothing_went_in_is_taken_back():
    made = Slipped(DOSED).said("spilled it, nothing went in")
    assert [type(e) for e in made.entries] == [Undone]
    assert not [a for _, a in made.room.acts("t7") if isinstance(a, Dose)]


def test_more_of_a_packet_counts_its_packets():
    """Half a sachet of 200 mg, three times: 1.5 sachets, 300 mg."""
    (act,) = of(Slipped(BY_SACHET), "3 times too much", Dose)
    assert (act.units, act.actives["metronidazole"], act.measured) == (1.5, 300.0, "")


def test_one_per_40_litres_that_was_taken_as_one_per_tank_is_a_whole_packet():
    (act,) = of(Slipped(BY_SACHET), "a whole sachet, per tank", Dose)
    assert (act.units, act.actives["metronidazole"]) == (1.0, 200.0)


def test_carbon_is_counted_from_the_last_dose_on_where_the_log_has_none():
    made = Slipped(DOSED).said("carbon left in")
    (entry,) = made.entries
    assert (entry.act, entry.at) == (Media(into=True), ago(2.5))


def test_carbon_that_the_log_has_is_not_written_again():
    room = Slipped(f"{DOSED}\n11 May 2026 08:00 media T7 in=yes")
    assert room.said("carbon left in").entries == ()
    out = room.said("carbon was in, it is out now")
    assert [e.act for e in out.entries] == [Media(into=False)]


def test_carbon_that_was_in_with_the_dose_and_is_out_by_the_log_writes_nothing():
    lines = "11 May 2026 08:00 media T7 in=yes\n12 May 2026 19:30 media T7 in=no"
    assert Slipped(f"{DOSED}\n{lines}").said("carbon was in").entries == ()


def test_the_wrong_tank_gets_the_dose_and_the_answer_is_about_it():
    made = Slipped(DOSED).said("wrong tank T10")
    assert made.tank == "t10"
    assert [a.actives for _, a in made.room.acts("t10")] == [{"metronidazole": 175.0}]
    assert not [a for _, a in made.room.acts("t7") if isinstance(a, Dose)]
    assert made.slips[0].other == "t7"


@pytest.mark.parametrize(
    ("did", "cut"),
    [
        ("power cut", PowerCut(off="all")),
        ("power cut 6 h", PowerCut(hours=6.0, off="all")),
        ("filter stopped 90 min", PowerCut(hours=1.5, off="filter")),
    ],
)
def test_a_cut_with_its_hours(did, cut):
    made = Slipped().said(did)
    assert [e.act for e in made.entries] == [cut]
    assert made.entries[0].at == ago(cut.hours or 0.0)


def test_a_stuck_heater_holds_what_the_thermometer_shows():
    made = Slipped().said("heater stuck 31C")
    read, heat = made.entries
    assert isinstance(read, ReadingTaken)
    assert (read.values[0].quantity, read.values[0].value, read.sure) == ("temp_c", 31.0, "about")
    assert heat.act == Heat(temp_c=31.0)


def test_a_heater_that_gave_up_is_without_power():
    made = Slipped().said("heater went cold 19C")
    assert made.entries[-1].act == PowerCut(off="heater")
    assert isinstance(made.entries[0], ReadingTaken)


def test_cold_new_water_puts_the_last_change_right():
    made = Slipped().said("the new water was too cold 10C")
    assert made.entries[0].act == Change(share=0.5, temp_c=10.0, dechlorinated=True)


def test_a_change_that_was_larger_puts_the_last_one_right():
    (act,) = of(Slipped(), "water change 80 %", Change)
    assert act.share == pytest.approx(0.8)


def test_a_change_of_a_course_that_is_left_out():
    room = Slipped("", course(change_step("c", ago(3)), dose_step("d", ahead(20))))
    assert room.said("forgot the water change").entries == ()  # it is still to come
    assert [type(e) for e in room.said("skipped the water change, left it out").entries[:1]] == [StepSkipped]


def test_a_newcomer_is_stock_and_one_that_nobody_names_is_unknown():
    (guppies,) = Slipped().said("added 2 guppies").entries
    assert isinstance(guppies, StockAdded)
    assert (guppies.thing.kind, guppies.thing.number.value) == ("guppy", 2)
    (unknown,) = Slipped().said("a new fish came in").entries
    assert (unknown.thing.kind, unknown.thing.name) == ("", "newcomer")


FED = feed_step("f", ago(4))


def test_spat_out_food_does_not_count_and_what_leached_does():
    """0.4 g at 2 mg/g is 0.8 mg: none eaten; 35 % at the most of what lay there went into the water."""
    made = Slipped("", course(FED), done(FED, ago(4))).said("they spat out the food")
    (feed,) = [a for _, a in made.room.acts("t7") if isinstance(a, Feed)]
    (dose,) = [a for _, a in made.room.acts("t7") if isinstance(a, Dose)]
    assert (feed.food_g, feed.actives_mg_per_g) == (0.0, {"metronidazole": 2.0})
    assert 0.0 < dose.actives["metronidazole"] <= 0.8 * 0.6


def test_food_that_still_lies_there_is_counted_whole():
    made = Slipped("", course(FED), done(FED, ago(4))).said("spat out the food, it lies there")
    (dose,) = [a for _, a in made.room.acts("t7") if isinstance(a, Dose)]
    assert dose.actives["metronidazole"] == pytest.approx(0.8)


def test_half_of_a_meal():
    made = Slipped("", course(FED), done(FED, ago(4))).said("half of the food not eaten")
    (feed,) = [a for _, a in made.room.acts("t7") if isinstance(a, Feed)]
    assert feed.food_g == pytest.approx(0.2)


def test_food_of_which_nobody_knows_how_much_is_a_note():
    assert [type(e) for e in Slipped().said("they spat out the food").entries] == [Note]


def test_water_that_ran_out():
    assert of(Slipped(), "water ran out, 80 %", Lost) == [Lost(share=0.8)]


def test_two_slips_are_both_taken():
    made = Slipped(DOSED).said("dosed twice; power cut 2 h")
    assert [type(e.act) for e in made.entries] == [Dose, PowerCut]


def test_what_cannot_be_an_entry_is_said_and_the_acts_come_all_the_same():
    made = Slipped().said("dosed twice")
    assert made.entries == ()
    assert [f.field for f in made.faults] == ["dose"]
    assert Slipped().acts("dosed twice")["stop"]
