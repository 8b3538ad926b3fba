"""`tankward wind-down TANK`: a tank closed, from its animals to its record."""

from __future__ import annotations

from typing import Annotated

from cyclopts import App, Parameter

from tankward.desk.border import Border
from tankward.desk.find import find_tank
from tankward.desk.sources import titles
from tankward.desk.winding import KEYS, Winding, close, leave, winding_of
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.show.answers_winding import closed_result, wind_down_result
from tankward.show.results import Source
from tankward.show.results_winding import WindDownResult
from tankward.show.words.kept import kept_says

from ..common import Common, opened, pairs

Words = Annotated[str, Parameter(allow_leading_hyphen=True)]


def wind_down(
    tank: str,
    *given: Words,
    close_record: Annotated[bool, Parameter(name="--close", negative=())] = False,
    common: Common = Common(),
) -> WindDownResult:
    """A tank closed: who may go where and when, its water, its things, bleach by litre, drying, the record.

    wind-down T1 tells all of it. wind-down T1 stock="pygmy cory" goes=T3 writes down where a group went:
    sold, given, ended, dead, other or a tank; refused where it is on hold, or would meet those that have not
    met the same. wind-down T1 --close closes the record once nobody is in it. Each is taken back with undo.

    Parameters
    ----------
    tank
        A tank of the room.
    given
        strength=5% of your bleach, volume= if it is filled otherwise; or stock= and goes=, with number=,
        when=, note=.
    close_record
        Close the record.
    """
    facts, now, zone, typed = load(), common.moment, common.zone, pairs(given)
    for key, value in typed.items():
        if key not in KEYS:
            raise BadInput(key, value, f"is not asked for here; it takes {', '.join(KEYS)}.")
    with opened(common) as desk:
        room = desk.room()
        there = find_tank(room, tank)
        border = Border.of(desk, facts, now, zone)
        written = ("", "")
        if close_record:
            entry = close(border, there.id, typed).entry
            desk.append(entry)
            return closed_result(there.id, there.name, entry.id, common.told)
        if "goes" in typed or "stock" in typed:
            kept = leave(border, there.id, typed)
            desk.append(*kept.entries)
            room = desk.room()
            written = (kept.entry.id, kept_says(["written"], kept.entries, room, facts))
    found = winding_of(room, there.id, typed, now, zone, facts)
    return wind_down_result(found, room, now, zone, facts, common.told, _sources(found), written)


def _sources(found: Winding) -> list[Source]:
    keys = [*(found.bleach.source_keys() if found.bleach else ()), *found.bath.keys]
    keys += [b.source for b in found.net.baths]
    told = titles(dict.fromkeys(keys))
    return [Source(key=key, title=title, where=read) for key, title, read in told if title]


def add_to(app: App) -> None:
    """Add the command."""
    app.command(wind_down, name="wind-down")
