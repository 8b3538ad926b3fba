"""From which day on looks tell: of signs whose counts are known, so that the day is too."""

from datetime import timedelta

import numpy as np
import pytest

from tankward.judge.hypotheses import Chances
from tankward.judge.telling import EVERY, numbers_of, telling, tellings
from tankward.model.counts import Heads

from .treated import after

NOW = Chances(bites=0.5, weak=0.0, idle=0.25, other=0.25)


class Certain:
    """Counts that part on one day: until then half of the fish show it, from then on all or none do. With
    more than `needs` fish looked at it parts two days sooner.
    """

    def __init__(self, day: float | None, needs: int = 100) -> None:
        self.day, self.needs = day, needs

    def look(self, at, of):
        return Heads(at=at, sign="flashing", low=0, high=0, of=of)

    def weights(self, *, early):
        return tuple(np.array([1.0]) for _ in range(4))

    def outcomes(self, like):
        day = None if self.day is None else after(self.day) - (EVERY if like.of > self.needs else EVERY * 0)
        parts = day is not None and like.at >= day
        return tuple(_at(n * like.of if parts else like.of // 2, like.of) for n in (0, 1, 1, 1))


def _at(number, of):
    each = np.zeros((of + 1, 1))
    each[number] = 1.0
    return each


def test_it_is_the_first_look_after_the_counts_part():
    found = telling(Certain(5.0), after(0), after(20), 10, NOW)
    assert found.on == after(6)  # every second day from the first on
    assert (found.looks, found.if_helping, found.if_not) == (4, 1.0, 1.0)


def test_counts_that_never_part_never_tell():
    assert telling(Certain(None), after(0), after(20), 10, NOW) is None
    assert telling(Certain(30.0), after(0), after(20), 10, NOW) is None


def test_more_fish_are_named_only_where_they_tell_sooner():
    usual, more = tellings(Certain(8.0, needs=20), after(0), after(20), (10, 25), NOW)
    assert (usual.on, more.on, more.of) == (after(8), after(6), 25)
    usual, more = tellings(Certain(8.0), after(0), after(20), (10, 25), NOW)
    assert usual.on == after(8)
    assert more is None


def test_nothing_is_asked_where_it_can_do_nothing_else_but_help():
    sure = Chances(bites=0.75, weak=0.0, idle=0.0, other=0.25)
    assert telling(Certain(5.0), after(0), after(20), 10, sure) is None


@pytest.mark.parametrize(
    ("last", "heads", "asked"), [(5, 20, (5, 20)), (20, 20, (20,)), (10, 70, (10, 30, 70)), (70, 70, (70,))]
)
def test_more_than_thirty_only_where_all_are_looked_at(last, heads, asked):
    assert numbers_of(last, heads) == asked


def test_looks_to_come_are_two_days_apart():
    assert timedelta(days=2) == EVERY
