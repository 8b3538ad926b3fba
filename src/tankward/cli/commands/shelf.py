"""shelf: packets as their labels say, what is left of each, what became of it."""

from __future__ import annotations

from typing import Annotated

from cyclopts import App, Parameter

from tankward.desk.find import find_supply
from tankward.knowledge.loader import load
from tankward.room.time import day_of
from tankward.show.results_room import Lines, Written
from tankward.show.words.acts import ended
from tankward.show.words.shelf import packet_heading, packet_lines, shelf_heading, shelf_line
from tankward.show.words.supplies import course_rows

from ..common import Common, opened, pairs
from .room import write_kept

Words = Annotated[str, Parameter(allow_leading_hyphen=True)]


def shelf_add(*given: Words, common: Common = Common()) -> Written:
    """Add a packet: shelf add name="worm sachet" unit=sachet praziquantel=90mg rule="1 sachet per 40 L".

    A strength is written as the label has it: praziquantel="10 mg/mL", "methylene blue"="1 %",
    copper="10 mg/mL as copper". Also left=9 price="9.50 for 10" expiry=2027-03 opened=today
    held-lawfully=yes repeat-after=48h change-before=50% most-doses=3; actives=dont-know where it names none,
    unknown="mystericin 50 mg" for what is not known here.

    Parameters
    ----------
    given
        What the label says, as name=value.
    """
    return write_kept(common, lambda border: border.supply(pairs(given)))


def shelf_list(*, common: Common = Common()) -> Lines:
    """What is on the shelf, how much is left, until when it is good."""
    with opened(common) as desk:
        here = [s for s in desk.room().shelf.values() if s.gone != "thrown_away"]
    today = day_of(common.moment, common.zone)
    rows = [shelf_line(s, today, load()) for s in here]
    return Lines(says=f"{shelf_heading(here, today)}.", rows=rows, now=common.told)


def shelf_show(supply: str, *, common: Common = Common()) -> Lines:
    """One packet: what it holds, what its rule makes, its date, its cost.

    Parameters
    ----------
    supply
        Its name on the shelf.
    """
    with opened(common) as desk:
        room = desk.room()
    packet = find_supply(room, supply)
    today = day_of(common.moment, common.zone)
    rows = packet_lines(packet, today, load())
    rows += [" ".join(ended(w) for w in (r.head, r.soft) if w) for r in course_rows(room, packet.id)]
    return Lines(says=f"{packet_heading(packet, today)}.", rows=rows, now=common.told)


def shelf_used_up(supply: str, *given: Words, common: Common = Common()) -> Written:
    """A packet is used up: shelf used-up "worm sachet".

    Parameters
    ----------
    supply
        Its name on the shelf.
    given
        More about it, as name=value: note.
    """
    return write_kept(common, lambda border: border.packet("used_up", supply, pairs(given)))


def shelf_bought(supply: str, *given: Words, common: Common = Common()) -> Written:
    """Bought again: shelf bought "worm sachet" number=10 expiry=2028-01.

    Parameters
    ----------
    supply
        Its name on the shelf.
    given
        How many, until when they are good, what they cost, as name=value.
    """
    return write_kept(common, lambda border: border.packet("bought", supply, pairs(given)))


def shelf_thrown_away(supply: str, *given: Words, common: Common = Common()) -> Written:
    """Thrown away: shelf thrown-away "worm sachet" why="out of date".

    Parameters
    ----------
    supply
        Its name on the shelf.
    given
        Why, as name=value.
    """
    return write_kept(common, lambda border: border.packet("thrown_away", supply, pairs(given)))


def add_to(app: App) -> None:
    """Add the family's commands."""
    family = App(name="shelf", help="Packets on the shelf: what their labels say, what is left.")
    family.command(shelf_add, name="add")
    family.command(shelf_list, name="list")
    family.command(shelf_show, name="show")
    family.command(shelf_used_up, name="used-up")
    family.command(shelf_bought, name="bought")
    family.command(shelf_thrown_away, name="thrown-away")
    family.default(shelf_list)
    app.command(family)
