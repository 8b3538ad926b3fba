"""`tankward contact TANK`: who may have been reached by what is in it."""

from __future__ import annotations

from cyclopts import App

from tankward.desk.contact import contacts_of
from tankward.desk.find import find_tank
from tankward.desk.sources import titles
from tankward.knowledge.loader import load
from tankward.show.answers_contact import contact_result
from tankward.show.results import Source
from tankward.show.results_contact import ContactResult
from tankward.show.words.contact import keys_of

from ..common import Common, opened


def contact(tank: str, *, common: Common = Common()) -> ContactResult:
    """Who may have been reached by what is in this tank, how likely, and until when to watch.

    By animals and plants that were moved, one water, one net or hose on one day, and hands in the order of
    the round, as far as it is written down.

    Parameters
    ----------
    tank
        A tank of the room.
    """
    facts = load()
    with opened(common) as desk:
        room = desk.room()
    found = contacts_of(room, find_tank(room, tank).id, common.moment, common.zone, facts)
    told = titles(keys_of(found), facts)
    sources = [Source(key=key, title=title, where=read) for key, title, read in told]
    return contact_result(found, room, common.moment, common.zone, facts, common.told, sources)


def add_to(app: App) -> None:
    """Add the command."""
    app.command(contact)
