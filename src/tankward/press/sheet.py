"""What a sheet is, what it is asked with, and how it becomes a PDF."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Literal

import msgspec

from tankward import __version__
from tankward.desk.desk import Desk
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.room.names import slug
from tankward.room.things import Kit, Tank
from tankward.show.sheets.foot import foot
from tankward.show.sheets.press import PAPERS, printed
from tankward.show.sheets.records import Foot, SheetRecord
from tankward.show.words.course import danger_here

INVENTED = "Invented room"
US_PAPER = "letter"


class Asked(msgspec.Struct, frozen=True, kw_only=True):
    """A room, a moment, and what was typed."""

    desk: Desk
    facts: Facts
    now: datetime
    zone: str
    demo: bool
    tank: Tank | None = None
    typed: Mapping[str, str] = {}
    address: str = ""  # at which the room is served; "" where it is not

    @property
    def entries(self) -> int:
        return len(self.desk.entries())

    @property
    def state(self) -> str:
        return self.desk.digest

    def foot(self, about: str = "") -> Foot:
        """The foot of the sheet; without a word of its own it names the tank."""
        return foot(
            about or (self.tank.name if self.tank else ""),
            self,
            self.facts,
            now=self.now,
            zone=self.zone,
            program=__version__,
            invented=INVENTED if self.demo else "",
        )


class Sheet(msgspec.Struct, frozen=True, kw_only=True):
    """One kind of sheet."""

    name: str  # of its command, `tankward print NAME`, and of its PDF, /print/NAME.pdf
    title: str  # as it is listed
    use: str  # what it is for, in a line
    about: Literal["tank", "room", "either"]  # needs a tank, has none, may have one
    layout: str  # the typst file in show/sheets/
    record: Callable[[Asked], SheetRecord]
    page: str = ""  # where it is asked for; "" where its tank is all that it asks
    asks: tuple[tuple[str, str], ...] = ()  # key=value that it takes, with what each means
    also: tuple[str, ...] = ()  # other words for its command
    of_course: bool = False  # it prints a course, and says itself what stands against that one
    fits: Callable[[Asked], bool] = lambda asked: True  # whether the tank asked about has one


class Pressed(msgspec.Struct, frozen=True, kw_only=True):
    """A sheet made."""

    title: str
    pdf: bytes
    pages: int
    file: str  # its name


def pressed(sheet: Sheet, asked: Asked, paper: str) -> Pressed:
    """A sheet as PDF.

    Parameters
    ----------
    sheet : Sheet
        Which.
    asked : Asked
        The room, its tank, what was typed.
    paper : str
        "a4" or "letter"; "" for the keeper's usual one.

    Raises
    ------
    BadInput
        If the paper is none, the tank is missing, or what was typed can't be used.
    Refused
        If what it would print does harm.
    """
    paper = paper or usual_paper(asked.desk.room().kit)
    if paper not in PAPERS:
        raise BadInput("paper", paper, f"is not one of {', '.join(PAPERS)}.")
    if sheet.about == "tank" and asked.tank is None:
        raise BadInput("tank", "", f"is missing. Write it like: tankward print {sheet.name} T7.")
    if sheet.about == "room" and asked.tank is not None:
        raise BadInput("tank", asked.tank.name, "is not needed: this sheet is for the whole room.")
    known = [key for key, _ in sheet.asks]
    for key in asked.typed:
        if key not in known:
            raise BadInput(
                key, asked.typed[key], f"is not asked here. It takes {', '.join(known) or 'nothing'}."
            )
    record = _with_danger(sheet, asked, sheet.record(asked))
    made = printed(record, sheet.layout, paper, asked.now)
    name = f"{slug(asked.tank.name)}-{sheet.name}" if asked.tank else sheet.name
    return Pressed(title=record.title, pdf=made.pdf, pages=made.pages, file=f"{name}.pdf")


def _with_danger(sheet: Sheet, asked: Asked, record: SheetRecord) -> SheetRecord:
    """What stands against the course that runs in the tank goes with everything that is printed of it."""
    if sheet.of_course or asked.tank is None:
        return record
    return msgspec.structs.replace(record, danger=tuple(danger_here(asked.desk.room(), asked.tank.id)))


def usual_paper(kit: Kit) -> str:
    """The keeper's own paper; where none was said, that of the region."""
    return kit.paper or (US_PAPER if kit.region == "US" else next(iter(PAPERS)))
