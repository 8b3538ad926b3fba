"""Load the facts: from their files, or from the copy kept of the last load."""

from __future__ import annotations

import functools
import threading
from collections.abc import Iterator
from pathlib import Path

from tankward import __version__
from tankward.knowledge import cache
from tankward.knowledge.checking import faults
from tankward.knowledge.documents import FactFault, read_all
from tankward.knowledge.known import Facts
from tankward.knowledge.merge import digest, merged

FOLDER = Path(__file__).parent / "facts"
_loading = threading.Lock()  # decoders that two threads make at once crash the process


def load(path: Path | None = None) -> Facts:
    """All facts, checked. A fault stops the load with a FactFault that says where it is.

    Loaded once a process for the product's own facts, and from a kept copy while no file has changed.
    """
    if path is not None:
        return _load(path)
    with _loading:
        return _own()


def all_faults(path: Path | None = None) -> Iterator[FactFault]:
    """Every fault of the facts, for a check that does not stop at the first."""
    folder = path or FOLDER
    try:
        documents = read_all(folder)
        facts = merged(documents, __version__, digest(folder))
    except FactFault as fault:
        yield fault
        return
    yield from faults(documents, facts)


@functools.cache
def _own() -> Facts:
    return _load(FOLDER)


def _load(folder: Path) -> Facts:
    stamp = cache.stamp(folder, __version__)
    kept = cache.get(stamp)
    if kept is not None:
        return kept
    facts = _read(folder)
    cache.put(stamp, facts)
    return facts


def _read(folder: Path) -> Facts:
    documents = read_all(folder)
    facts = merged(documents, __version__, digest(folder))
    for fault in faults(documents, facts):
        raise fault
    return facts
