"""Is it helping, by the life of the organism: what falls, what rises, what may not be said yet."""

from datetime import timedelta

import numpy as np
import pytest

from tankward.judge.expected import between
from tankward.judge.helping import helped, right_of
from tankward.quantities.faults import BadInput
from tankward.room.acts import Apart, Heat
from tankward.room.entries.acts import Step

from .treated import (
    BEGUN,
    FACTS,
    FEWER,
    MORE,
    ROOM,
    STEPS,
    after,
    course,
    helped_on,
    progress_on,
    question,
    room_of,
)


@pytest.fixture(scope="module")
def fewer():
    return helped_on(11, FEWER)


@pytest.fixture(scope="module")
def more():
    return helped_on(11, MORE)


@pytest.fixture(scope="module")
def early():
    return helped_on(1)


def test_what_falls_speaks_for_it_and_what_rises_against_it(fewer, more, early):
    assert fewer.chances.helping > 0.7 > early.chances.helping > 0.2 > more.chances.helping
    assert more.chances.other > early.chances.other
    for one in (fewer, more, early):
        assert sum(one.chances.each) == pytest.approx(1.0)


def test_expected_is_fewer_where_it_helps_and_rests_on_looks_before_it_alone(fewer, more):
    for one in (fewer, more):
        e = one.expected
        assert e.if_helping.high < e.if_too_little.high
        assert e.if_helping.low <= e.if_too_little.low
        assert (e.of, e.sign, e.single) == (20, "flashing", False)
    assert fewer.expected.seen == (0, 0)
    assert more.expected.seen == (17, 17)
    assert fewer.expected.if_helping.high <= 14  # it does not follow what was seen
    assert more.expected.if_helping.high <= 14


def test_the_bands_are_one_until_it_begins_and_part_after_it(early):
    before = [d for d in early.days if d.at < BEGUN]
    after_ = [d for d in early.days if d.at > after(3)]
    assert before
    assert after_
    for d in before:
        assert d.if_helping == pytest.approx(d.if_too_little, abs=1.2)  # other draws, the same tank
    for d in after_:
        assert d.if_helping[2] < d.if_too_little[2] - 2.0


def test_nothing_is_said_before_what_sits_on_the_fish_has_had_its_time(early):
    assert timedelta(days=2) < early.earliest - BEGUN <= timedelta(days=7)
    assert early.telling.first >= early.earliest
    assert early.telling.on >= early.telling.first
    assert min(early.telling.if_helping, early.telling.if_not) >= 0.75
    found = progress_on(2, "3 May 2026 18:00 look T7 not-seen=flashing looked-at=20\n")
    assert (found.verdict, found.why) == ("too-early", "before-the-day")


def test_the_day_stands_in_the_progress(early):
    found = progress_on(1)
    assert (found.verdict, found.why, found.by_life) == ("too-early", "before-the-day", True)
    assert found.decidable_on == early.telling.on


def test_rising_counts_are_not_helping(more):
    found = progress_on(11, MORE)
    assert found.verdict == "not-helping"
    assert found.why in ("other-cause", "too-little")
    assert found.decidable_on == more.counted_at
    assert found.worse


def test_each_look_without_it_makes_it_surer_that_it_helps(early, fewer):
    week = helped_on(8, "\n".join(FEWER.splitlines()[:-1]) + "\n")
    later = helped_on(15, FEWER + "14 May 2026 18:00 look T7 not-seen=flashing looked-at=20\n")
    chances = [one.chances.helping for one in (early, week, fewer, later)]
    assert chances == sorted(chances)
    found = progress_on(11, FEWER)
    assert (found.verdict, found.why) == ("helping", "likely")
    assert found.decidable_on == fewer.counted_at


def test_helping_is_never_said_while_more_die_than_before():
    dying = "11 May 2026 18:00 death T7 stock=t7-fish number=3 taken-out=yes\n"
    found = progress_on(11, FEWER + dying)
    assert found.verdict == "too-early"
    assert found.why in ("likely-but-deaths", "within-chance")
    assert found.dead_late == 3
    assert found.worse


def test_a_scrape_under_the_lens_counts_too():
    """Many flukes in a field before it and none since say more than the fish that rub themselves alone."""
    view = next(v.id for v in FACTS.hygiene.view if v.cause == "skin_flukes")
    before = ROOM + f'30 Apr 2026 18:00 look T7 in-field="{view} 12" sample=skin\n'
    told = '7 May 2026 18:00 look T7 seen=flashing counts="flashing 6" looked-at=20\n'
    plain = helped_on(8, told, before=before)
    scraped = helped_on(
        8, told + f'7 May 2026 18:10 look T7 in-field="{view} 0" sample=skin\n', before=before
    )
    crowded = helped_on(
        8, told + f'7 May 2026 18:10 look T7 in-field="{view} 40" sample=skin\n', before=before
    )
    assert scraped.chances.helping > plain.chances.helping + 0.05
    assert crowded.chances.helping < plain.chances.helping - 0.05


def test_where_nothing_is_known_only_heads_are_compared():
    assert helped_on(8, cause="") is None
    assert helped_on(8, cause="constipation") is None  # no organism
    assert helped_on(8, substance="garlic", steps=()) is None  # nothing of it reaches them in the water
    tub = (*STEPS, Step(id="tub", at=BEGUN, act=Apart(stock="t7-fish")))
    assert helped_on(8, steps=tub) is None
    assert progress_on(8, FEWER, cause="").by_life is False


def test_without_litres_it_is_told():
    bare = ROOM.replace('volume="54 L" ', "")
    with pytest.raises(BadInput, match="volume"):
        helped(question(room_of("", 8, before=bare), 8))


def test_warmth_is_held_against_the_tank_as_it_was():
    """Without a medicine the second way is the tank without what is done."""
    spots = ROOM.replace("flashing", "white_spots")
    warm = (
        Step(id="up", at=BEGUN, act=Heat(temp_c=31.0)),
        Step(id="down", at=after(10), act=Heat(temp_c=25.0)),
    )
    found = helped_on(1, before=spots, cause="white_spot", substance="", route="heat", steps=warm)
    assert found is not None
    assert found.expected.sign == "white_spots"
    assert 0.0 < found.prior.helping < 1.0


def test_how_likely_it_was_counts_causes_that_what_is_given_reaches_too():
    room = room_of()
    named = right_of(room, course(), FACTS)
    alone = right_of(room, course(substance="", steps=()), FACTS)
    assert 0.0 < alone < named < 1.0


@pytest.mark.parametrize(
    ("chances", "low", "high"),
    [([0.5, 0.5], 0, 1), ([0.01, 0.98, 0.01], 1, 1), ([0.1] * 10, 0, 9), ([0.0, 0.0, 1.0], 2, 2)],
)
def test_nine_in_ten_of_the_counts(chances, low, high):
    found = between(np.array(chances))
    assert (found.low, found.high) == (low, high)
