"""A tank wound down: who is held, where each may go, drying by organism, what is refused. Rules 26 and 28."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.desk.border import Border
from tankward.desk.winding import close, leave, winding_of
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, Refused
from tankward.room.acts import Dose
from tankward.room.entries.acts import CourseBegun, Step
from tankward.room.entries.ends import CourseClosed
from tankward.room.replay import replay
from tankward.rounds.closing import drying
from tankward.show.words import winding as words
from tankward.treat.amounts.bleach import bleach_ml, thiosulfate_mg
from tests.helpers.rooms import entries_from

FACTS = load()
NOW = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)
ROOM = """
1 Apr 2026 08:00  tank  T1  volume="63 L" temp=25C filter=sponge
1 Apr 2026 08:00  tank  T2  volume="40 L" temp=25C
1 Apr 2026 08:00  tank  T3  volume="20 L" temp=26C
1 Apr 2026 08:00  tank  T4  volume="20 L" temp=19C
1 Apr 2026 08:01  stock T1  kind=dont-know name="the timid two" number=2
1 Apr 2026 08:01  stock T1  kind=pygmy_cory name=cories number=4
1 Apr 2026 08:01  stock T1  kind=cherry_shrimp name=shrimp number=20
1 Apr 2026 08:01  stock T1  kind=java_moss name=moss number=1
1 Apr 2026 08:01  stock T2  kind=cherry_barb name=barbs number=6
"""
THIN = '23 Apr 2026 18:00  look T1  seen="belly_sunken; back_thin"\n'
NET = '10 May 2026 19:00  clean T1  what=net how="blue"\n10 May 2026 19:30  clean T2  what=net how="blue"\n'


def room_of(text="", *more):
    return replay([*entries_from(ROOM + text), *more])


def found(text="", *more, **typed):
    return winding_of(room_of(text, *more), "t1", typed, NOW, "UTC", FACTS)


def groups(winding):
    return {g.stock.name: g for g in winding.closing.groups}


def course(cause="", outcome="", day=-20):
    at = NOW + timedelta(days=day)
    step = Step(id="s", at=at, act=Dose(actives={"praziquantel": 126.0}))
    begun = CourseBegun(id="c", at=at, tank="t1", name="a course", substance="praziquantel", cause=cause,
                        steps=(step,))  # fmt: skip
    end = CourseClosed(id="e", at=at + timedelta(days=5), tank="t1", course="c", outcome=outcome, cause=cause)
    return (begun, end) if outcome else (begun,)


def test_where_nothing_was_seen_they_may_be_sold_and_no_one_is_called_clean():
    winding = found()
    assert not winding.closing.held and not winding.closing.suspect
    assert {h.why for h in groups(winding)["cories"].homes} == {"free", "well"}
    assert "does not say that it is clean" in words.why(winding, room_of(), NOW, "UTC", FACTS)


def test_signs_three_weeks_ago_and_nobody_knows_what_it_was_hold_all_of_it():
    closing = found(THIN).closing
    assert closing.held and closing.hold.why == "unknown"
    assert closing.mycobacteria and closing.worms


def test_an_end_that_was_told_of_a_known_cause_is_held_by_its_own_rule():
    told = found(THIN, *course("white_spot", "cleared")).closing
    assert told.hold is None and told.suspect
    assert not told.mycobacteria and not told.worms


def test_those_on_hold_go_to_the_exposed_or_apart_never_to_the_well():
    own = groups(found(THIN))
    assert [(h.tank, h.why) for h in own["cories"].homes if h.fits] == [("t3", "free")]
    met = groups(found(THIN + NET))
    assert [(h.tank, h.why) for h in met["cories"].homes if h.fits] == [("t2", "exposed"), ("t3", "free")]


def test_days_apart_by_what_each_is_and_ninety_while_worms_stay_open():
    own = groups(found(THIN))
    assert {n: (g.kind, g.apart_d, g.worms_d) for n, g in own.items()} == {
        "the timid two": ("unknown", 28, 90),
        "cories": ("fish", 28, 90),
        "shrimp": ("carrier", 28, None),
        "moss": ("plant", 21, None),
    }


def test_the_bleach_is_that_of_the_calculation_and_stands_a_day_while_mycobacteria_stay_open():
    winding = found(THIN)
    assert winding.bleach.value == pytest.approx(bleach_ml(50_000.0, 200.0, 63.0))
    after = next(n for n in winding.bleach.also if n.name.startswith("thiosulfate"))
    assert after.value == pytest.approx(thiosulfate_mg(200.0 * 63.0, 7.0))
    assert (winding.hours, found().hours) == (24, 1)
    half = found(THIN, strength="2.5 %")
    assert half.bleach.value == pytest.approx(2 * winding.bleach.value)
    assert found(THIN, volume="70 L").bleach.value == pytest.approx(winding.bleach.value * 70 / 63)


def test_a_medicine_given_asks_for_carbon_first():
    dose = "13 May 2026 18:00  dose T1  praziquantel=126mg\n"
    winding = found(dose)
    assert [x.substance for x in winding.left] == ["praziquantel"]
    assert winding.carbon_g == (63.0, 189.0)
    heads = [s.head for s in words.water_steps(winding)]
    assert "Praziquantel is still in it" in heads[0] and "carbon" in heads[1] and "Drain" in heads[2]
    assert not [s for s in words.water_steps(found()) if "carbon" in s.head]
    assert "not to shrimp" in words.thing_steps(winding)[0].how
    assert "not to shrimp" not in words.thing_steps(found())[0].how
    gone = found("20 Mar 2026 18:00  dose T1  praziquantel=126mg\n")
    assert gone.given and "may have faded" in words.water_steps(gone)[0].how


def test_things_are_boiled_or_thrown_away_where_anything_was_seen():
    assert "into the bin" in words.thing_steps(found(THIN))[0].head
    assert "may go on" in words.thing_steps(found())[0].head


def test_drying_is_by_the_hardest_of_what_may_be_in_it():
    rows = drying(("white_spot", "camallanus"), FACTS)
    assert [r.organism for r in rows] == ["camallanus", "ichthyophthirius"]
    assert found().closing.dry_d == 7
    hardest = max(r.dry_h[1] for r in drying(("mycobacteriosis", "capillaria", "camallanus"), FACTS))
    assert found(THIN).closing.dry_d == hardest / 24


def border(text="", *more):
    return Border(room=room_of(text, *more), facts=FACTS, now=NOW, made=lambda: "made")


@pytest.mark.parametrize(
    ("typed", "kind"),
    [({"stock": "cories", "goes": "sold"}, "held"), ({"stock": "shrimp", "goes": "given"}, "held"),
     ({"stock": "cories", "goes": "T2"}, "not-exposed"),
     ({"stock": "the timid two", "goes": "T2"}, "unknown-animal")],
)  # fmt: skip
def test_rule_26_who_is_held_goes_nowhere_it_could_reach(typed, kind):
    with pytest.raises(Refused) as no:
        leave(border(THIN), "t1", typed)
    assert [r.kind for r in no.value.reasons] == [kind]
    assert no.value.reasons[0].would_change


@pytest.mark.parametrize(
    ("text", "typed"),
    [(THIN, {"stock": "cories", "goes": "T3"}), (THIN + NET, {"stock": "cories", "goes": "T2"}),
     (THIN, {"stock": "cories", "goes": "ended", "number": "1"}), ("", {"stock": "cories", "goes": "sold"}),
     (THIN, {"stock": "the timid two", "goes": "T3"})],
)  # fmt: skip
def test_what_may_be_is_written_down(text, typed):
    entry = leave(border(text), "t1", typed).entry
    assert entry.act.stock.endswith(("cories", "the-timid-two"))


@pytest.mark.parametrize("typed", [{"stock": "cories"}, {"stock": "cories", "goes": "Z9"}, {"goes": "sold"}])
def test_nobody_or_nowhere_is_told(typed):
    with pytest.raises(BadInput):
        leave(border(), "t1", typed)


def test_the_record_is_closed_only_once_nobody_is_in_it():
    with pytest.raises(Refused) as no:
        close(border(), "t1", {})
    assert [r.kind for r in no.value.reasons] == ["still-lives"]
    entry = close(border(), "t3", {"note": "no room"}).entry
    assert (entry.tank, entry.why) == ("t3", "no room")
    assert "t3" not in entry.effect(room_of()).tanks


def test_what_never_happens_is_said_in_plain_words():
    told = " ".join(words.never(found(THIN)))
    for never in ("pond", "toilet", "topped up and sold", "clean or free of disease"):
        assert never in told
    assert "humane end" in words.END and "flushing" in words.END
