"""Whom a plan spares: by any name that they have, and nobody who is not there."""

import pytest

from tankward.desk.spared import spared
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tests.helpers.rooms import room_from

ROOM = """
1 May 2026 08:00  tank  T7  volume="35 L" temp=25C
1 May 2026 08:01  stock T7  kind=amano_shrimp name=amanos number=8
1 May 2026 08:02  stock T7  kind=nerite name=nerites number=4
1 May 2026 08:03  stock T7  kind=moss number=1
1 May 2026 08:04  stock T7  kind=guppy number=6
"""


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        (["amano shrimp"], ["amanos"]),
        (["amano_shrimp"], ["amanos"]),
        (["Shrimp"], ["amanos"]),
        (["snails", "amanos"], ["nerites", "amanos"]),
        (["moss"], ["moss"]),
        ([], []),
    ],
)
def test_plain_words_mean_those_who_live_there(typed, meant):
    room = room_from(ROOM)
    named = {s.id: s.name for s in room.stock_of("t7")}
    found = [named[one] for one in spared(typed, room, "t7", load())]
    assert found == meant


@pytest.mark.parametrize("word", ["unicorn", "corydoras"])
def test_a_word_that_means_nobody_there_is_refused_by_name(word):
    with pytest.raises(BadInput, match=f'"{word}" is nobody in T7. There: amanos, nerites, '):
        spared(["amanos", word], room_from(ROOM), "t7", load())
