"""Gill beats: beside a well fish, beside what is usual, and where a count does not tell."""

from datetime import UTC, datetime

import pytest

from tankward.judge.breathing import breathing
from tankward.judge.from_room import share_of, stated
from tankward.knowledge.loader import load
from tankward.room.entries.looks import Look

FACTS = load()


@pytest.mark.parametrize(
    ("beats", "well", "says"),
    [
        (140.0, None, "fast"),  # usual at rest: 60 to 120, so the facts
        (121.0, None, "fast"),
        (120.0, None, "unknown"),  # fish of one tank differ by as much
        (60.0, None, "unknown"),
        (30.0, None, "slow"),
        (100.0, 80.0, "fast"),  # a quarter faster
        (99.0, 80.0, "not fast"),
        (30.0, 24.0, "not fast"),  # a quarter faster, yet within the error of two counts
        (140.0, 130.0, "not fast"),  # both pant: the well one decides nothing but the difference
        (None, 80.0, "unknown"),
    ],
)
def test_what_a_count_comes_to(beats, well, says):
    assert breathing(beats, well, FACTS).says == says


def test_a_count_is_the_sign_unless_the_sign_was_answered_itself():
    look = Look(
        id="x", at=datetime(2026, 5, 12, tzinfo=UTC), gill_beats_per_min=140, gill_beats_well_per_min=90
    )
    assert stated(look, FACTS) == {"fast_gills": "seen"}
    told = Look(id="x", at=look.at, gill_beats_per_min=140, absent=("fast_gills",))
    assert stated(told, FACTS) == {"fast_gills": "absent"}
    unknown = Look(id="x", at=look.at, gill_beats_per_min=100)
    assert stated(unknown, FACTS) == {}


def test_how_many_have_it_follows_from_the_counts():
    assert share_of(20.0, {"white_spots": 1.0}) == "one"
    assert share_of(20.0, {"white_spots": 4.0, "flashing": 9.0}) == "some"
    assert share_of(20.0, {"white_spots": 10.0}) == "most"
    assert share_of(None, {"white_spots": 10.0}) == ""
    assert share_of(20.0, {}) == ""
