"""What every command takes, and how an answer leaves."""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import msgspec
from cyclopts import Parameter

from tankward.quantities.faults import BadInput, Refused
from tankward.quantities.working import Answer
from tankward.show.results import Refusal, RefusedBecause, Result, Source
from tankward.show.words.acts import ended

if TYPE_CHECKING:
    from tankward.desk.desk import Desk

FLAG = Parameter(negative=())


@Parameter(name="*")
@dataclass(frozen=True)
class Common:
    """Options that every command takes."""

    json: Annotated[bool, FLAG] = False
    "One JSON object on standard output and nothing else."
    schema: Annotated[bool, FLAG] = False
    "The JSON Schema of that object."
    now: Annotated[str | None, Parameter(metavar="…")] = None
    "The moment to take as now, like 2026-05-14T18:00."
    room: Annotated[Path | None, Parameter(metavar="…")] = None
    "The folder of the room; else TANKWARD_ROOM, else the usual data folder."

    @property
    def moment(self) -> datetime:
        """Now: only a face reads the clock."""
        if self.now is None:
            return datetime.now().astimezone()
        try:
            at = datetime.fromisoformat(self.now)
        except ValueError:
            raise BadInput("now", self.now, "is not a moment. Write it like 2026-05-14T18:00.") from None
        return at if at.tzinfo else at.astimezone()

    @property
    def told(self) -> str:
        """Now, as an answer gives it back."""
        return self.moment.isoformat()

    @property
    def zone(self) -> str:
        """The zone of the keeper's wall clock."""
        return local_zone()


def opened(common: Common) -> Desk:
    """The room that is meant, with a copy of it for each day on which it was opened."""
    from tankward.desk.data import keep_daily
    from tankward.desk.desk import Desk

    desk = Desk.open(common.room)
    # Another "now" is a question about time, and makes no day.
    if common.now is None and (told := keep_daily(desk, common.moment, common.zone)):
        print(told, file=sys.stderr)
    return desk


def pairs(words: tuple[str, ...]) -> dict[str, str]:
    """key=value words as a mapping.

    Raises
    ------
    BadInput
        If a word has no "=", or a key comes twice.
    """
    found: dict[str, str] = {}
    for word in words:
        key, mark, value = word.partition("=")
        if not mark:
            raise BadInput("input", word, "is not key=value. Write it like volume=54L.")
        if key in found:
            raise BadInput(key, value, "is given twice. Write it once.")
        found[key.strip()] = value.strip()
    return found


def local_zone() -> str:
    """The machine's own zone by name, as wall-clock times are kept in it; UTC where it has no name."""
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    for name in (os.environ.get("TZ", ""), _linked_zone()):
        try:
            if name:
                return ZoneInfo(name).key
        except (ZoneInfoNotFoundError, ValueError):
            continue
    return "UTC"


def _linked_zone() -> str:
    target = os.path.realpath("/etc/localtime")
    return target.partition("zoneinfo/")[2]


def refusal(refused: Refused, now: str) -> Refusal:
    """A refusal as it goes out."""
    rows = [
        RefusedBecause(
            kind=r.kind,
            because=r.because,
            would_change=r.would_change,
            who=list(r.who),
            source=r.source,
            status=r.status,
        )
        for r in refused.reasons
    ]
    says = " ".join(dict.fromkeys(ended(r.because) for r in rows))
    return Refusal(says=says, reasons=rows, refused=True, now=now)


def write(result: Result, as_json: bool) -> None:
    """The answer on standard output."""
    from tankward.show.results_calendar import CalendarResult
    from tankward.show.terminal import lines

    if as_json:
        sys.stdout.write(msgspec.json.format(msgspec.json.encode(result), indent=1).decode() + "\n")
        return
    if isinstance(result, CalendarResult):
        # As it is: the ends of its lines are CRLF on every machine (RFC 5545).
        _whole(result.file)
        return
    for line in lines(result):
        print(line)


def _whole(text: str) -> None:
    """Text as it is, byte for byte."""
    out = getattr(sys.stdout, "buffer", None)
    if out is None:  # a stream of text alone, as a program may put in its place
        sys.stdout.write(text)
        return
    sys.stdout.flush()
    out.write(text.encode())
    out.flush()


def cited(*answers: Answer) -> list[Source]:
    """The sources of some answers, each once."""
    from tankward.desk.sources import titles

    keys = [key for answer in answers for key in answer.source_keys()]
    return [Source(key=key, title=title, where=read) for key, title, read in titles(keys)]
