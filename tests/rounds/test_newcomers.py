"""Newcomers apart: days counted anew by a newcomer or a sign, looks by their days, who is held. Rule 27."""

from datetime import UTC, date, datetime, timedelta

import pytest

from tankward.desk.quarantine import quarantine_wanted
from tankward.desk.said import animals
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, Refused
from tankward.quantities.parse import Estimate
from tankward.rounds.carries import commonly
from tankward.rounds.due import due
from tankward.rounds.hold import hold_of
from tankward.rounds.newcomers import newcomers, newcomers_in, rule_for, worms_d
from tankward.show.words import newcomers as words
from tests.helpers.rooms import room_from

FACTS = load()
DAY_0 = datetime(2026, 5, 1, 18, 0, tzinfo=UTC)
TANKS = """
1 Apr 2026 08:00  tank  A  volume="28 L" temp=25C
1 Apr 2026 08:00  tank  B  volume="11 L" temp=25C
1 Apr 2026 08:01  stock B  kind=guppy name=fry number=30 stage=fry length=0.8cm
"""
CAME = '1 May 2026 18:00  stock A  kind=platy name=platies number=8 source=auction arrived="0 d"\n'
DROPPINGS = "look A  not-seen=white_stringy_faeces\n"


def at(days):
    return DAY_0 + timedelta(days=days)


def one(text="", days=1.0):
    return newcomers_in(room_from(TANKS + CAME + text), "a", at(days), "UTC", FACTS)


def asked(typed, text=""):
    room = room_from(TANKS + text)
    return quarantine_wanted(room, typed, DAY_0, "UTC", FACTS, room.kit.taste)


def test_28_days_and_the_looks_of_the_rule():
    found = one()
    assert (found.days, found.over) == (28, date(2026, 5, 29))
    assert [(k.day, k.what) for k in found.looks] == [
        (3, "droppings"), (10, "droppings"), (20, "droppings"), (42, "vents"), (84, "vents"),
    ]  # fmt: skip
    assert found.open_until == date(2026, 5, 1) + timedelta(days=90)
    assert found.runs(date(2026, 5, 28)) and not found.runs(date(2026, 5, 29))


def test_a_newcomer_on_day_9_moves_the_end_to_day_37_for_all():
    found = one(
        '10 May 2026 18:00  stock A  kind=platy name=late number=1 source=auction arrived="0 d"\n', 10
    )
    assert found.over == date(2026, 5, 1) + timedelta(days=37)
    assert (found.restarted, found.first.date()) == ("newcomer", date(2026, 5, 1))
    assert len(found.stock) == 2


def test_a_sign_starts_the_days_again_and_a_death_asks_for_14_more():
    assert one('6 May 2026 18:00  look A  seen="white spots"\n', 6).over == date(2026, 6, 3)
    late = one("25 May 2026 18:00  death A  stock=a-platies number=1\n", 25)
    assert late.over == date(2026, 6, 8)
    early = one("2 May 2026 18:00  death A  stock=a-platies number=1\n", 25)
    assert early.over == date(2026, 5, 29)


def test_a_sign_long_after_is_another_matter():
    assert one('20 Jul 2026 18:00  look A  seen="white spots"\n', 82).over == date(2026, 5, 29)


def test_a_look_counts_once_it_says_so_of_such_a_sign():
    well = one("4 May 2026 19:00  look A  well=yes\n", 4)
    told = one(f"4 May 2026 19:00  {DROPPINGS}", 4)
    assert [k.done for k in well.due(date(2026, 5, 5))] == [""]
    assert told.due(date(2026, 5, 5)) == ()


def test_the_round_asks_for_it_and_only_for_a_week():
    room = room_from(TANKS + CAME)
    kinds = {d: [(x.kind, x.number) for x in due(room, at(d), "UTC", FACTS)] for d in (2, 3, 9, 11)}
    assert kinds == {2: [], 3: [("newcomer-look", 3)], 9: [("newcomer-look", 3)], 11: [("newcomer-look", 10)]}


def test_newcomers_are_held_until_their_days_are_over():
    room = room_from(TANKS + CAME)
    hold = hold_of(room, "a", at(5), "UTC", FACTS)
    assert (hold.why, hold.until.date(), hold.whole_room) == ("newcomers", date(2026, 5, 29), False)
    assert hold_of(room, "a", at(28.5), "UTC", FACTS) is None


def test_hatched_here_is_no_newcomer():
    text = '1 May 2026 18:00  stock A  kind=guppy number=9 stage=juvenile source="eggs of B" arrived="20 d"\n'
    assert newcomers(room_from(TANKS + text), at(1), "UTC", FACTS) == ()


def test_who_lives_there_is_not_apart():
    text = '1 May 2026 18:00  stock B  kind=platy name=new number=2 arrived="0 d"\n'
    found = newcomers_in(room_from(TANKS + text), "b", at(1), "UTC", FACTS)
    assert len(found.residents) == 1


@pytest.mark.parametrize(
    ("line", "temp", "rule"),
    [("8 platies", 25.0, "trade"), ("8 platies", 18.0, "cool"), ("2 goldfish", 22.0, "cool"),
     ("9 cherry shrimp", 25.0, "shrimp_snails"), ("1 java moss", 25.0, "plants"),
     ("1 java moss; 3 platies", 25.0, "trade")],
)  # fmt: skip
def test_how_long_by_who_came_and_how_warm(line, temp, rule):
    assert rule_for(animals(line, FACTS), Estimate.exact(temp), FACTS).id == rule


def test_worms_hide_no_shorter_where_it_is_cooler():
    assert worms_d(Estimate.exact(25.0), FACTS) == 90
    assert worms_d(Estimate.exact(20.0), FACTS) >= 90


def test_what_such_fish_carry_is_of_their_own_group_first_with_its_source():
    rows = {c.cause: c for c in commonly(animals("8 platies", FACTS), Estimate.exact(25.0), FACTS)}
    worms = rows["camallanus"]
    assert (worms.group, worms.share, worms.source) == ("livebearer", 0.711, "CAMKOR")
    assert rows["gill_flukes"].group == "mixed"
    assert rows["white_spot"].share is None
    assert "without a figure" in words.common_says(rows["white_spot"], FACTS)
    assert commonly(animals("9 cherry shrimp; 1 java moss", FACTS), None, FACTS) == ()
    barbs = {c.cause for c in commonly(animals("8 cherry barbs", FACTS), None, FACTS)}
    assert "camallanus" not in barbs


def test_each_source_apart_in_a_free_tank_then_in_a_tub():
    found = asked({"auction": "8 platies 2.5cm", "exchange": "6 neon rainbow 4cm"})
    assert [(a.source, a.tank) for a in found.arrivals] == [("auction", "a"), ("exchange", "")]
    assert found.arrivals[1].least_l >= 15


@pytest.mark.parametrize(
    ("typed", "kind"),
    [({"auction": "8 platies", "into": "B"}, "not-apart"),
     ({"auction": "8 platies", "exchange": "6 neon rainbow", "into": "A,A"}, "sources-together")],
)  # fmt: skip
def test_rule_27_they_are_put_to_nobody(typed, kind):
    with pytest.raises(Refused) as refused:
        asked(typed)
    assert [r.kind for r in refused.value.reasons] == [kind]
    assert refused.value.reasons[0].would_change


def test_one_more_of_the_same_source_may_join_and_all_wait_anew():
    room = room_from(TANKS + CAME)
    found = quarantine_wanted(room, {"auction": "1 platy", "into": "A"}, at(9), "UTC", FACTS, room.kit.taste)
    (arrival,) = found.arrivals
    assert arrival.over == date(2026, 5, 1) + timedelta(days=37)
    assert "starts the days again" in words.place_says(arrival, room)


def test_the_water_is_that_of_the_tub_calculation():
    """4 g in 28 L at pH 8.0, 25 C with 45 % protein: 3 % rises by 0.18 mg/L a day, over 0.02 on day 3; half a
    day holds 0.019; fed 1 %, every third day the same (worked by hand from TIMMONS and EMERSON75).
    """
    typed = {
        "auction": "8 platies",
        "fish": "4 g",
        "food": "3 %",
        "protein": "45%",
        "ph": "8.0",
        "temp": "25C",
    }
    three, one_ = asked(typed).arrivals[0].fed
    assert round(three.plan.rise_mg_l_day, 2) == 0.18
    assert int(three.days_to_bound) + 1 == 3
    assert (three.wait_days, round(three.nh3_n_mg_l, 3)) == (1, 0.019)
    assert three.how[-1].value == three.nh3_n_mg_l and {"TIMMONS", "EMERSON75"} <= {
        x.source for x in three.how
    }
    assert (one_.wait_days, round(one_.nh3_n_mg_l, 3)) == (3, 0.019)


@pytest.mark.parametrize(
    ("typed", "field"),
    [({}, "animals"), ({"auction": "8 dragons"}, "animals"),
     ({"auction": "2 platies", "into": "A,B"}, "into"), ({"auction": "2 platies", "into": "Z"}, "into"),
     ({"auction": "2 platies", "swap": "1 guppy", "fish": "4 g"}, "fish")],
)  # fmt: skip
def test_what_cannot_be_is_told_by_its_field(typed, field):
    with pytest.raises(BadInput) as fault:
        asked(typed)
    assert fault.value.field == field


def test_nothing_is_given_without_a_sign_and_nobody_is_called_free():
    told = " ".join(h + s for h, s in words.NO_SIGN) + " ".join(words.NEVER)
    assert "No mixture" in told and "No number of clean days" in told
