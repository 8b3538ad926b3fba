"""Who lives in a tank as the logbook tells it."""

from datetime import UTC, datetime

import pytest

from tankward.model.events import Died, Stocked
from tankward.model.from_room import story
from tests.helpers.rooms import room_from
from tests.model.tanks import FACTS

NOW = datetime(2026, 3, 10, 12, 0, tzinfo=UTC)
START = datetime(2026, 3, 3, 12, 0, tzinfo=UTC)


def told(text):
    return story(room_from(text), "tank", START, NOW, FACTS, ())


def shares(found):
    return [(at.day, event.share) for at, event in found.events if isinstance(event, Stocked)]


def test_animals_entered_with_their_tank_were_there_before():
    """Twenty fish of 0.5 g: 10 g from the beginning, though both were entered today."""
    found = told("""
        10 March 2026 08:00  tank   Tank  volume=50L
        10 March 2026 08:10  stock  Tank  kind=guppy number=20 mass=0.5g
    """)
    assert found.setup.living.mass_g.value == pytest.approx(10.0)
    assert shares(found) == []


def test_newcomers_count_from_the_day_they_came():
    found = told("""
        1 February 2026 08:00  tank   Tank  volume=50L
        1 February 2026 08:10  stock  Tank  kind=guppy number=20 mass=0.5g
        8 March 2026 08:10     stock  Tank  kind=betta number=1 mass=2g
    """)
    assert found.setup.living.mass_g.value == pytest.approx(10.0)
    assert shares(found) == [(8, pytest.approx(1.2))]


def test_the_dead_that_stay_in_are_waste_and_eat_no_more():
    found = told("""
        1 February 2026 08:00  tank   Tank  volume=50L
        1 February 2026 08:10  stock  Tank  kind=guppy number=20 mass=0.5g stock=g
        5 March 2026 08:10     death  Tank  stock=g number=2 taken-out=no
        6 March 2026 08:10     death  Tank  stock=g number=3 taken-out=yes
    """)
    assert shares(found) == [(5, pytest.approx(0.9)), (6, pytest.approx(0.75))]
    assert [(at.day, event.grams) for at, event in found.events if isinstance(event, Died)] == [
        (5, pytest.approx(1.0))
    ]


def test_an_animal_without_a_length_is_named_not_weighed_as_nothing():
    found = told("""
        1 February 2026 08:00  tank   Tank  volume=50L
        1 February 2026 08:10  stock  Tank  kind=guppy number=20 stock=g
    """)
    assert found.setup.living is None
    assert found.unweighed == ("g",)


def test_a_tank_grows_older():
    """Told on 1 February to have run for three weeks: 51 days on 3 March."""
    found = told("""
        1 February 2026 12:00  tank   Tank  volume=50L filter=sponge filter-age="3 weeks"
    """)
    assert found.setup.filter_age_d == pytest.approx(51.0)
