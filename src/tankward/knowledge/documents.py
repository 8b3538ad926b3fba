"""Files of facts into records, one by one, so that a fault can name its file, table, row and field."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any, TypeVar

import msgspec

from tankward.knowledge.records.animal import Animal, Bacterium, Group, Plant
from tankward.knowledge.records.base import Record, Source
from tankward.knowledge.records.cause import Cause, Sign
from tankward.knowledge.records.feeding import Feed, Feeding
from tankward.knowledge.records.keeping import Hygiene
from tankward.knowledge.records.notes import Tables
from tankward.knowledge.records.organism import Organism
from tankward.knowledge.records.remedy import Remedy
from tankward.knowledge.records.substance import Substance
from tankward.knowledge.records.water import Water

THINGS: dict[str, type[Record]] = {
    "substances": Substance,
    "organisms": Organism,
    "causes": Cause,
    "signs": Sign,
    "animals": Animal,
    "plants": Plant,
    "bacteria": Bacterium,
    "groups": Group,
    "feeds": Feed,
    "remedies": Remedy,
}
"""Folders in which a file is a thing, named by its id."""

TOPICS: dict[str, type[Record]] = {"hygiene": Hygiene, "feeding": Feeding, "water": Water}
"""Folders whose files hold rows of the same tables; every other folder holds rows of Tables."""


R = TypeVar("R", bound=Record)


class FactFault(Exception):
    """A file of facts that can't be used: which file, which row, what is wrong."""

    def __init__(self, file: str, at: str, wrong: str) -> None:
        self.file, self.at, self.wrong = file, at, wrong
        super().__init__(f"{file}: {at}: {wrong}" if at else f"{file}: {wrong}")


class Document(Record, frozen=True, kw_only=True):
    """One file, read."""

    name: str  # with its folder: "substances/copper.toml"
    record: Record
    sources: dict[str, Source]

    @property
    def folder(self) -> str:
        """The folder it stands in."""
        return self.name.split("/")[0]


def read(file: Path, name: str) -> Document:
    """Read one file. Any file may bring its own [sources.KEY]."""
    try:
        raw = tomllib.loads(file.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as wrong:
        raise FactFault(name, "", f"is not TOML ({wrong})") from wrong
    sources = _sources(name, raw.pop("sources", {}))
    folder = name.split("/")[0]
    record = _record(name, raw, THINGS.get(folder) or TOPICS.get(folder) or Tables)
    if folder in THINGS and getattr(record, "id", "") != file.stem:
        raise FactFault(name, "id", "must be the name of the file")
    return Document(name=name, record=record, sources=sources)


def read_all(folder: Path) -> tuple[Document, ...]:
    """Every file of the facts, by name."""
    files = sorted(folder.rglob("*.toml"))
    if not files:
        raise FactFault(str(folder), "", "holds no facts")
    return tuple(read(file, file.relative_to(folder).as_posix()) for file in files)


def _sources(name: str, raw: dict[str, Any]) -> dict[str, Source]:
    return {key: _record(name, row, Source, f"sources.{key}") for key, row in raw.items()}


def _record(name: str, raw: object, kind: type[R], within: str = "") -> R:
    try:
        return msgspec.convert(raw, kind, strict=True)
    except msgspec.ValidationError as wrong:
        at, what = _place(str(wrong))
        raise FactFault(name, ": ".join(x for x in (within, at) if x), what) from wrong


def _place(message: str) -> tuple[str, str]:
    """("regimen row 4, low", "expected a number...") from the message with its path "$.regimen[3].low"."""
    what, _, path = message.partition(" - at `$")
    path = re.sub(r"\[(\d+)\]", lambda m: f" row {int(m[1]) + 1}", path.rstrip("`"))
    return path.lstrip(".").replace(".", ", "), what[:1].lower() + what[1:]
