"""`tankward quarantine …`: newcomers apart, before they come, when they come, and while they wait."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

from cyclopts import App, Parameter

from tankward.desk.border import Border
from tankward.desk.find import find_tank
from tankward.desk.quarantine import Quarantine, begun, places, quarantine_wanted
from tankward.desk.sources import titles
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.time import day_of
from tankward.rounds.newcomers import Apart, newcomers
from tankward.show.answers_quarantine import quarantine_result
from tankward.show.results import Source
from tankward.show.results_quarantine import QuarantineResult

from ..common import FLAG, Common, opened, pairs

Words = Annotated[str, Parameter(allow_leading_hyphen=True)]


def quarantine(
    *given: Words, begin: Annotated[bool, FLAG] = False, common: Common = Common()
) -> QuarantineResult:
    """Newcomers apart: where each source goes, its water, the looks by their days, when they may join.

    quarantine auction="8 platies 2.5cm" exchange="6 neon rainbow 4cm" food="3 %" tells it for what is to
    come; with --begin the animals are written down, and the days stand in the round. quarantine T11 tells of
    those that are in there; quarantine alone of all that are apart.

    Parameters
    ----------
    given
        Each source with its animals; or animals= and source=. into=T11,T12 for their tanks in that order,
        when=, and for the water food=, protein=, ph=, temp=, volume=, fish=4g if they were weighed.
    begin
        Write the animals down, each in its tank.
    """
    facts, now, zone = load(), common.moment, common.zone
    named = [w for w in given if "=" not in w]
    typed = pairs(tuple(w for w in given if "=" in w))
    if named and typed:
        raise BadInput("tank", named[0], "can't stand beside newcomers. Write into= for the tank they go to.")
    if begin and not typed:
        raise BadInput("animals", "", 'is missing: who came? Write auction="8 platies 2.5cm" --begin.')
    with opened(common) as desk:
        room = desk.room()
        found = quarantine_wanted(room, typed, now, zone, facts, room.kit.taste) if typed else None
        entries: list[str] = []
        if begin and found is not None:
            written = begun(Border.of(desk, facts, now, zone), found)
            desk.append(*(e for w in written for e in w.entries))
            entries = [w.entry.id for w in written]
            room = desk.room()
    tanks = {find_tank(room, w).id for w in named}
    every = () if found else newcomers(room, now, zone, facts)
    today = day_of(now, zone)
    apart = [a for a in every if (a.tank in tanks if tanks else a.watched(today))]
    return quarantine_result(
        found,
        apart,
        places(room, facts),
        room,
        now,
        zone,
        facts,
        common.told,
        _sources(found, apart),
        entries,
    )


def _sources(found: Quarantine | None, apart: Sequence[Apart]) -> list[Source]:
    arrivals = found.arrivals if found else ()
    keys = [k for a in arrivals for f in a.fed for k in f.answer.source_keys()]
    keys += [k for a in arrivals for c in a.common for k in c.source.split()]
    keys += [a.source for a in apart]
    return [Source(key=key, title=title, where=read) for key, title, read in titles(keys)]


def add_to(app: App) -> None:
    """Add the command."""
    app.command(quarantine)
