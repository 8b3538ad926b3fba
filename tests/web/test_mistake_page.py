"""I made a mistake: danger first, then the slip, then what to do in this water."""

import pytest

from tankward.show.words.mistake import SLIPS

from .visitor import Visitor


def test_danger_stands_before_the_slips(stranger: Visitor) -> None:
    told = stranger.get("/mistake").words
    assert told.index("They gasp") < told.index("Gave too much") < told.index("Something else")


@pytest.mark.parametrize("slip", SLIPS)
def test_every_slip_leads_to_acts(stranger: Visitor, slip: str) -> None:
    told = stranger.get(f"/mistake?slip={slip}")
    assert told.code == 200
    assert "Look again" in told.words or "look again" in told.words


def test_a_slip_that_is_none_is_one_sentence(stranger: Visitor) -> None:
    told = stranger.get("/mistake?slip=blame")
    assert told.code == 422
    assert "blame" in told.words
