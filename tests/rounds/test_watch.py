"""The clearance watch and who stays: dates by the cycle, what came back, who met it. Safety rules 26, 27."""

from datetime import UTC, date, datetime, timedelta
from math import ceil

import pytest
from msgspec.structs import replace

from tankward.knowledge.loader import load
from tankward.quantities.parse import Estimate
from tankward.room.acts import Dose, LookAgain
from tankward.room.entries.acts import CourseBegun, CourseStopped, Step
from tankward.room.entries.corrections import Undone
from tankward.room.entries.ends import CourseClosed
from tankward.room.entries.looks import Look
from tankward.room.replay import replay
from tankward.rounds.due import due
from tankward.rounds.hold import hold_of, holds
from tankward.rounds.round import round_of
from tankward.rounds.states import state_of
from tankward.rounds.watch import open_watches, quarantine_d, watches
from tankward.show.words.after import ENDED, MEANS, NOT_GONE, hold_says, look_rows, over_lines, watch_says
from tankward.treat.course.watching import cycle_d
from tests.helpers.rooms import entries_from

FACTS = load()
START = datetime(2026, 5, 1, 18, 0, tzinfo=UTC)
ROOM = """
20 Apr 2026 08:00  tank  T6  volume="31 L" temp=20C
20 Apr 2026 08:00  tank  T8  volume="21 L" temp=25C place=1
20 Apr 2026 08:00  tank  T9  volume="21 L" temp=25C place=2
20 Apr 2026 08:01  stock T6  kind=cherry_barb name=barbs number=12
20 Apr 2026 08:01  stock T8  kind=pearl_danio_celestial name=danios number=18
20 Apr 2026 08:01  stock T9  kind=guppy name=guppies number=8
30 Apr 2026 19:00  look T8  seen="white spots; flashing" share=some
"""
NET = """
3 May 2026 19:00  clean T6  what=net how="the blue one"
3 May 2026 19:30  clean T8  what=net how="the blue one"
"""


def at(days):
    return START + timedelta(days=days)


def begun(id_="c1", days=0.0, tank="t8", **more):
    """Two doses, two days apart; a look far later does nothing."""
    given = Dose(actives={"sodium_chloride": 21_000.0})
    plan = ((0, given), (2, given), (20, LookAgain(what="the same signs")))
    steps = tuple(Step(id=f"{id_}-{d}", at=at(days + d), act=act) for d, act in plan)
    told = {"substance": "sodium_chloride", "route": "water_long", "cause": "white_spot"} | more
    return CourseBegun(id=id_, at=at(days), tank=tank, name="salt in the tank", steps=steps, **told)


def closed(outcome="cleared", days=9.0, **more):
    return CourseClosed(id="end", at=at(days), tank="t8", course="c1", outcome=outcome, **more)


def look(days, tank="t8", id_="", **told):
    return Look(id=id_ or f"look-{tank}-{days}", at=at(days), tank=tank, **told)


def room(*entries, text=""):
    return replay([*entries_from(ROOM + text), *entries])


def own(found, days=9.0):
    return next((w for w in watches(found, at(days), "UTC", FACTS) if not w.how), None)


def kinds(found, days):
    return [d.kind for d in due(found, at(days), "UTC", FACTS, open_watches(found, at(days), "UTC", FACTS))]


SPOTS = cycle_d(FACTS.organisms["ichthyophthirius"], Estimate.exact(25.0))


def test_the_looks_fall_on_the_days_of_the_cycle_by_the_warmth_of_that_tank():
    """When the first new ones could show, after one whole cycle and after two, from the last dose on."""
    found = own(room(begun(), closed()))
    low, high = sorted(SPOTS)
    expected = [date(2026, 5, 3) + timedelta(days=ceil(d)) for d in (low, high, 2 * high)]
    assert [w.on for w in found.looks] == expected
    assert [w.cycle for w in found.looks] == [0, 1, 2]
    assert (found.causes, found.signs) == (("white_spot",), ("white_spots", "flashing"))
    colder = room(begun(), closed(), text="2 May 2026 10:00  reading T8  temp=20C\n")
    assert own(colder).one_cycle > found.one_cycle


def test_of_a_long_cycle_one_is_waited_for():
    worms = own(room(begun(cause="camallanus"), closed()))
    assert [w.cycle for w in worms.looks] == [0, 1]
    assert worms.one_cycle == date(2026, 5, 3) + timedelta(days=90)


def test_where_no_cycle_is_known_the_usual_days_of_a_quarantine_stand_in_and_say_so():
    found = own(room(begun(cause="columnaris"), closed()))
    assert [w.cycle for w in found.looks] == [-1, -1]
    assert found.last == date(2026, 5, 3) + timedelta(days=quarantine_d(FACTS))
    assert all("usual practice" in r.soft for r in look_rows(found, at(9), "UTC", FACTS))


def test_a_look_is_done_by_saying_that_a_sign_of_it_is_not_there_and_all_well_is_not_that():
    watched = room(begun(), closed(), look(13, well=True))
    assert "watch" in kinds(watched, 13.5)
    done = room(begun(), closed(), look(13, absent=("white_spots",)))
    assert "watch" not in kinds(done, 13.5)
    assert [bool(w.done) for w in own(done, 13.5).looks] == [True, True, False]
    other = room(begun(), closed(), look(13, absent=("bloated",)))
    assert "watch" in kinds(other, 13.5)


def test_nothing_is_due_before_its_day():
    assert "watch" not in kinds(room(begun(), closed(days=3.0)), 3.1)


def test_a_sign_of_it_seen_again_is_said_with_the_day_and_the_days_begin_anew():
    back = room(begun(), closed(), look(11, seen=("white_spots",)))
    found = own(back, 12)
    assert (found.back.day, found.back.signs) == (10, ("white_spots",))  # day 1 was 3 May, the last dose
    assert (found.since, found.restarted) == (at(11), "sign")
    assert kinds(back, 12)[0] == "back"
    said = watch_says(found, back, at(12), "UTC", FACTS)
    assert said.startswith("It is back in T8, by what is seen: white spots like salt, day 10")
    again = room(begun(), closed(), look(11, seen=("white_spots",)), look(13, absent=("white_spots",)))
    assert own(again, 14).back is None and own(again, 14).since == at(11)
    assert "back" not in kinds(again, 14)


def test_a_sign_of_something_else_is_not_it():
    assert own(room(begun(), closed(), look(11, seen=("bloated",))), 12).back is None


def test_a_new_course_takes_the_place_of_the_watch():
    treated = room(begun(), closed(), look(11, seen=("white_spots",)), begun("c2", 12.0))
    assert own(treated, 13) is None
    assert "back" not in kinds(treated, 13)


def test_signs_that_were_still_seen_at_the_end_begin_the_days_there():
    assert own(room(begun(), closed("better", seen=("flashing",)))).since == at(9)
    assert own(room(begun(), closed("better"), look(5, seen=("flashing",)))).since == at(5)


@pytest.mark.parametrize("outcome", ["no_change", "worse"])
def test_a_course_that_ended_badly_is_not_waited_on(outcome):
    found = room(begun(), closed(outcome))
    assert own(found) is None
    assert hold_of(found, "t8", at(10), "UTC", FACTS).why == "not-over"


def test_what_no_fish_catches_is_not_watched_and_holds_nobody():
    found = room(begun(cause="constipation"), closed())
    assert list(watches(found, at(10), "UTC", FACTS)) == []
    assert hold_of(found, "t8", at(11), "UTC", FACTS) is None


def test_a_tank_that_shared_its_net_is_watched_by_its_own_warmth_and_one_that_did_not_is_not():
    found = room(begun(), closed(), text=NET)
    met = [w for w in watches(found, at(10), "UTC", FACTS) if w.how]
    assert [(w.tank, w.of, w.how) for w in met] == [("t6", "t8", "net")]
    days = ceil(max(cycle_d(FACTS.organisms["ichthyophthirius"], Estimate.exact(20.0))))
    assert met[0].one_cycle == date(2026, 5, 3) + timedelta(days=days)
    assert state_of(found, "t6", at(10), met).why == "met-ill"


def test_tanks_of_one_water_and_fish_that_were_moved_have_met_it():
    shared = ROOM.replace('tank  T9  volume="21 L"', 'tank  T9  volume="21 L" system=t8')
    one = replay([*entries_from(shared), begun(), closed()])
    assert {(w.tank, w.how) for w in watches(one, at(10), "UTC", FACTS)} == {("t8", ""), ("t9", "water")}
    moved = room(begun(), closed(), text="2 May 2026 12:00  move T8  stock=t8-danios to=T9 number=2\n")
    assert {(w.tank, w.how) for w in watches(moved, at(10), "UTC", FACTS)} == {("t8", ""), ("t9", "moved")}


def test_a_contact_after_survivors_are_no_longer_catching_is_none():
    late = NET.replace("3 May", "30 May")
    found = room(begun(), closed(), text=late)
    assert [w for w in watches(found, at(31), "UTC", FACTS) if w.how] == []


def test_a_watched_tank_comes_late_in_the_round():
    found = round_of(room(begun(), closed()), at(10), "UTC", FACTS)
    assert [v.tank for v in found.visits][-1] == "t8"
    assert found.visits[-1].state.why == "after-course"


def test_an_undone_end_leaves_no_watch():
    back = room(begun(), closed(), Undone(id="undo", at=at(10), tank="t8", entry="end"))
    assert list(watches(back, at(11), "UTC", FACTS)) == []


# Who stays: safety rule 26.


def test_rule_26_at_the_end_of_a_course_survivors_stay_by_the_rule_of_the_organism():
    found = hold_of(room(begun(), closed()), "t8", at(9), "UTC", FACTS)
    assert (found.why, found.causes) == ("carried", ("white_spot",))
    assert found.until == at(2) + timedelta(days=max(SPOTS))
    assert hold_of(room(begun(), closed()), "t8", at(2 + max(SPOTS) + 0.1), "UTC", FACTS) is None
    worms = hold_of(room(begun(cause="camallanus"), closed()), "t8", at(9), "UTC", FACTS)
    assert worms.until == at(2) + timedelta(days=90)


def test_rule_26_mycobacteria_never():
    found = room(begun(cause="mycobacteriosis"), closed())
    hold = hold_of(found, "t8", at(400), "UTC", FACTS)
    assert (hold.why, hold.until) == ("for-life", None)
    assert "ever sold, given or mixed" in hold_says(hold, found, at(400), "UTC", FACTS)


def test_rule_26_while_a_cause_is_unknown_nothing_leaves_the_room():
    unknown = room(begun(cause=""), closed())
    hold = hold_of(unknown, "t8", at(60), "UTC", FACTS)
    assert hold.why == "unknown" and hold.whole_room
    assert "Nothing leaves the room" in hold_says(hold, unknown, at(60), "UTC", FACTS)
    signs = room()
    hold = hold_of(signs, "t8", at(0), "UTC", FACTS)
    assert hold.why == "signs" and hold.whole_room
    told = room(begun(cause=""), closed(cause="white_spot"))
    assert hold_of(told, "t8", at(9), "UTC", FACTS).why == "carried"


def test_rule_26_the_longer_of_what_is_believed_and_what_it_was_begun_for():
    found = hold_of(room(begun(), closed(cause="camallanus")), "t8", at(9), "UTC", FACTS)
    assert found.until == at(2) + timedelta(days=90)
    assert set(found.causes) == {"white_spot", "camallanus"}


def test_rule_26_a_sign_seen_again_makes_the_hold_longer():
    first = hold_of(room(begun(), closed()), "t8", at(9), "UTC", FACTS).until
    again = room(begun(), closed(), look(10, seen=("flashing",)), look(10.1, absent=("flashing",)))
    assert hold_of(again, "t8", at(11), "UTC", FACTS).until == first + timedelta(days=8)


def test_rule_26_a_running_course_holds_and_so_does_one_that_was_stopped():
    assert hold_of(room(begun()), "t8", at(1), "UTC", FACTS).why == "course"
    stop = CourseStopped(id="s", at=at(1), tank="t8", course="c1")
    assert hold_of(room(begun(), stop), "t8", at(3), "UTC", FACTS).why == "carried"


def test_rule_26_fish_that_were_moved_take_it_with_them():
    moved = room(
        begun(), closed(days=3.0), text="2 May 2026 12:00  move T8  stock=t8-danios to=T9 number=2\n"
    )
    found = hold_of(moved, "t9", at(4), "UTC", FACTS)
    assert (found.why, found.of, found.how) == ("carried", "t8", "moved")
    assert [h.tank for h in holds(moved, at(4), "UTC", FACTS)] == ["t8", "t9"]


def test_rule_26_no_sentence_says_that_anything_is_free_of_disease():
    said = [*ENDED.values(), *MEANS.values(), NOT_GONE]
    for cause in ("white_spot", "camallanus", "mycobacteriosis", "columnaris", ""):
        found = room(begun(cause=cause), closed())
        hold = hold_of(found, "t8", at(4), "UTC", FACTS)
        said.append(hold_says(hold, found, at(4), "UTC", FACTS))
        said += over_lines((cause,) if cause else (), (), None, "UTC", FACTS)
        said += [watch_says(w, found, at(4), "UTC", FACTS) for w in watches(found, at(10), "UTC", FACTS)]
    for line in said:
        for never in ("disease free", "disease-free", "free of disease", "healthy again", "safe to"):
            assert never not in line.lower()


def test_rule_27_a_newcomer_begins_the_days_anew_for_its_tank():
    plain = own(room(begun(), closed()), 15)
    new = room(
        begun(), closed(), text="10 May 2026 12:00  stock T8  kind=guppy name=new number=2 arrived=0d\n"
    )
    found = own(new, 15)
    assert (found.since, found.restarted) == (datetime(2026, 5, 10, 12, 0, tzinfo=UTC), "newcomer")
    assert found.last > plain.last
    again = (
        ROOM
        + "10 May 2026 12:00  stock T8  stock=t8-danios kind=pearl_danio_celestial name=danios number=17\n"
    )
    grown = replay([*entries_from(again), begun(), closed()])
    assert own(grown, 15).restarted == ""  # described anew: nobody came


def test_what_comes_long_after_its_last_day_is_another_case():
    later = room(begun(), closed(), look(60, seen=("white_spots",)))
    assert own(later, 61).back is None
    new = room(
        begun(), closed(), text="30 Jun 2026 12:00  stock T8  kind=guppy name=new number=2 arrived=0d\n"
    )
    assert own(new, 65).restarted == ""
    shared = room(begun(), closed(), text=NET + "30 Jun 2026 12:00  stock T6  kind=guppy name=new number=2\n")
    assert {w.restarted for w in watches(shared, at(65), "UTC", FACTS)} == {""}


def test_the_round_asks_how_it_ended_from_the_day_of_decision_on():
    assert "close" not in kinds(room(begun()), 6)
    assert "close" in kinds(room(begun()), 7)
    assert "close" not in kinds(room(begun(), closed()), 10)
    stop = CourseStopped(id="s", at=at(1), tank="t8", course="c1")
    assert "close" in kinds(room(begun(), stop), 3) and "close" not in kinds(room(begun(), stop), 20)
    late = replace(begun(), steps=())
    assert "close" in kinds(room(late), 8)
