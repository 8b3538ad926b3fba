"""The logbook as plain text, one line an entry (docs/logbook_text.md).

zone Europe/Berlin
1 March 2026 08:00  tank   Nursery  volume="54 L" temp="26 C"
1 March 2026 09:00  dose   nursery  praziquantel="108 mg"
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Any
from uuid import UUID

import msgspec

from tankward.quantities.faults import BadInput, BadInputs, gathered
from tankward.quantities.parse import Taste, is_unknown

from .entries.animals import StockAdded
from .entries.base import Entry, tag
from .entries.shelf import SupplyAdded
from .entries.tanks import TankAdded
from .fields import Reader
from .forms import Form, Head, build, form, form_of, texts_of, values
from .names import Names, slug
from .replay import Room, replay
from .time import MONTHS, iso, zone_of

YEAR = 2026  # of a line without one, where no line before has told
DATE = re.compile(
    r"(?:(\d{4})-(\d\d)-(\d\d)|(\d{1,2}) ([A-Za-z]+)(?: (\d{4})(?=\s))?)[T ]+"
    r"(\d\d:\d\d(?::\d\d(?:\.\d+)?)?(?:Z|[+-]\d\d:\d\d)?)\s+"
)
BARE = re.compile(r'[^\s"\[{=#][^\s"=]*')
KEY = re.compile(r"[\w-]+=")
JSON = json.JSONDecoder(strict=False)


class Line(msgspec.Struct, kw_only=True):
    """A line taken apart."""

    at: datetime
    zone: str
    word: str
    subject: str = ""
    texts: dict[str, str] = {}


def read_logbook(text: str, *, zone: str = "UTC", taste: Taste | None = None) -> list[Entry]:
    """The entries of a logbook, in the order of its lines.

    Raises
    ------
    BadInput
        All lines that can't be read, each named by its number.
    """
    reader = _LogReader(zone, taste or Taste())
    faults: list[BadInput] = []
    for number, line in _lines(text):
        try:
            reader.take(line)
        except (BadInput, msgspec.ValidationError) as fault:
            told = fault.faults if isinstance(fault, BadInputs) else (fault,)
            faults.extend(BadInput(f"line {number}", line, f"can't be read. {one}") for one in told)
    gathered(faults)
    return reader.entries


def room_of_text(text: str, *, zone: str = "UTC") -> Room:
    """The room that a logbook in plain text amounts to."""
    return replay(read_logbook(text, zone=zone))


def _lines(text: str) -> Iterator[tuple[int, str]]:
    """Lines with their numbers: no comments, no blank ones; key=value alone goes on with the last."""
    joined: list[tuple[int, str]] = []
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if KEY.match(line.strip()) and joined:
            first, body = joined.pop()
            joined.append((first, f"{body} {line.strip()}"))
        else:
            joined.append((number, line.strip()))
    return iter(joined)


class LogNames(Names):
    """Knows the tanks that the lines above have named. What is written like an id is one."""

    def __init__(self, tanks: dict[str, str]) -> None:
        self.tanks = tanks

    def resolve(self, what: str, word: str, field: str) -> str:
        """The id of a tank by its name, else as in every logbook."""
        if what == "tank" and word != slug(word):
            return self.tanks.get(word.casefold(), word)
        return super().resolve(what, word, field)


class _LogReader:
    """Reads line after line; remembers zone, year and which tank has which name."""

    def __init__(self, zone: str, taste: Taste) -> None:
        self.zone, self.year = zone, YEAR
        self.tanks: dict[str, str] = {}
        self.reader = Reader(taste=taste, names=LogNames(self.tanks), exact=True)
        self.entries: list[Entry] = []
        self.seen: dict[datetime, int] = {}

    def take(self, line: str) -> None:
        if line.startswith("zone "):
            self.zone = str(zone_of(line.removeprefix("zone ").strip()))
            return
        self.entries.append(self._entry(self._split(line), line))

    def _split(self, line: str) -> Line:
        m = DATE.match(line)
        if not m:
            raise BadInput(
                "date", line[:30], "is not a date. Begin like 1 March 2026 08:00 or 2026-03-01 08:00."
            )
        rest = line[m.end() :]
        word, _, rest = rest.partition(" ")
        subject, texts = tokens(rest)
        return Line(at=self._instant(m), zone=self.zone, word=word, subject=subject, texts=texts)

    def _instant(self, m: re.Match[str]) -> datetime:
        if m[1]:
            day = f"{m[1]}-{m[2]}-{m[3]}"
        else:
            self.year = int(m[6]) if m[6] else self.year
            number = next((i for i, name in enumerate(MONTHS, 1) if name.startswith(m[5].lower()[:3])), 0)
            day = f"{self.year:04d}-{number:02d}-{int(m[4]):02d}"
        return iso(f"{day}T{m[7]}", self.zone, "date").at

    def _entry(self, line: Line, text: str) -> Entry:
        made = form(line.word)
        texts = dict(line.texts)
        head = Head(
            id=texts.pop("id", "") or self._made_id(line.at, text),
            at=line.at,
            zone=line.zone,
            tank=self._tank(made, line, texts),
            who=texts.pop("who", ""),
            sure=texts.pop("sure", "sure"),
            note=texts.pop("note", ""),
        )
        implied = implied_by(made.entry, head.tank, line.subject, texts)
        entry = build(made, head, values(made, texts, self.reader, implied))
        if isinstance(entry, TankAdded):
            self.tanks[entry.thing.name.casefold()] = entry.thing.id
        return entry

    def _tank(self, made: Form, line: Line, texts: dict[str, str]) -> str:
        if "of" in texts:
            return texts.pop("of")
        if made.entry is TankAdded:
            return slug(line.subject)
        if made.entry is SupplyAdded:
            return ""
        return self.reader.names.resolve("tank", line.subject, "tank")

    def _made_id(self, at: datetime, text: str) -> str:
        """The same line at the same place always gets the same id; lines at one instant keep their order."""
        place = self.seen[at] = self.seen.get(at, -1) + 1
        return made_id(at, place, text)


def made_id(at: datetime, place: int, text: str) -> str:
    """A UUIDv7 made of an instant, a place among those of that instant, and a text."""
    ms = int(at.timestamp() * 1000) & (1 << 48) - 1
    rest = int.from_bytes(hashlib.blake2b(text.encode(), digest_size=8).digest()) & (1 << 62) - 1
    return str(UUID(int=ms << 80 | 7 << 76 | (place & 0xFFF) << 64 | 2 << 62 | rest))


def implied_by(kind: type[Entry], tank: str, subject: str, texts: dict[str, str]) -> dict[str, Any]:
    """What a line says without writing it: a tank's name, what a group in it is called."""
    if kind is TankAdded:
        return {"tank": tank, "name": subject}
    if kind is StockAdded:
        usual = called_after(texts.get("kind", ""))
        return {"in": tank, "name": usual, "stock": f"{tank}-{slug(texts.get('name') or usual)}"}
    if kind is SupplyAdded:
        called = texts.get("name") or subject
        return {"name": called, "supply": slug(called)}
    return {}


def called_after(kind: str) -> str:
    """What a group is called that was given no name."""
    return "not known" if not kind or is_unknown(kind) else kind.replace("_", " ")


def tokens(text: str) -> tuple[str, dict[str, str]]:
    """A line's subject and its key=value pairs. Raises BadInput where the line can't be read on."""
    subject, texts, at = "", {}, 0
    text = text.strip()
    while at < len(text):
        m = re.match(r"([\w-]+)=", text[at:])
        if m:
            value, at = _value(text, at + m.end())
            texts[m[1]] = value
        elif subject or texts:
            raise BadInput("line", text[at : at + 20], "is not key=value. Put values with blanks in quotes.")
        else:
            subject, at = _value(text, at)
        at += len(text[at:]) - len(text[at:].lstrip())
    return subject, texts


def _value(text: str, at: int) -> tuple[str, int]:
    if text[at : at + 1] in ('"', "[", "{"):
        try:
            found, end = JSON.raw_decode(text, at)
        except json.JSONDecodeError:
            raise BadInput("line", text[at : at + 20], "has a quote or bracket that is not closed.") from None
        return (found if isinstance(found, str) else text[at:end]), end
    end = at + len(re.match(r"\S*", text[at:])[0])  # type: ignore[index]
    return text[at:end], end


def write_logbook(entries: Iterable[Entry], *, ids: bool = True) -> str:
    """The entries as text that reads back the same. Without ids the lines get new ones."""
    lines, zone = [], ""
    for entry in entries:
        if entry.zone != zone:
            zone = entry.zone
            lines.append(f"zone {zone}")
        lines.append(write_line(entry, ids=ids))
    return "\n".join(lines) + "\n"


def write_line(entry: Entry, *, ids: bool = True) -> str:
    """One entry as a line."""
    subject, tank = _subject(entry)
    texts = texts_of(entry, _implied(entry, tank, subject))
    head = {"of": entry.tank} if tank != entry.tank else {}
    for key, usual in (("who", ""), ("sure", "sure"), ("note", "")):
        if getattr(entry, key) != usual:
            head[key] = getattr(entry, key)
    if ids:
        head["id"] = entry.id
    pairs = [f"{key}={quoted(value)}" for key, value in (texts | head).items()]
    start = f"{_told(entry)}  {form_of(entry).word:<8}"
    return "  ".join([start, *([quoted(subject)] if subject else []), " ".join(pairs)]).rstrip()


def _subject(entry: Entry) -> tuple[str, str]:
    """What stands after the word, and the tank that a reader takes it for."""
    if isinstance(entry, TankAdded):
        return entry.thing.name, slug(entry.thing.name)
    if isinstance(entry, SupplyAdded):
        return entry.thing.name, ""
    return entry.tank, entry.tank


def _implied(entry: Entry, tank: str, subject: str) -> dict[str, Any]:
    if isinstance(entry, StockAdded):
        texts = {"kind": entry.thing.kind, "name": entry.thing.name}
        return implied_by(StockAdded, entry.tank, "", texts)
    return implied_by(type(entry), entry.tank, subject, {})


def _told(entry: Entry) -> str:
    there = entry.at.astimezone(zone_of(entry.zone))
    clock = there.time().isoformat()
    clock = clock[:5] if clock.endswith(":00") and len(clock) == 8 else clock
    told = f"{there.day} {MONTHS[there.month - 1].capitalize()} {there.year:04d} {clock}"
    # An hour that comes twice is told with its offset.
    if iso(there.replace(tzinfo=None).isoformat(), entry.zone).at != entry.at:
        told += there.isoformat()[-6:]
    return told


def quoted(value: str) -> str:
    """A value as it can stand in a line."""
    if value[:1] in ("[", "{") and _is_json(value):
        return value
    return value if BARE.fullmatch(value) and value.isprintable() else json.dumps(value, ensure_ascii=False)


def _is_json(value: str) -> bool:
    try:
        return JSON.raw_decode(value)[1] == len(value)
    except json.JSONDecodeError:
        return False


__all__ = ["made_id", "read_logbook", "room_of_text", "tag", "write_line", "write_logbook"]
