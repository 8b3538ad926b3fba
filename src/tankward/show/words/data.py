"""Sentences about the keeper's data: copies, checks, what was carried in or out, the fault report."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Protocol

from tankward.room.time import local

from .acts import upper

# What lies in the folder, for whoever looks into it.
FOLDER = (
    ("logbook.db", "every entry, from the first"),
    ("photos", "the photos, each under a name made of what it holds"),
    ("copies", "copies of the logbook and its photos: one a day for 14 days, and one before anything large"),
    ("faults.log", "where the program went wrong, without names or notes"),
    ("form-secret", "keeps other sites from writing here"),
)


def entries_said(number: int) -> str:
    """One entry, or 1,204 entries."""
    return "one entry" if number == 1 else f"{number:,} entries"


def photos_said(number: int) -> str:
    """One photo, or 12 photos."""
    return "one photo" if number == 1 else f"{number:,} photos"


def _with_photos(entries: int, photos: int) -> str:
    return f"{entries_said(entries)} and {photos_said(photos)}" if photos else entries_said(entries)


def copied_says(where: str, number: int, photos: int = 0) -> str:
    beside = " Its photos lie in a folder beside it; they belong together." if photos else ""
    return f"Copied {_with_photos(number, photos)} to {where}. The copy was opened and replayed.{beside}"


def copy_head(name: str) -> str:
    """What a copy is, from its name."""
    if name.startswith("day-"):
        return "The day's copy"
    if name.startswith("before-restore"):
        return "From before another copy was put back"
    if name.startswith("before-"):
        return "From before the logbook got a newer form"
    return {"hand": "Copied by hand", "damaged": "Set aside because it was damaged"}.get(
        name.partition("-")[0], name
    )


def day_words(day: date) -> str:
    """14 May 2026."""
    return f"{day.day} {day:%B %Y}"


def made_words(at: datetime, zone: str) -> str:
    """14 May 2026, 18:00."""
    there = local(at, zone)
    return f"{day_words(there.date())}, {there:%H:%M}"


def put_back_says(name: str, number: int, kept: str, lacking: int = 0) -> str:
    """What a restore did, and where the logbook from before it lies."""
    told = f"Put back {name}: {entries_said(number)}."
    if lacking:
        what = "One of its photos is" if lacking == 1 else f"{lacking:,} of its photos are"
        told = f"{told} {what} not there any more."
    return f"{told} The logbook that was here is kept as {kept}." if kept else told


def copy_says(number: int, faults: Sequence[str]) -> str:
    """What a look into a copy found."""
    if faults:
        return f"This copy is not whole, so it can't be put back: {faults[0]}."
    return f"It holds {entries_said(number)}, each read and replayed."


class Looked(Protocol):
    """What a check found."""

    @property
    def faults(self) -> tuple[str, ...]: ...
    @property
    def ahead(self) -> int: ...
    @property
    def slow(self) -> bool: ...
    @property
    def read_only(self) -> str: ...


SLOW = (
    "Forecasts take about ten times as long here as elsewhere: numba, which makes them quick, has no build "
    "for this machine or is not installed. What they say is the same."
)


def check_says(looked: Looked, number: int, copies: int, photos: int = 0) -> str:
    """Whole, or what is not."""
    if looked.faults:
        return f"Not whole: {looked.faults[0]}."
    seen = f" {upper(photos_said(photos))}, each as it was kept." if photos else ""
    told = f"The logbook is whole: {entries_said(number)}, each read and replayed.{seen}"
    return f"{told} {_copies_said(copies)}"


def _copies_said(number: int) -> str:
    if not number:
        return "There is no copy yet."
    return "Its copy is whole too." if number == 1 else f"So are its {number} copies."


def check_cautions(looked: Looked) -> list[str]:
    """What is no damage and still worth knowing."""
    told = []
    if looked.ahead:
        which = "One entry is" if looked.ahead == 1 else f"{looked.ahead:,} entries are"
        told.append(f"{which} dated after now: this machine's clock is or was wrong. Set it right first.")
    if looked.slow:
        told.append(SLOW)
    return [*told, looked.read_only] if looked.read_only else told


def exported_says(where: str, number: int, photos: int = 0, lacking: int = 0) -> str:
    told = f"Wrote {_with_photos(number, photos)} to {where}."
    if not lacking:
        return told
    what = "One photo is" if lacking == 1 else f"{lacking:,} photos are"
    return f"{told} {what} missing or damaged here, so not in it."


def brought_says(new: int, known: int, photos: int = 0) -> str:
    """How many came in, how many were here."""
    if not new:
        return f"Nothing new: {_all_here(known)}."
    here = f" {known:,} {'was' if known == 1 else 'were'} here already." if known else ""
    return f"Took in {_with_photos(new, photos)}.{here}"


def strange_says(names: Sequence[str]) -> list[str]:
    """Names that came in and that no fact is about."""
    if not names:
        return []
    few = ", ".join(names[:8]) + (f" and {len(names) - 8} more" if len(names) > 8 else "")
    kept = "It was kept as written, and nothing counts as safe for it."
    return [f"No fact is about {few}. {kept}"]


def _all_here(known: int) -> str:
    if not known:
        return "it holds no entries"
    return "its one entry was here already" if known == 1 else f"all {known:,} were here already"


class Report(Protocol):
    """What a fault report holds."""

    @property
    def program(self) -> str: ...
    @property
    def facts(self) -> str: ...
    @property
    def python(self) -> str: ...
    @property
    def system(self) -> str: ...
    @property
    def sqlite(self) -> str: ...
    @property
    def entries(self) -> int: ...
    @property
    def whole(self) -> bool: ...
    @property
    def faults(self) -> tuple[str, ...]: ...


def report_lines(report: Report) -> list[str]:
    """The fault report, exactly as it is saved."""
    return [
        f"Tankward {report.program}",
        f"facts {report.facts}",
        f"Python {report.python}",
        f"system {report.system}",
        f"SQLite {report.sqlite}",
        f"logbook {entries_said(report.entries)}, {'whole' if report.whole else 'not whole'}",
        *_fault_lines(report.faults),
    ]


def _fault_lines(faults: Sequence[str]) -> list[str]:
    return ["faults", *faults] if faults else ["no faults on file"]
