"""Why a course may not be helping: what the log tells orders it, and danger stands first."""

from datetime import timedelta

import pytest

from tankward.desk.helping import helping
from tankward.room.acts import Clean, Dose, Media, Move
from tankward.room.entries.acts import CourseBegun, Done, Step
from tankward.room.replay import replay
from tankward.treat.failing import BESIDE
from tankward.treat.in_water import in_water
from tests.judge.treated import BEGUN, FACTS, FEWER, MORE, ROOM, STEPS, after, progress_on, room_of

NOW = 11.0
NET = Clean(what="net", how="the same net in T6 and T7")
SIX = """
20 Apr 2026 08:00  tank  T6  volume="30 L" temp=25C filter=sponge
20 Apr 2026 08:01  stock T6  kind=guppy name=others number=8 length=3cm
"""


def done(act, days, tank="t7", step=""):
    return Done(
        id=f"x{abs(hash((repr(act), days, tank))) % 10**10}", at=after(days), tank=tank, act=act, step=step
    )


def judged(*entries, lines=MORE, before=ROOM, **changed):
    """All that is said on the eleventh day, with these entries beside the log."""
    room = room_of(lines, NOW, before=before, **changed)
    room = replay([*room.log, *entries]) if entries else room
    return helping(room, "t7", after(NOW), FACTS)


def reasons(found):
    return {f.kind: f for f in found.failing}


def first_of(found, *, but=("another-cause",)):
    """The likeliest of the reasons why the right cause may not be reached."""
    return next(f.kind for f in found.failing if not f.beside and f.kind not in but)


def kinds(tells):
    return [t.kind for t in tells]


@pytest.fixture(scope="module")
def plain():
    return judged()


def test_what_helps_has_no_reasons():
    assert judged(lines=FEWER).failing == ()


def test_every_reason_stands_there_likeliest_first_and_shares_add_up(plain):
    rows = [f for f in plain.failing if not f.beside]
    assert {f.kind for f in rows} == {
        "another-cause", "too-weak", "not-given", "taken-out", "brought-back", "withstood",
    }  # fmt: skip
    shares = [f.share for f in rows]
    assert shares == sorted(shares, reverse=True)
    assert sum(shares) == pytest.approx(1.0)
    assert all(f.look.kind for f in plain.failing)
    assert all(f.speaks_for or f.speaks_against or f.kind == "too-weak" for f in rows)


def test_the_counts_part_another_cause_from_the_rest(plain):
    chances = plain.found.helped.chances
    share = reasons(plain)["another-cause"].share
    assert share == pytest.approx(chances.other / (chances.other + chances.too_little))
    assert "skin_flukes" not in {r.id for r in reasons(plain)["another-cause"].causes}


def test_carbon_that_was_left_in_stands_first():
    bare = tuple(s for s in STEPS if s.id not in ("out", "in"))
    found = judged(done(Media(into=True), -3), steps=bare)
    assert first_of(found) == "taken-out"
    assert kinds(reasons(found)["taken-out"].speaks_for) == ["medium-in"]


def test_carbon_that_was_taken_out_speaks_against_it(plain):
    assert kinds(reasons(plain)["taken-out"].speaks_against) == []  # put back on the ninth day
    late = judged(steps=tuple(s for s in STEPS if s.id != "in"))
    assert kinds(reasons(late)["taken-out"].speaks_against) == ["medium-out"]


def test_a_dose_that_nobody_ticked_stands_first():
    found = judged(skip=("two",), steps=tuple(s for s in STEPS if s.id != "in"))
    assert first_of(found) == "not-given"
    (tell,) = reasons(found)["not-given"].speaks_for
    assert tell.values == {"missed": 1, "of": 2}


def test_a_tenth_of_the_dose_is_too_weak():
    weak = tuple(
        Step(id=s.id, at=s.at, act=Dose(actives={"praziquantel": 12.0})) if isinstance(s.act, Dose) else s
        for s in STEPS
        if s.id != "in"
    )
    found = judged(steps=weak)
    assert first_of(found) == "too-weak"
    (tell,) = reasons(found)["too-weak"].speaks_for
    assert tell.values["never"] > 0.9
    assert tell.values["least"] == 2


def test_a_net_shared_with_a_tank_that_is_treated_for_it_stands_first():
    begun = CourseBegun(
        id="d" * 8, at=after(-1), tank="t6", name="against flukes", substance="praziquantel",
        route="water_long", cause="skin_flukes", steps=(),
    )  # fmt: skip
    steps = tuple(s for s in STEPS if s.id != "in")
    found = judged(begun, done(NET, 2), done(NET, 2, tank="t6"), before=ROOM + SIX, steps=steps)
    assert first_of(found) == "brought-back"
    row = reasons(found)["brought-back"]
    assert "met-ill" in kinds(row.speaks_for)
    assert row.look.values["tank"] == "t6"
    alone = reasons(judged(before=ROOM + SIX, steps=steps))["brought-back"]
    assert alone.share < row.share


def test_the_same_given_before_speaks_for_it_that_it_is_withstood(plain):
    again = judged(CourseBegun(
        id="b" * 8, at=after(-60), tank="t7", name="once", substance="praziquantel", cause="skin_flukes",
    ))  # fmt: skip
    row = reasons(again)["withstood"]
    assert "given-before" in kinds(row.speaks_for)
    assert kinds(reasons(plain)["withstood"].speaks_against) == ["first-time"]
    of_right = row.share / (1.0 - reasons(again)["another-cause"].share)
    before = reasons(plain)["withstood"].share / (1.0 - reasons(plain)["another-cause"].share)
    assert of_right > before


def test_gasping_since_it_began_stands_before_everything():
    found = judged(lines=MORE + "12 May 2026 18:00 look T7 seen=gasping_surface\n")
    first = found.failing[0]
    assert (first.kind, first.beside) == ("poisoned", True)
    assert kinds(first.speaks_for) == ["new-sign"]
    assert first.look.kind == "half-change"


def test_ten_times_the_dose_is_too_much_for_them():
    strong = tuple(
        Step(id=s.id, at=s.at, act=Dose(actives={"praziquantel": 1350.0})) if isinstance(s.act, Dose) else s
        for s in STEPS
    )
    first = judged(steps=strong).failing[0]
    assert first.kind == "poisoned"
    assert kinds(first.speaks_for) == ["over"]
    assert first.speaks_for[0].values["most"] > 2.0


def test_gasping_from_before_it_is_not_its_doing():
    gasped = ROOM + "1 May 2026 18:05 look T7 seen=gasping_surface\n"
    found = judged(before=gasped, lines=MORE + "12 May 2026 18:00 look T7 seen=gasping_surface\n")
    assert "poisoned" not in reasons(found)


def test_a_sore_since_it_began_is_a_second_illness_beside_the_rest():
    found = judged(lines=MORE + "12 May 2026 18:00 look T7 seen=cotton_tufts\n")
    row = reasons(found)["second"]
    assert row.kind in BESIDE
    assert row.causes[0].group in ("bacteria", "fungus")
    assert row.look.kind == "vet-culture"
    assert found.failing[-1] == row


def test_what_stood_in_the_water_is_told_with_its_source():
    found = progress_on(NOW, MORE)
    (one,) = in_water(found, room_of(MORE, NOW), after(NOW), FACTS)
    assert one.substance == "praziquantel"
    assert 0.0 < one.under_share < 1.0
    assert one.never < 0.5
    assert one.source != "none" or one.status == "memory"
    assert BEGUN + timedelta(days=NOW) == after(NOW)


def test_animals_moved_away_and_back_met_the_other_tank():
    moves = [done(Move(stock="t7-fish", to="t6", number=2), 1)]
    found = judged(*moves, before=ROOM + SIX)
    tells = reasons(found)["brought-back"].speaks_for
    assert "met" in kinds(tells)
