"""What a look can tell: how far each judged number of it moves what is learned from the same counts."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.model.forecast import forecast
from tankward.model.suspect import Suspect
from tankward.room.text import room_of_text

from .lanes import judged

NOW = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)
OF_A_LOOK = ("look_finds", "look_alike", "start_early", "dead_found", "dead_otherwise", "dead_size")
WIDER = 2.0  # a single judged figure is moved by this, down and up
ROOM = """
1 February 2026 08:00  tank  T  volume="60 L" temp=25C filter=sponge filter-age="12 weeks"
1 February 2026 08:05  stock T  kind=guppy number=24 length=4cm
2 March 2026 20:00  look  T  seen=saddle_patch counts="saddle_patch 1" looked-at=24
4 March 2026 20:00  look  T  seen=saddle_patch counts="saddle_patch 4" looked-at=24
5 March 2026 20:00  death T  stock=t-guppy number=2 taken-out=yes
6 March 2026 20:00  look  T  seen=saddle_patch counts="saddle_patch 6" looked-at=22
"""
EXAMPLES = {"columnaris": ROOM, "ichthyophthirius": ROOM.replace("saddle_patch", "white_spots")}


def look_rows(facts: Facts) -> list[str]:
    """The judged numbers of what a look can tell."""
    return [name for name in OF_A_LOOK if judged(facts.conversion[name])]


def look_section(facts: Facts) -> Iterator[str]:
    """What is learned from three counts and two deaths, by each number from low to high."""
    yield "## What a look can tell\n"
    yield "Fish with a sign counted three times (1, 4 and 6 of about 24) and two dead. What is learned from"
    yield "that, by the judged number from low to high (a single figure: halved and doubled).\n"
    yield "| judged number | columnaris: ill of 100 fish now | white spot: on a fish now |"
    yield "| --- | --- | --- |"
    for name in look_rows(facts):
        cells = [" to ".join(_said(facts, name, end, organism) for end in (0, 1)) for organism in EXAMPLES]
        yield f"| {name} | {' | '.join(cells)} |"
    yield ""


def _said(facts: Facts, name: str, end: int, organism: str) -> str:
    row = facts.conversion[name]
    low, high = (row.low / WIDER, row.high * WIDER) if row.low == row.high else (row.low, row.high)
    told = msgspec.structs.replace(row, low=(low, high)[end], high=(low, high)[end])
    known = msgspec.structs.replace(facts, conversion={**facts.conversion, name: told})
    suspect = Suspect(organism=organism)
    found = forecast(
        room_of_text(EXAMPLES[organism]), "t", NOW, facts=known, days=1, draws=128, suspects=(suspect,)
    )
    line = next(s for s in found.outlooks[0].series if s.where in ("on fish", "in fish"))
    row_now = int(np.searchsorted(found.times_h, found.now_h + 1e-9))
    times = 100.0 if line.unit == "1" else 1.0
    return f"{times * line.value[row_now]:.2g}"
