"""What readings during an earlier course taught of a tank: kept by replay, about its own numbers alone."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from tankward.knowledge.loader import load
from tankward.model import earlier as module
from tankward.model.draws import COUNTS, columns, renamed, shuffled, uniform
from tankward.model.earlier import KEEPS, earlier, expected, stretches
from tankward.model.forecast import forecast
from tankward.model.from_room import story
from tankward.model.prospect import prospect
from tankward.model.watched import watched
from tankward.quantities.parse import Estimate
from tankward.room.acts import Dose
from tankward.room.entries.acts import CourseBegun, Done, Step
from tankward.room.entries.ends import CourseClosed
from tankward.room.replay import replay
from tests.helpers.rooms import entries_from

FACTS = load()
START = datetime(2026, 3, 1, 18, tzinfo=UTC)
TANK = """
1 Feb 2026 08:00  tank  T8  volume="54 L" temp=25C filter=sponge filter-age="400 d"
1 Feb 2026 08:01  stock T8  kind=guppy number=20 length=3.5cm
"""
MONTH = 38.0  # days after the start of the course


def day(days):
    return START + timedelta(days=days)


def read(what, days=(1, 2, 3, 5, 6)):
    """The same reading on some evenings of the course."""
    return "".join(f"{day(d):%-d %b %Y} 20:00  reading T8  {what}\n" for d in days)


WEAK = read('ammonia="1 mg/L as N" nitrite="0.5 mg/L as N"')


def course(substance, mg, start=0.0, name="course1"):
    given = Dose(actives={substance: mg})
    steps = tuple(Step(id=f"{name}-{n}", at=day(start + 2 * n), act=given) for n in range(3))
    begun = CourseBegun(
        id=name, at=day(start), tank="t8", name=f"{substance} in the tank", substance=substance, steps=steps
    )
    ticks = [Done(id=f"tick-{s.id}", at=s.at, tank="t8", act=s.act, step=s.id) for s in steps]
    return [begun, *ticks]


def room(text="", *more, substance="praziquantel", mg=108.0, tank=TANK, ends=8.0):
    end = CourseClosed(id="end", at=day(ends), tank="t8", course="course1", outcome="cleared")
    return replay([*entries_from(tank + text), *course(substance, mg), end, *more])


def own(found, what, about=""):
    return next(n for n in found.own if (n.what, n.about) == (what, about))


def asked(told, days=MONTH, **more):
    return forecast(told, "t8", day(days), facts=FACTS, **more)


def test_a_weak_filter_that_was_read_in_a_course_is_a_weaker_one_a_month_later():
    never, weak = own(asked(room()), "filter"), own(asked(room(WEAK)), "filter")
    assert weak.at_first == never.at_first == never.after
    assert weak.after.value < 0.75 * never.after.value
    peaks = [asked(r).peak("ammonia_n") for r in (room(), room(WEAK))]
    assert peaks[1].value > 1.5 * peaks[0].value


def test_clean_readings_in_a_course_make_nitrite_less_likely_later():
    clean = read('ammonia="0 mg/L as N" nitrite="0 mg/L as N"')
    high = [asked(r).chance("nitrite_n", above=0.5) for r in (room(), room(clean))]
    assert high[1] < 0.8 * high[0]


def test_without_readings_nothing_changes_byte_for_byte(monkeypatch):
    found = asked(room())
    monkeypatch.setattr("tankward.model.forecast.earlier", lambda *_: None)
    plain = asked(room())
    assert found.series == plain.series and found.own == plain.own
    assert found.weights.tobytes() == plain.weights.tobytes()
    assert found.cautions == plain.cautions


def test_readings_outside_of_any_course_are_left_to_their_own_week():
    text = TANK + WEAK
    before = replay(entries_from(text))
    assert stretches(before, "t8", day(MONTH)) == ()
    assert earlier(before, story(before, "t8", day(MONTH - 7), day(MONTH), FACTS, ()), FACTS) is None


def test_it_is_told_that_earlier_readings_count():
    kinds = {c.kind for c in asked(room(WEAK)).cautions}
    assert "earlier-readings" in kinds
    assert "earlier-readings" not in {c.kind for c in asked(room()).cautions}


def test_a_drug_that_went_fast_is_taken_to_go_fast_the_next_time():
    """Copper, read once and gone, and read and still there: only copper has learned of it."""
    fast, slow = (
        room(read('copper="0.2 mg/L"', (0.2,)) + read(f'copper="{last} mg/L"', (1.5, 3.5, 5.5, 6.5)),
             *course("copper", 30.0, MONTH - 3, "again"), substance="copper", mg=30.0)
        for last in (0, 0.4)
    )  # fmt: skip
    quick, long = (own(asked(r), "half_life", "copper") for r in (fast, slow))
    assert quick.at_first == long.at_first
    assert quick.after.value < 0.8 * long.after.value


def test_what_was_learned_of_one_drug_is_not_told_of_another():
    """In both runs the first drug that comes in has the same columns: those of copper must not be taken."""
    other = course("metronidazole", 200.0, MONTH - 3, "again")
    taught = room(read('copper="0 mg/L"', (1.5, 3.5, 5.5, 6.5)), *other, substance="copper", mg=30.0)
    plain = room("", *other, substance="copper", mg=30.0)
    with_it, without = (own(asked(r), "half_life", "metronidazole").after for r in (taught, plain))
    assert with_it.value == pytest.approx(without.value, rel=0.1)
    assert stretches(taught, "t8", day(MONTH - 7))


def copper_read(last):
    return read('copper="0.2 mg/L"', (0.2,)) + read(f'copper="{last} mg/L"', (1.5, 3.5, 5.5, 6.5))


def ahead(told, days, mg=30.0):
    """The copper of a course four days on, and the filter's ammonia: as a forecast and as a plan judges."""
    now = day(days)
    acts = [(now + timedelta(hours=2), Dose(actives={"copper": mg}))]
    made = forecast(told, "t8", now, facts=FACTS, planned=acts, draws=COUNTS[-1], days=5.0)
    plan = prospect(told, "t8", now, FACTS, days=6.0, draws=COUNTS[-1])
    end = now + timedelta(days=5)
    on = plan.onward.run(plan.planned(acts), end=plan.minute(end))
    water = watched(plan.water, on, FACTS, plan.onward.kept, met=True).water
    at = int(np.argmin(abs(np.array(water.minutes) - plan.here - 96 * 60)))
    seen = plan.judged(acts, [end])
    return (
        (made.at("copper", 96.0), made.peak("ammonia_n")),
        (plan.band(water.levels["copper"][at]), plan.band(seen.peaks["ammonia_n"])),
    )


@pytest.mark.parametrize("days", [MONTH, 100.0])  # the copper still in it, or long gone
@pytest.mark.parametrize("last", [0, 0.4])
def test_a_plan_judges_by_what_was_taught_as_a_forecast_does(last, days):
    """The drug's half-life and the filter's strength: what was read then moves both to the same numbers."""
    weak = read('ammonia="1 mg/L as N"')
    forecasts, plans = ahead(room(copper_read(last) + weak, substance="copper", mg=30.0), days)
    for one, other in zip(forecasts, plans, strict=True):
        assert [other.low, other.value, other.high] == pytest.approx([one.low, one.value, one.high], rel=0.02)
    untaught = ahead(room("", substance="copper", mg=30.0), days)[1]
    assert (plans[0].value > 1.2 * untaught[0].value) is (last > 0)
    assert plans[1].value > 1.1 * untaught[1].value


def test_a_plan_makes_room_for_what_was_taught_and_moves_nothing_else():
    told = room(copper_read(0.4), substance="copper", mg=30.0)
    asked = story(told, "t8", day(93.0), day(100.0), FACTS, ())
    assert "copper" not in asked.setup.levels
    assert expected(told, asked, FACTS).setup.levels == {**asked.setup.levels, "copper": Estimate.exact(0.0)}
    never = room("", substance="copper", mg=30.0)
    assert expected(never, asked, FACTS) is asked
    other = room(
        copper_read(0.4), *course("metronidazole", 200.0, 97.0, "again"), substance="copper", mg=30.0
    )
    given = story(other, "t8", day(93.0), day(100.0), FACTS, ())
    assert expected(other, given, FACTS) is given


def test_it_fades_with_its_age():
    near, far = (own(asked(room(WEAK), days), "filter") for days in (20.0, 200.0))
    assert near.after.value < far.after.value < near.at_first.value


def test_another_filter_is_another_tank():
    anew = f'{day(20):%-d %b %Y} 08:00  tank T8  volume="54 L" temp=25C filter=canister filter-age="0 d"\n'
    assert stretches(room(WEAK + anew), "t8", day(MONTH)) == ()
    warmer = f'{day(20):%-d %b %Y} 08:00  tank T8  volume="54 L" temp=26C filter=sponge filter-age="400 d"\n'
    assert len(stretches(room(WEAK + warmer), "t8", day(MONTH))) == 1


def test_enough_draws_are_left_whatever_was_taught():
    told = room(WEAK)
    now = story(told, "t8", day(MONTH - 7), day(MONTH), FACTS, ())
    for draws in (64, 256):
        log = earlier(told, now, FACTS)(draws)
        weights = np.exp(log) / np.exp(log).sum()
        assert 1.0 / (weights**2).sum() >= KEEPS * draws * 0.999


def test_what_is_read_now_comes_on_top():
    """The tank as it is read this week outweighs what it was."""
    fine = f'{day(MONTH - 2):%-d %b %Y} 20:00  reading T8  ammonia="0 mg/L as N" nitrite="0 mg/L as N"\n'
    before, after = (asked(r).peak("ammonia_n").value for r in (room(WEAK), room(WEAK + fine)))
    assert after < before


def test_it_is_run_once_for_one_logbook(monkeypatch):
    calls = []
    real = module.simulate

    def counted(*given, **more):
        calls.append(1)
        return real(*given, **more)

    monkeypatch.setattr(module, "simulate", counted)
    module._taught.cache_clear()
    told = room(WEAK)
    first, second = asked(told), asked(told)
    assert len(calls) == 1
    assert first.series == second.series
    asked(room())
    assert len(calls) == 1  # nothing to learn, nothing run


def test_the_readings_of_a_course_that_still_runs_count_once_they_are_a_week_old():
    runs = replay(
        [*entries_from(TANK + read('ammonia="1 mg/L as N"', (1, 2))), *course("praziquantel", 108.0)]
    )
    assert stretches(runs, "t8", day(3)) and stretches(runs, "t8", day(3))[0].end < day(3)
    found = own(asked(runs, 12.0), "filter")
    assert found.after.value < found.at_first.value


def test_another_order_goes_with_no_column_and_stays_within_its_draws():
    order = shuffled()
    assert sorted(order) == list(range(COUNTS[-1]))
    for draws in COUNTS:
        assert set(order[:draws]) == set(range(draws))
    plain = uniform("filter_start", 1024)
    with renamed({"temp_c": ("temp_c", True), "substance_1_dark": ("substance_2_dark", False)}):
        apart, other = uniform("temp_c", 1024), uniform("substance_1_dark", 1024)
        assert np.array_equal(uniform("filter_start", 1024), plain)
    assert np.array_equal(np.sort(apart), np.sort(uniform("temp_c", 1024)))
    assert abs(np.corrcoef(apart, uniform("temp_c", 1024))[0, 1]) < 0.1
    assert np.array_equal(other, uniform("substance_2_dark", 1024))
    assert set(module.OF_THEN) | set(module.OF_ITS_AGE) <= set(columns())
