"""An entry as one line of JSON, and back; lines of an older program are brought up to date on the way."""

from __future__ import annotations

import functools
import importlib
import pkgutil
import threading
from typing import Any, Union

import msgspec

from . import entries
from .entries.base import Entry, current_version, tag


class Unreadable(ValueError):
    """A line that this program can't read: a newer one wrote it, or it is damaged."""


@functools.cache
def _load_families() -> None:
    for module in pkgutil.iter_modules(entries.__path__):
        importlib.import_module(f"{entries.__name__}.{module.name}")


def kinds() -> dict[str, type[Entry]]:
    """Every kind of entry by its tag. A new file in `entries/` is found by itself."""
    _load_families()
    return dict(_tagged(tuple(Entry.__subclasses__())))


@functools.lru_cache(maxsize=4)
def _tagged(known: tuple[type[Entry], ...]) -> dict[str, type[Entry]]:
    return {tag(kind): kind for kind in known}


# A decoder that one thread is still making lets another crash the process: made once, by one at a time.
_making = threading.Lock()


@functools.lru_cache(maxsize=4)
def _made(known: tuple[type[Entry], ...]) -> msgspec.json.Decoder[Entry]:
    return msgspec.json.Decoder(Union[known])  # noqa: UP007


def _decoder(known: tuple[type[Entry], ...]) -> msgspec.json.Decoder[Entry]:
    with _making:
        return _made(known)


def encode(entry: Entry) -> str:
    """The entry as a line."""
    return msgspec.json.encode(entry).decode()


def decode(line: str | bytes) -> Entry:
    """The entry that a line holds.

    Raises
    ------
    Unreadable
        Saying whether a newer program wrote it or what is wrong with it.
    """
    known = kinds()
    try:
        entry = _decoder(tuple(known.values())).decode(line)
    except msgspec.DecodeError:
        return _decode_old(line, known)
    if entry.version == current_version(type(entry)):
        return entry
    return _decode_old(line, known)


def _decode_old(line: str | bytes, known: dict[str, type[Entry]]) -> Entry:
    try:
        raw: dict[str, Any] = msgspec.json.decode(line, type=dict[str, Any])
        kind = known.get(str(raw.get("kind")))
        if kind is None:
            raise Unreadable(f'an entry of the kind "{raw.get("kind")}" is not known to this program')
        return msgspec.convert(upgraded(raw, kind), kind)
    except msgspec.DecodeError as fault:
        raise Unreadable(f"an entry can't be read: {fault}") from None


def upgraded(raw: dict[str, Any], kind: type[Entry]) -> dict[str, Any]:
    """A decoded line brought to the version that this program writes.

    Raises
    ------
    Unreadable
        If a newer program wrote it.
    """
    version, newest = int(raw.get("version", 1)), current_version(kind)
    if version > newest:
        raise Unreadable(f'an entry of the kind "{tag(kind)}" was written by a newer program')
    while version < newest:
        raw = kind.UPGRADES[version](raw) | {"version": version + 1}
        version += 1
    return raw
