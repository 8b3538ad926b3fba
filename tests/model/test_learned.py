"""What looks teach: more spots never fewer parasites, none at all, looks that contradict, deaths."""

from datetime import UTC, datetime
from functools import cache
from itertools import pairwise
from types import SimpleNamespace

import msgspec
import numpy as np
import pytest

from tankward.model import bands
from tankward.model.counts import Deaths
from tankward.model.events import Stocked
from tankward.model.follow import herd_of
from tankward.model.forecast import forecast
from tankward.model.from_room import story
from tankward.model.learned import Guess, learned, lost_between, rows_at, sound, tempered
from tankward.model.organisms import fish_number, life_of
from tankward.model.outlook import narrowed
from tankward.model.simulate import minutes
from tankward.model.still_there import without_dead
from tankward.model.suspect import Suspect, seen_of
from tankward.room.text import room_of_text
from tests.model.tanks import FACTS
from tests.model.test_counts import count, seen

NOW = datetime(2026, 3, 7, 9, 20, tzinfo=UTC)
BACK = datetime(2026, 2, 28, 9, tzinfo=UTC)
TANK = """
1 March 2026 08:00  tank     Nursery  volume="54 L" temp=26C filter=sponge filter-age="12 weeks" light=8h
1 March 2026 08:05  stock    Nursery  kind=guppy number=20 length=2.5cm
"""
SPOT, FLUKE, ROD = "ichthyophthirius", "gyrodactylus", "columnaris"
SIGN = {SPOT: "white_spots", FLUKE: "flashing", ROD: "saddle_patch"}


def look(day, number, organism=SPOT, more=""):
    return f'{day} March 2026 20:00  look  Nursery  counts="{SIGN[organism]} {number}" {more}\n'


def looks(*numbers, organism=SPOT, days=(2, 4, 6)):
    return "".join(look(d, n, organism) for d, n in zip(days, numbers, strict=False))


@cache
def followed(organism, text="", days=2):
    found = forecast(
        room_of_text(TANK + text), "nursery", NOW, facts=FACTS, days=days, draws=128,
        suspects=(Suspect(organism=organism),),
    )  # fmt: skip
    return found, found.outlooks[0]


def now_on(organism, text="", days=2):
    """Low, likely and high of what is on or in one fish now."""
    found, o = followed(organism, text, days)
    line = next(s for s in o.series if s.where in ("on fish", "in fish"))
    row = int(np.searchsorted(found.times_h, found.now_h + 1e-9))
    return line.low[row], line.value[row], line.high[row]


@pytest.mark.parametrize("organism", [FLUKE, ROD])
def test_more_that_show_it_never_means_fewer_on_them(organism):
    found = [now_on(organism, look(6, n, organism)) for n in (0, 2, 6, 12, 20)]
    for end in range(3):
        values = [f[end] for f in found]
        assert all(a <= b * 1.001 for a, b in pairwise(values)), values
    assert found[0][1] < found[-1][1] / 3


def test_a_later_count_lifts_it_too():
    few, many = (now_on(FLUKE, looks(4, 4, n, organism=FLUKE))[1] for n in (2, 16))
    assert few < many


def test_without_a_look_nothing_is_learned():
    found, o = followed(FLUKE)
    assert o.taught is None
    assert not o.counted
    assert o.weights == pytest.approx(found.weights[: o.weights.size] / found.weights[: o.weights.size].sum())
    assert o.since_h == pytest.approx(found.now_h)


def test_looks_that_find_none_make_it_less_and_likelier_gone():
    _, none = followed(ROD, looks(0, 0, 0, organism=ROD))
    _, some = followed(ROD, looks(3, 3, 3, organism=ROD))
    assert now_on(ROD, looks(0, 0, 0, organism=ROD))[1] < now_on(ROD, looks(3, 3, 3, organism=ROD))[1]
    assert none.chances[-1].value > some.chances[-1].value
    assert none.counted


def test_a_sign_looked_for_in_vain_counts_as_none():
    told = seen_of(
        room_of_text(TANK + "6 March 2026 20:00  look  Nursery  not-seen=white_spots\n"),
        "nursery", Suspect(organism=SPOT), NOW, BACK, FACTS,
    )  # fmt: skip
    assert [(t.low, t.high, t.of, t.counted) for t in told.told] == [(0, 0, 20, False)]
    assert not told.counted


def test_it_is_followed_from_the_first_look_that_saw_it():
    found, o = followed(FLUKE, looks(0, 3, 5, organism=FLUKE))
    assert o.since_h == pytest.approx(
        (datetime(2026, 3, 4, 20, tzinfo=UTC) - found.start).total_seconds() / 3600
    )
    assert len([e for e in o.taught.explained if not isinstance(e.told, Deaths)]) == 2


def test_the_order_of_the_counts_tells_how_it_grows():
    _, up = followed(ROD, looks(1, 4, 9, organism=ROD))
    _, down = followed(ROD, looks(9, 4, 1, organism=ROD))
    assert up.taught.growth.value > up.taught.growth_before.value
    assert down.taught.growth.value < down.taught.growth_before.value
    assert up.taught.slower < 0.2 < 0.6 < down.taught.slower


def test_looks_that_contradict_are_a_finding_and_count_for_less():
    _, o = followed(SPOT, looks(18, 1, 20))
    assert not o.taught.fits
    assert {e.off for e in o.taught.explained} & {"more", "fewer"}
    assert o.taught.effective_draws > 14
    low, likely, high = now_on(SPOT, looks(18, 1, 20))
    assert 0 <= low <= likely <= high < 1e5


def test_counts_that_agree_fit():
    _, o = followed(FLUKE, looks(5, 6, 6, organism=FLUKE))
    assert o.taught.fits
    assert o.taught.power == 1.0
    assert o.taught.effective_draws > 30


def test_many_deaths_speak_of_many_but_weakly():
    dead = "5 March 2026 08:00  death  Nursery  stock=nursery-guppy number=6\n"
    plain, died = looks(4, organism=ROD), looks(4, organism=ROD) + dead
    (quiet,), (loud,) = ([f[1]] for f in (now_on(ROD, plain), now_on(ROD, died)))
    assert quiet < loud < 6 * quiet


def test_the_fish_that_died_were_there_to_be_looked_at():
    dead = "5 March 2026 08:00  death  Nursery  stock=nursery-guppy number=6\n"
    told = seen_of(
        room_of_text(TANK + looks(4, 4, 4) + dead), "nursery", Suspect(organism=SPOT), NOW, BACK, FACTS
    )
    assert [t.of for t in told.told] == [20, 20, 14]
    assert told.deaths.number == 6


def test_more_than_there_are_is_all_of_them():
    told = seen_of(room_of_text(TANK + looks(30)), "nursery", Suspect(organism=SPOT), NOW, BACK, FACTS)
    assert [(t.low, t.of) for t in told.told] == [(30, 30)]


def test_no_fish_to_look_at_tells_nothing():
    empty = TANK.replace("number=20", "number=0")
    told = seen_of(room_of_text(empty + looks(0)), "nursery", Suspect(organism=SPOT), NOW, BACK, FACTS)
    assert told.told == ()


def test_where_a_draw_begins_its_weight_takes_back():
    """Weighed by one over the density, the beginnings have the distribution that the facts give."""
    life, eyes = seen(SPOT, draws=128)
    record = narrowed(followed(SPOT)[0].record, life.draws)
    room = seen_of(room_of_text(TANK + looks(6)), "nursery", Suspect(organism=SPOT), NOW, BACK, FACTS)
    guess = Guess(life, eyes, record, room, 0)
    start, density, _ = guess.starts([(count(6), np.ones(life.draws))])
    usual = guess.usual.draw((np.arange(999) + 0.5) / 999, 0.0, 1.0)
    assert bands.centiles(np.log(start), 1 / density, (0.25, 0.5, 0.75)) == pytest.approx(
        np.quantile(np.log(usual), (0.25, 0.5, 0.75)), abs=0.3
    )
    assert density.max() / density.min() > 1.5


def test_tempering_leaves_enough_and_touches_nothing_that_is_enough():
    plain, none = np.full(128, 1 / 128), np.zeros(128)
    even, steep = np.linspace(-1.0, 0.0, 128), np.linspace(-500.0, 0.0, 128)
    power, heavy = tempered(plain, even, even)
    assert power == 1.0
    assert heavy == pytest.approx(plain * np.exp(even))
    power, heavy = tempered(plain, steep, steep)
    assert 0.0 < power < 1.0
    assert bands.effective(heavy) == pytest.approx(16.0, abs=0.1)
    power, heavy = tempered(plain, steep, none)
    assert power == 0.0
    assert bands.effective(heavy) == pytest.approx(16.0, abs=0.1)


def test_parasites_counted_on_fish_tell_how_many_there_are():
    """40 spots on 4 fish: ten seen on each, of which a keeper sees 0.2 to 0.6 of what is there."""
    few, many = (look(6, 1).replace('counts="white_spots 1"', f'parasites="white_spots {n}" looked-at=4')
                 for n in (2, 40))  # fmt: skip
    assert now_on(SPOT, few)[1] < now_on(SPOT, many)[1] / 3
    (told,) = seen_of(room_of_text(TANK + many), "nursery", Suspect(organism=SPOT), NOW, BACK, FACTS).told
    assert (told.number, told.of, told.counted) == (40, 4, True)
    _, o = followed(SPOT, many)
    assert o.looks[0].low < 10 / 0.4 < o.looks[0].high


def test_what_nobody_sees_by_eye_is_not_counted_on_a_fish():
    text = look(6, 1).replace('counts="white_spots 1"', 'parasites="visible_parasite 9" looked-at=3')
    told = {o: seen_of(room_of_text(TANK + text), "nursery", Suspect(organism=o), NOW, BACK, FACTS).told
            for o in ("argulus", "ichthyobodo")}  # fmt: skip
    assert len(told["argulus"]) == 1
    assert told["ichthyobodo"] == ()


def test_fish_entered_as_dead_are_not_taken_twice():
    """Until now as many are there as the organism leaves; from now on no more than the logbook says."""
    text = (
        TANK + looks(4, organism=ROD) + "5 March 2026 08:00  death  Nursery  stock=nursery-guppy number=6\n"
    )
    room = room_of_text(text)
    record = followed(ROD)[0].record
    told = story(room, "nursery", record.start, NOW, FACTS, ())
    seen_ = seen_of(room, "nursery", Suspect(organism=ROD), NOW, BACK, FACTS)
    life = life_of(FACTS, ROD, herd_of(told, FACTS, 128), 128)
    lesson = learned(life, told, record, np.full(128, 1 / 128), seen_, NOW, FACTS)
    here = minutes(NOW, told.start)
    before, after = (fish_number(life, rows_at(lesson.found, m)) for m in (here - 720, here))
    assert after.max() <= 14.0 + 1e-9
    assert np.median(before) > 15.0
    gone = before < 13.5
    assert gone.any()
    assert (after[gone] > 0.5 * before[gone]).all()  # those that the organism took, once
    lost, _ = lost_between(lesson.found, lesson.found.course.begin, here - 720)
    assert (lost >= 0).all()


def test_whoever_leaves_alive_leaves_all_the_same():
    events = ((BACK, Stocked(share=0.5)), (NOW, Stocked(share=0.25)), (NOW, Stocked(share=0.125)))
    told = story(room_of_text(TANK), "nursery", BACK, NOW, FACTS, ())
    lived = without_dead(msgspec.structs.replace(told, events=events), {BACK})
    assert lived.left == 0.5
    assert [e.share for _, e in lived.told.events] == [1.0, 0.5, 0.25]
    assert without_dead(told, ()).told is told


def test_a_draw_whose_steps_ran_away_weighs_nothing():
    rows = np.ones((4, 3, 5))
    rows[2, 1, 1], rows[3, 0, 2], rows[1, 2, 4] = np.nan, -1e9, np.inf
    found = SimpleNamespace(passed=SimpleNamespace(rows=rows))
    assert sound(found).tolist() == [True, False, False, True, False]
