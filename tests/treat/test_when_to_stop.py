"""When a course stops, what goes back and when, who stays, when suffering is ended."""

from datetime import timedelta

import pytest

from tankward.desk.helping import helping
from tankward.model.falling import falls
from tankward.model.forecast import made
from tankward.room.acts import Move
from tankward.room.entries.acts import CourseBegun, Done
from tankward.room.entries.looks import Look
from tankward.room.replay import replay
from tankward.treat.when_to_stop import suffering
from tests.judge.treated import FACTS, FEWER, ROOM, STEPS, after, room_of

SHRIMP = (
    ROOM
    + """
20 Apr 2026 08:02  stock T7  kind=cherry_shrimp name=shrimp number=20
20 Apr 2026 08:03  tank  T6  volume="30 L" temp=25C filter=sponge
"""
)


def ending(now, lines="", *entries, **changed):
    room = room_of(lines, now, **changed)
    room = replay([*room.log, *entries]) if entries else room
    return helping(room, "t7", after(now), FACTS).ending


def test_doses_are_counted_against_the_labels_number_and_three():
    """Safety rule 12."""
    found = ending(1)
    assert (found.rounds.given, found.rounds.planned, found.rounds.most) == (1, 1, 3)
    assert found.rounds.third is None
    assert not found.over
    assert ending(11, FEWER).over


def test_no_third_course_without_a_cause_seen():
    """Safety rule 12: the second is the last that is begun by signs alone."""
    before = CourseBegun(
        id="b" * 8, at=after(-60), tank="t7", name="once", substance="praziquantel", cause="skin_flukes"
    )
    found = ending(1, "", before)
    assert found.rounds.courses == 2
    assert found.rounds.third is not None
    seen = ending(1, "2 May 2026 08:00 look T7 seen=visible_parasite\n", before)
    assert seen.rounds.third is None


def test_carbon_goes_back_with_its_step():
    (carbon,) = [b for b in ending(1).back if b.what == "carbon"]
    assert carbon.on == after(9)
    bare = tuple(s for s in STEPS if s.id != "in")
    (carbon,) = [b for b in ending(1, steps=bare).back if b.what == "carbon"]
    assert carbon.on == after(5)  # the last dose
    assert not [b for b in ending(11, FEWER).back if b.what == "carbon"]  # it is back
    assert not [b for b in ending(1, skip=("out",), steps=STEPS[1:3]).back if b.what == "carbon"]


def test_shrimp_go_back_once_the_level_is_under_what_they_bear():
    moved = Done(id="m" * 8, at=after(-0.2), tank="t7", act=Move(stock="t7-shrimp", to="t6"))
    found = ending(1, "", moved, before=SHRIMP)
    (back,) = [b for b in found.back if b.what == "animals"]
    assert (back.stock, back.substance) == ("shrimp", "praziquantel")
    assert back.limit > 0
    assert back.on is None or back.on >= after(1)
    room = replay([*room_of("", 1.0, before=SHRIMP).log, moved])
    life = helping(room, "t7", after(1), FACTS).found.helped
    fall = falls(made(life.told, after(1), life.learning, ()), "praziquantel", back.limit)
    assert back.on == after(1) + timedelta(hours=fall.last.high)


def test_survivors_of_white_spot_carry_it_for_days_of_skin_flukes_nobody_knows():
    """Safety rule 26."""
    spots = ROOM.replace("flashing", "white_spots")
    (one,) = ending(1, before=spots, cause="white_spot").survivors
    assert one.until > after(9) + timedelta(days=5)
    later = ending(12, "12 May 2026 18:00 look T7 seen=white_spots\n", before=spots, cause="white_spot")
    assert later.survivors[0].until > one.until  # counted from the last sign
    (flukes,) = ending(1).survivors
    assert flukes.until is None


def looks(*told):
    return [
        Look(
            id=f"look{n:04d}", at=after(days), tank="t7", seen=tuple(seen), absent=tuple(absent), eating=eats
        )
        for n, (days, seen, absent, eats) in enumerate(told)
    ]


@pytest.mark.parametrize(
    ("told", "signs"),
    [
        ([(0, ["on_side"], [], ""), (1, ["on_side"], [], "")], ["on_side"]),
        ([(0, ["on_side"], [], ""), (0.2, ["on_side"], [], "")], []),  # it may pass within the hour
        ([(0, ["on_side"], [], ""), (1, [], ["on_side"], ""), (1.5, ["on_side"], [], "")], []),
        ([(-5, ["on_side"], [], ""), (-3, ["on_side"], [], "")], []),  # long ago
        ([(0, ["back_thin"], [], "no"), (1, ["back_thin"], [], "no")], ["back_thin"]),
        ([(0, ["back_thin"], [], "yes"), (1, ["back_thin"], [], "yes")], []),
        ([(0, ["gasping_surface"], [], ""), (1, ["gasping_surface"], [], "")], ["gasping_surface"]),
        ([(0, ["flashing"], [], ""), (1, ["flashing"], [], "")], []),
    ],
)
def test_a_sign_that_lasts_may_be_suffering(told, signs):
    """Safety rules 32 and 33: it cannot hold itself upright, it wastes and does not eat, it gasps."""
    assert [s.sign for s in suffering(looks(*told), after(1.6))] == signs
