"""Today's round: who comes first, who last, what is late, what is done, who is missing."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.desk.demo.generate import demo_logbook
from tankward.knowledge.loader import load
from tankward.room.acts import Change
from tankward.room.entries.acts import CourseBegun, Done, Step, StepSkipped
from tankward.room.entries.animals import Counted, Death
from tankward.room.entries.looks import Look
from tankward.room.entries.missing import NotFound
from tankward.room.replay import Room, replay
from tankward.rounds.heads import JUST_BEFORE
from tankward.rounds.round import SAFE, in_hand, round_of
from tankward.rounds.states import state_of, states
from tests.helpers.rooms import entries_from

NOW = datetime(2026, 5, 12, 18, 10, tzinfo=UTC)
FACTS = load()
DEMO = demo_logbook(NOW, FACTS)
ROOM = """
1 May 2026 08:00  tank  T1  volume="45 L"
1 May 2026 08:01  stock T1  kind=guppy name=guppies number=11
1 May 2026 08:02  stock T1  kind=java_moss name=moss number=3
1 May 2026 08:00  tank  T2  volume="45 L" place=1
1 May 2026 08:01  stock T2  kind=cherry_shrimp name=shrimp number="about 70"
1 May 2026 08:00  tank  T3  volume="45 L" place=2
11 May 2026 19:00  look T1  well=yes
11 May 2026 19:01  look T2  well=yes
"""


def room(*extra, text: str = "") -> Room:
    return replay([*entries_from(ROOM + text), *extra])


def today(found: Room):
    return round_of(found, NOW, "UTC", FACTS)


def with_course(*extra) -> Room:
    steps = tuple(
        Step(id=f"s{n}", at=NOW + timedelta(hours=24 * n - 3), act=Change(share=0.5)) for n in range(-1, 3)
    )
    begun = CourseBegun(id="0" * 8, at=NOW - timedelta(days=2), tank="t1", name="a course", steps=steps)
    return room(begun, *extra)


def counted(number: str, stock: str = "t1-guppies", at: datetime = NOW) -> Counted:
    line = f'{at:%-d %b %Y %H:%M}  counted T1  stock={stock} number="{number}"'
    return entries_from(line)[0]


def test_the_sick_come_last_and_the_empty_are_left_out() -> None:
    found = round_of(replay(DEMO), NOW, "UTC", FACTS)
    order = [v.tank for v in found.visits]
    assert order
    assert "T11" not in order
    ranks = [SAFE[state_of(replay(DEMO), tank, NOW).state] for tank in order]
    assert ranks == sorted(ranks)


def test_t7_is_sick_t8_is_watched_and_so_are_those_that_shared_its_net() -> None:
    found = {s.tank: (s.state, s.why) for s in states(replay(DEMO), NOW)}
    assert found["T7"] == ("sick", "signs")
    assert found["T8"] == ("watch", "signs-few")
    assert found["T6"] == found["T10"] == ("watch", "shared-net")
    assert found["T11"] == ("empty", "nobody")


def test_steps_due_are_those_up_to_today_that_nobody_ticked_or_skipped() -> None:
    assert [s.step.id for s in today(with_course()).open_steps] == ["s-1", "s0"]
    ticked = Done(id="1" * 8, at=NOW, tank="t1", act=Change(share=0.5), step="s-1")
    skipped = StepSkipped(id="2" * 8, at=NOW, tank="t1", step="s0")
    assert [s.step.id for s in today(with_course(ticked)).open_steps] == ["s0"]
    left = today(with_course(ticked, skipped))
    assert left.open_steps == ()
    assert [(s.step.id, s.state) for s in left.told_steps] == [("s-1", "done"), ("s0", "skipped")]


def test_a_step_of_this_afternoon_is_late_by_its_hours() -> None:
    late = {s.step.id: (s.state, s.late_h) for s in today(with_course()).open_steps}
    assert late == {"s-1": ("late", 27.0), "s0": ("late", 3.0)}


def test_a_look_counts_for_its_own_day_and_after_midnight_for_the_evening_before() -> None:
    assert [v.tank for v in today(room()).visits] == ["t1", "t2"]  # the look of yesterday is no look today
    look = Look(id="3" * 8, at=NOW, tank="t1", well=True)
    found = today(room(look))
    assert [v.tank for v in found.visits] == ["t2"]
    assert [(one.tank, one.well) for one in found.looked] == [("t1", True)]
    one_at_night = datetime(2026, 5, 13, 1, 0, tzinfo=UTC)
    assert [one.tank for one in round_of(room(look), one_at_night, "UTC", FACTS).looked] == ["t1"]
    morning = datetime(2026, 5, 13, 7, 0, tzinfo=UTC)
    assert round_of(room(look), morning, "UTC", FACTS).looked == ()


def test_a_tank_that_looked_odd_is_watched_until_it_is_told_what_was_seen() -> None:
    odd = Look(id="3" * 8, at=NOW, tank="t1", well=False)
    assert state_of(room(odd), "t1", NOW).why == "odd"
    assert today(room(odd)).looked[0].well is False
    after = Look(id="4" * 8, at=NOW + timedelta(minutes=1), tank="t1", well=True)
    assert state_of(room(odd, after), "t1", NOW).state == "well"


def test_plants_are_no_heads_and_many_need_no_count() -> None:
    heads = {v.tank: [(h.stock.name, h.countable) for h in v.heads] for v in today(room()).visits}
    assert heads == {"t1": [("guppies", True)], "t2": [("shrimp", False)]}


def test_one_is_missing_until_it_is_told_where_it_went() -> None:
    count = counted("10")
    short = today(room(count)).missing
    assert [(m.stock.name, m.number, m.before, m.now) for m in short] == [("guppies", 1, 11, 10)]
    for answer in (Death, NotFound):
        told = answer(id="5" * 8, at=count.at - JUST_BEFORE, tank="t1", stock="t1-guppies", number=1)
        after = room(count, told)
        assert today(after).missing == ()
        assert after.stock["t1-guppies"].number.value == 10


def test_two_missing_and_one_found_leave_one() -> None:
    count = counted("9")
    dead = Death(id="5" * 8, at=count.at - JUST_BEFORE, tank="t1", stock="t1-guppies", number=1)
    assert [m.number for m in today(room(count, dead)).missing] == [1]


@pytest.mark.parametrize("number", ["11", "12", "about 9"])
def test_nobody_is_missing_where_as_many_or_about_so_many_are_there(number: str) -> None:
    assert today(room(counted(number))).missing == ()


def test_a_count_of_last_week_asks_no_more() -> None:
    assert today(room(counted("10", at=NOW - timedelta(days=3)))).missing == ()


def test_what_is_put_off_waits_and_a_tank_that_is_chosen_stands_open() -> None:
    found = today(room())
    assert [in_hand(found).tank, in_hand(found, later=("t1",)).tank, in_hand(found, "t2").tank] == [
        "t1",
        "t2",
        "t2",
    ]
    assert in_hand(found, later=("t1", "t2")).tank == "t1"
    assert in_hand(today(Room())) is None


def test_the_dead_that_may_still_lie_there_and_a_packet_past_its_date_are_due() -> None:
    found = today(room(text="""
12 May 2026 08:00  death T1  stock=t1-guppies number=2 taken-out=no
1 May 2026 08:00  supply  name="old powder" unit=g praziquantel="1000 mg" expiry=2026-04
"""))  # fmt: skip
    assert [(d.kind, d.number) for d in found.due] == [("body", 2), ("packet-over", 0)]


def test_newcomers_are_named_when_their_days_are_over() -> None:
    text = '14 Apr 2026 08:00  stock T3  kind=guppy name=newcomers number=4 arrived="0 d"\n'
    found = today(room(text=text)).due
    assert [(d.kind, d.number, d.status) for d in found] == [("quarantine", 28, "common-practice")]
    early = today(room(text=text.replace("14 Apr", "20 Apr"))).due
    assert [(d.kind, d.what, d.number) for d in early] == [("newcomer-look", "droppings", 20)]


def test_a_healthy_tank_after_a_sick_one_says_so() -> None:
    seen = Look(id="6" * 8, at=NOW, tank="t1", seen=("white_spots",))
    assert [v.after for v in today(room(seen)).visits] == [("t1",)]
