"""What counts changed, plainly: how fast it grows, the chance before and with them, what does not fit."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.knowledge.loader import load
from tankward.model.counts import Deaths, Heads, OnFish
from tankward.model.learned import Explained
from tankward.model.result import GoneBy, Outlook, Taught
from tankward.quantities.parse import Estimate
from tankward.show.answers_taught import taught_row
from tankward.show.words.taught import NOT_TOGETHER, ROUGH, taught_says

FACTS = load()
NOW = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)


def gone(low, value, high, days=14.0):
    return GoneBy(by=NOW + timedelta(days=days), days=days, low=low, value=value, high=high)


def heads(day, number, *, counted=True, high=None):
    at = datetime(2026, 3, day, 20, tzinfo=UTC)
    return Heads(
        at=at, sign="white_spots", low=number, high=number if high is None else high, of=20, counted=counted
    )


def explained(told, more=0.5, fewer=0.5):
    return Explained(told=told, more=more, fewer=fewer)


THREE = tuple(explained(heads(day, 6)) for day in (2, 4, 6))


def outlook(holds="cautious-bound", chances=(gone(0.6, 0.75, 0.85),), **changed):
    told = {
        "growth_before": Estimate(0.2, -0.1, 0.5), "growth": Estimate(0.1, 0.05, 0.2), "slower": 0.9,
        "gone_before": (gone(0.3, 0.5, 0.8),), "draws": 128, "effective_draws": 60.0, "power": 1.0,
        "fits": True, "explained": THREE,
    }  # fmt: skip
    return Outlook(
        organism="ichthyophthirius", cause="white_spot", likely=None, since_h=0.0, counted=True, series=(),
        chances=chances, holds=holds, taught=Taught(**(told | changed)),
    )  # fmt: skip


def says(o):
    return taught_says(o, NOW, "UTC", FACTS)


def test_what_three_counts_changed_is_one_sentence():
    assert says(outlook()) == [
        "Your three counts: it grows more slowly than is usual; "
        "gone in 14 days: 60 to 85 %, without them 30 to 80 %."
    ]


@pytest.mark.parametrize(
    ("slower", "growth", "words"),
    [
        (0.95, (0.1, 0.05, 0.2), "grows more slowly than is usual"),
        (0.95, (-0.3, -0.5, -0.1), "goes down faster than is usual"),
        (0.05, (0.4, 0.3, 0.5), "grows faster than is usual"),
        (0.05, (-0.1, -0.2, -0.05), "goes down more slowly than is usual"),
        (0.5, (0.2, 0.1, 0.3), "grows as fast as is usual"),
        (0.5, (-0.2, -0.3, -0.1), "goes down as is usual"),
        (0.5, (0.0, -0.3, 0.3), "whether it grows they can't tell yet"),
    ],
)
def test_how_fast_it_grows_is_told_against_what_is_usual(slower, growth, words):
    (said,) = says(outlook(slower=slower, growth=Estimate(*growth)))
    assert words in said


def test_a_chance_that_stays_is_not_told_twice():
    (said,) = says(outlook(chances=(gone(0.31, 0.52, 0.79),)))
    assert said.endswith("gone in 14 days: 31 to 79 %, as without them.")


def test_what_lives_in_every_tank_is_told_by_the_fish():
    (said,) = says(outlook(holds="never-gone"))
    assert "no fish ill in 14 days" in said


def test_without_a_chance_only_the_growth_is_told():
    assert says(outlook(chances=(), gone_before=())) == [
        "Your three counts: it grows more slowly than is usual."
    ]


def test_one_look_without_a_number_is_a_look():
    told = (explained(heads(6, 1, counted=False, high=20)), explained(Deaths(since=NOW, at=NOW, number=0)))
    assert says(outlook(explained=told))[0].startswith("Your look: ")
    assert says(outlook(explained=told[1:] + THREE[:1]))[0].startswith("Your count: ")


def test_more_spots_than_this_explains():
    odd = (*THREE[:2], explained(heads(6, 18), more=0.01))
    assert says(outlook(explained=odd))[1] == (
        "Yesterday, 18 of 20 fish with “white spots like salt”: more than white spot explains. "
        "Something else may make it too, or it came earlier than was seen."
    )


def test_fewer_than_this_explains():
    odd = (*THREE[:2], explained(heads(6, 0), fewer=0.001))
    assert (
        "none of 20 fish with “white spots like salt”: fewer than white spot explains."
        in says(outlook(explained=odd))[1]
    )


def test_parasites_and_deaths_that_do_not_fit_are_told_too():
    many = OnFish(at=datetime(2026, 3, 6, 20, tzinfo=UTC), sign="white_spots", number=90, of=3)
    dead = Deaths(since=datetime(2026, 3, 2, 20, tzinfo=UTC), at=NOW, number=9)
    told = says(outlook(explained=(explained(many, more=0.001), explained(dead, more=0.001))))
    assert told[1].startswith("Yesterday, 90 of “white spots like salt” on 3 fish: more than white spot")
    assert told[2].startswith(
        "Nine dead since Mon 2 Mar: more than white spot explains. Something else may be"
    )


def test_counts_that_do_not_fit_together_count_for_less():
    assert says(outlook(power=0.4, fits=False))[-1] == NOT_TOGETHER
    assert says(outlook(power=0.4))[-1] == ROUGH
    assert says(outlook(effective_draws=17.0))[-1] == ROUGH


def test_without_a_look_nothing_is_said():
    o = outlook()
    bare = Outlook(
        organism=o.organism, cause=o.cause, likely=None, since_h=0.0, counted=False, series=(),
        chances=o.chances, holds=o.holds,
    )  # fmt: skip
    assert says(bare) == []
    assert taught_row(bare, NOW, FACTS) is None


def test_the_rows_that_leave_hold_before_and_after_and_each_look():
    row = taught_row(outlook(explained=(*THREE, explained(Deaths(since=NOW, at=NOW, number=2)))), NOW, FACTS)
    assert (row.gone_before[0].low, row.gone[0].low, row.gone[0].days) == (0.3, 0.6, 14.0)
    assert [(t.sign, t.low, t.of) for t in row.looks][2:] == [("white_spots", 6, 20), ("", 2, None)]
    assert (row.draws, row.of, row.power) == (60.0, 128, 1.0)
    assert row.says == says(outlook())
