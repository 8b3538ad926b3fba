"""Courses of a room told as a keeper would tell it: stories 3, 5 and 9, chances of harm. Invented."""

from datetime import UTC, datetime, timedelta

import msgspec
import pytest

from tankward.quantities.faults import BadInput, Refused
from tankward.room.acts import Apart, Dose, LookAgain
from tankward.room.entries.acts import CourseBegun, Step
from tankward.treat.course.acts import planned_acts, tub_acts
from tankward.treat.course.chances import counted, course_chances, refused_from
from tankward.treat.course.make import make_course
from tankward.treat.course.request import request_from_room, still_in
from tankward.treat.remedies.options import options
from tests.helpers.rooms import room_from
from tests.treat.tanks import FACTS

approx = pytest.approx
NOW = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)

T7 = """
1 May 2026 08:00  tank   T7  length=50cm width=30cm fill=26cm substrate=3cm grain=sand filter=sponge
    filter-age="300 days" temp=25C tap=chloramine
1 May 2026 08:01  stock  T7  kind=neon_rainbow number=11 length=4cm
1 May 2026 08:02  stock  T7  kind=amano_shrimp number=8
1 May 2026 08:03  stock  T7  kind=nerite number=4
1 May 2026 08:04  supply "two-part sachet"  unit=sachet metronidazole="200 mg" praziquantel="90 mg" per=40L
    repeat-after="48 h" change-before=50% held-lawfully=yes
1 May 2026 08:05  kit    scale=0.1g syringes="1/5/20 mL" region=UK
14 May 2026 17:00 reading T7  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.5 temp=25C oxygen="7.5 mg/L"
"""

T8 = """
1 May 2026 08:00  tank   T8  length=40cm width=25cm fill=22cm filter=sponge filter-age="300 days" temp=24C
1 May 2026 08:01  stock  T8  kind=pearl_danio_celestial number=18 length=2cm
14 May 2026 17:00 reading T8  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.2 temp=24C oxygen="7.5 mg/L"
"""


def request(log, tank, *causes, now=NOW):
    return request_from_room(room_from(log), tank, FACTS, now, causes=causes, not_there=("fry", "egg"))


def course(log, tank, substance, route="water_long", causes=(), **more):
    return make_course(request(log, tank, *causes), substance, route, facts=FACTS, start=NOW, now=NOW, **more)


def sachet_course():
    return course(T7, "t7", "metronidazole_praziquantel", causes=("hexamita",))


def test_a_tank_that_is_not_there_is_refused_by_name():
    with pytest.raises(BadInput, match="no tank of this room"):
        request(T7, "t9")


def test_story_3_the_real_water_is_dosed_and_not_the_box():
    """50 x 30 x 26 cm are 39 L; 3 cm of sand, 4.5 L, are 60 % grains: 36.3 L."""
    found = request(T7, "t7").volume_l
    assert found.value == approx(39.0 - 0.6 * 4.5)
    assert found.low < found.value < found.high < 39.0


def test_story_3_the_sachet_goes_into_400_ml_and_by_measure():
    """Both parts must work: 5 mg/L from 200 mg in 36.3 L is 0.91 of a sachet, 363 of 400 mL."""
    first = sachet_course().doses[0]
    assert first.units == approx(5.0 * 36.3 / 200, rel=0.03)
    batch = first.measured.batch
    assert (batch.take, batch.take_unit, batch.into_ml) == (1.0, "sachet", 400.0)
    assert batch.portion_ml == approx(363.0, rel=0.03)


def test_story_3_shrimp_and_snails_are_judged_one_by_one():
    names = {(v.limit.who, v.limit.part) for v in sachet_course().bears}
    for who in ("amano shrimp", "nerite"):
        assert {(who, "metronidazole"), (who, "praziquantel")} <= {(w.lower(), p) for w, p in names}


def test_story_3_the_label_is_not_the_only_truth():
    judged = sachet_course().judged
    assert judged.by_label == approx(request(T7, "t7").volume_l.value / 40.0)
    assert {p.substance for p in judged.parts} == {"metronidazole", "praziquantel"}


def test_story_5_after_the_change_two_numbers_side_by_side():
    found = sachet_course()
    back = found.put_back[0]
    assert back.changed == 0.5
    full = found.doses[0].units
    for part in back.parts:
        assert part.units_lasting == approx(full / 2)
        assert part.units_gone == approx(full)
        assert part.units_lasting <= part.units_likely <= part.units_gone


def test_story_5_a_whole_fresh_dose_is_never_put_back_unseen():
    found = sachet_course()
    for dose in found.doses[1:]:
        assert dose.kind == "put-back"
        assert set(dose.peaks) == {"metronidazole", "praziquantel"}


def test_story_9_white_grains_on_a_danio():
    """No reading of hardness: copper is closed; the tank without fish is open and needs no medicine."""
    asked = request(T8, "t8", "white_spot")
    found = options(
        ["white_spot"],
        asked.stock,
        FACTS,
        volume_l=asked.volume_l,
        water=asked.water,
        not_there=("fry", "egg"),
    )
    assert found.open[0].id == "fish_out"
    copper = next(r for r in found.ruled_out if r.id == "copper/alk")
    assert "read the KH" in copper.would_change


def test_what_was_dosed_before_is_still_in_the_water():
    """108 mg of levamisole yesterday in 22 L: some of it is left, and praziquantel waits."""
    log = T8 + "13 May 2026 18:00 dose T8 levamisole=44mg\n"
    left = still_in(room_from(log), "t8", FACTS, NOW)
    assert 0.5 < left["levamisole"] <= 2.0
    with pytest.raises(Refused) as stopped:
        course(log, "t8", "praziquantel", causes=("gill_flukes",), regimen_id="fluke_2x")
    assert "meets-separate" in {r.kind for r in stopped.value.reasons}


def test_a_level_refused_for_what_is_still_in_says_so():
    """44 mg in 21 L two hours ago are about 2 mg/L: with another 2 mg/L that is more than anybody tested."""
    log = T8 + "14 May 2026 16:00 dose T8 praziquantel=44mg\n"
    with pytest.raises(Refused) as stopped:
        course(log, "t8", "praziquantel", causes=("gill_flukes",), regimen_id="fluke_2x")
    kinds = [r.kind for r in stopped.value.reasons]
    assert kinds[0] in ("beyond-time-tested", "no-regimen")
    rest = next(r for r in stopped.value.reasons if r.kind == "still-in")
    assert "of praziquantel is still in the water" in rest.because
    assert course(T8, "t8", "praziquantel", causes=("gill_flukes",), regimen_id="fluke_2x").doses


def test_a_dose_of_a_month_ago_is_forgotten():
    log = T8 + "13 April 2026 18:00 dose T8 levamisole=44mg\n"
    assert still_in(room_from(log), "t8", FACTS, NOW) == {}


def test_a_jar_trial_narrows_what_nobody_had_measured():
    log = T7 + '12 May 2026 18:00 jar_trial T7 praziquantel="2 mg/L" hours=24h died="amano_shrimp 3"\n'
    with pytest.raises(Refused) as stopped:
        course(log, "t7", "praziquantel", causes=("gill_flukes",), regimen_id="fluke_2x")
    assert any("amano" in who.lower() for r in stopped.value.reasons for who in r.who)


def test_courses_begun_count_as_rounds_given():
    room = room_from(T8)
    begun = [
        CourseBegun(
            id=f"c{n}", at=NOW - timedelta(days=d), tank="t8", name="flukes", substance="praziquantel"
        )
        for n, d in enumerate((20, 80, 300))
    ]
    room = msgspec.structs.replace(room, log=(*room.log, *begun))
    found = request_from_room(room, "t8", FACTS, NOW, causes=("gill_flukes",))
    assert [b.substance for b in found.before] == ["praziquantel", "praziquantel"]


def test_a_look_says_what_was_seen_until_a_later_look_does_not_find_it():
    log = T8 + "10 May 2026 18:00 look T8 seen=white_spots\n"
    log += "13 May 2026 18:00 look T8 seen=ulcer not-seen=white_spots\n"
    assert request(log, "t8").seen == ("ulcer",)


def test_planned_acts_are_what_the_water_sees():
    found = course(T8, "t8", "praziquantel", causes=("gill_flukes",), regimen_id="fluke_2x")
    acts = planned_acts(found)
    assert acts
    assert not [a for _, a in acts if isinstance(a, LookAgain)]
    assert [at for at, _ in acts] == sorted(at for at, _ in acts)
    tub = course(T8, "t8", "sodium_chloride", causes=("white_spot",), regimen_id="ich", place="tub")
    assert {type(a) for _, a in planned_acts(tub)} == {Apart}  # of the tank's water they only leave it
    assert any(isinstance(a, Dose) for _, a in tub_acts(tub))


def test_the_steps_can_be_written_into_the_logbook():
    found = course(T8, "t8", "praziquantel", causes=("gill_flukes",), regimen_id="fluke_2x")
    steps = tuple(Step(id=s.id, at=s.at, act=s.act) for s in found.steps)
    assert msgspec.json.decode(msgspec.json.encode(steps), type=tuple[Step, ...]) == steps


def test_a_course_goes_to_json_whole():
    for found in (sachet_course(), course(T7, "t7", "praziquantel", "feed", causes=("tapeworms",))):
        there = msgspec.json.decode(msgspec.json.encode(found))
        assert len(there["steps"]) == len(found.steps)
        assert there["steps"][-1]["why"]["kind"]


def test_every_number_of_a_step_has_its_working_or_source():
    for step in sachet_course().steps:
        assert step.amount is None or step.amount.how
        for value in (*step.how.values.values(), *step.why.values.values()):
            assert isinstance(value, str) or value.status


def test_without_a_germ_behind_it_the_chance_to_clear_is_withheld():
    room = room_from(T8)
    flukes = course(T8, "t8", "praziquantel", causes=("gill_flukes",), regimen_id="fluke_2x")
    found = msgspec.structs.replace(flukes, causes=("injury",))
    assert course_chances(found, room, "t8", NOW, FACTS, draws=64).withheld == ("clear",)


def test_the_course_says_how_likely_its_germ_is_gone_at_the_end():
    """Flukes that lay eggs: a substance that kills them makes it likelier; eggs keep it from being sure."""
    room = room_from(T8)
    found = course(T8, "t8", "praziquantel", causes=("gill_flukes",), regimen_id="fluke_2x")
    gone = course_chances(found, room, "t8", NOW, FACTS, draws=64).cleared[0]
    assert gone.acts == ("praziquantel",)
    assert gone.holds == "cautious-bound"
    assert 0.0 <= gone.chances[-1].low <= gone.chances[-1].value <= gone.chances[-1].high < 0.9


def test_chances_of_harm_and_what_is_withheld():
    room = room_from(T8)
    found = course(T8, "t8", "praziquantel", causes=("gill_flukes",), regimen_id="fluke_2x")
    chances = course_chances(found, room, "t8", NOW, FACTS, draws=64)
    assert chances.withheld == ()
    assert [o.organism for o in chances.cleared] == ["dactylogyridae"]
    whats = {row.what for row in chances.rows}
    assert {"over-limit", "nh3", "nitrite", "oxygen"} <= whats
    for row in chances.rows:
        assert 0.0 <= row.low <= row.value <= row.high <= 1.0
        assert row.low < row.high
    danio = next(r for r in chances.rows if r.what == "over-limit")
    assert danio.line == refused_from(next(x for x in found.limits if x.who in danio.who))


def test_a_share_counted_on_few_draws_is_wide():
    """Wilson at 90 %: none of 100 gives up to 2.6 %; half of 100 gives 42 to 58 %."""
    assert counted(0.0, 100) == (approx(0.0), approx(0.0263, abs=0.0002))
    low, high = counted(0.5, 100)
    assert (low, high) == (approx(0.419, abs=0.001), approx(0.581, abs=0.001))
