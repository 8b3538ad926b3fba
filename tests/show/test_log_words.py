"""Rows of the log: what an entry is called."""

from tankward.knowledge.loader import load
from tankward.room.replay import replay
from tankward.show.words.log import entry_row
from tests.helpers.rooms import entries_from


def test_a_group_that_grew_did_not_move_in_again() -> None:
    told = entries_from(
        "1 May 2026 08:00 tank T2 volume=30L\n"
        "1 May 2026 08:01 stock T2 kind=neon_rainbow name=young number=24 length=1.2cm\n"
        "9 May 2026 08:01 stock T2 kind=neon_rainbow name=young number=22 length=2cm\n"
    )
    room = replay(told)
    assert entry_row(told[1], room, load()) == ("Moved in", "24 young")
    assert entry_row(told[2], room, load()) == ("Described anew", "22 young, 2 cm")
