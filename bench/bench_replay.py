"""How long the room takes to come out of ten thousand entries: six years of twelve tanks, invented."""

import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

from run import within

from tankward.desk.desk import Desk
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Remove
from tankward.room.entries.acts import Done
from tankward.room.entries.animals import Counted, Death, StockAdded
from tankward.room.entries.looks import Look
from tankward.room.entries.tanks import TankAdded
from tankward.room.entries.water import ReadingTaken
from tankward.room.replay import replay
from tankward.room.text import made_id
from tankward.room.things import Reading, Stock, Tank

TANKS, MANY = 12, 10_000
START = datetime(2020, 1, 1, tzinfo=UTC)


def logbook():
    """Twelve tanks with three groups each, then what happens in them day after day."""
    entries = []

    def add(kind, tank, **fields):
        at = START + timedelta(hours=5 * len(entries))
        entries.append(kind(id=made_id(at, 0, "bench"), at=at, tank=f"t{tank}", **fields))

    for tank in range(TANKS):
        add(TankAdded, tank, thing=Tank(id=f"t{tank}", name=f"T{tank}", volume_l=Estimate.exact(50)))
        for group in range(3):
            thing = Stock(
                id=f"t{tank}-{group}",
                tank=f"t{tank}",
                kind="guppy",
                name="guppies",
                number=Estimate.exact(500),
            )
            add(StockAdded, tank, thing=thing)
    for day in range(MANY - len(entries)):
        tank, stock = day % TANKS, f"t{day % TANKS}-{day % 3}"
        match day % 5:
            case 0:
                add(Counted, tank, stock=stock, number=Estimate(400, 380, 420))
            case 1:
                add(ReadingTaken, tank, values=(Reading(quantity="ph", value=7.2),))
            case 2:
                add(Look, tank, well=True)
            case 3:
                add(Death, tank, stock=stock)
            case _:
                add(Done, tank, act=Change(share=0.3) if day % 2 else Remove(stock=stock))
    return entries


@within(seconds=0.2)
def bench_replay_of_ten_thousand_entries():
    entries = logbook()
    return lambda: replay(entries)


@within(seconds=0.6)
def bench_opening_a_folder_with_ten_thousand_entries():
    folder = Path(tempfile.mkdtemp(prefix="bench-room-"))
    with Desk.open(folder) as desk:
        desk.append(*logbook())

    def opened():
        with Desk.open(folder) as again:
            return again.room()

    return opened
