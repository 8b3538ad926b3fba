"""The foot of every sheet: what it is about, when and from what it was printed."""

from __future__ import annotations

from datetime import datetime
from typing import Protocol

from tankward.knowledge.known import Facts
from tankward.show.words.sheet import SHEET_OF, printed_line, version_line

from .records import Foot

STATE_LENGTH = 8  # characters of a digest: enough to tell two states apart on paper


class Logbook(Protocol):
    """How far the logbook went when the sheet was made."""

    @property
    def entries(self) -> int: ...
    @property
    def state(self) -> str: ...


def foot(
    about: str,
    logbook: Logbook,
    facts: Facts,
    *,
    now: datetime,
    zone: str,
    program: str,
    invented: str = "",
) -> Foot:
    """The foot, said.

    Parameters
    ----------
    about : str
        The tank, or what the sheet is about where it has none.
    logbook : Logbook
        Its entries and the digest of its state.
    facts : Facts
        The facts; their version is named.
    now : datetime
        When it is printed.
    zone : str
        Of the keeper's wall clock.
    program : str
        Version of the program.
    invented : str
        What marks an invented room; "" for a real one.
    """
    return Foot(
        lines=(
            printed_line(about, now, zone, logbook.entries, logbook.state[:STATE_LENGTH]),
            version_line(program, facts.digest[:STATE_LENGTH], invented),
        ),
        words=SHEET_OF,
        invented=invented,
    )
