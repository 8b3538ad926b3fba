"""Results about the keeper's data, whole."""

from __future__ import annotations

import msgspec

from .results import Result


class Number(msgspec.Struct, frozen=True, kw_only=True):
    """How many, by counting."""

    value: int
    unit: str = "entries"
    source: str = "none"
    status: str = "computed"


class CopyRow(msgspec.Struct, frozen=True, kw_only=True):
    """A copy of the logbook."""

    name: str
    file: str
    made: str
    says: str
    entries: Number | None = None  # None: it was not looked into
    fault: str = ""


class BackedUp(Result, frozen=True, kw_only=True):
    """A copy was made and verified."""

    file: str
    entries: Number
    digest: str


class CopyList(Result, frozen=True, kw_only=True):
    """The copies that can be put back."""

    copies: list[CopyRow]


class Restored(Result, frozen=True, kw_only=True):
    """A copy was put back."""

    copy: str
    kept: str  # where the logbook from before lies; "" if there was none
    entries: Number
    digest: str


class CheckedResult(Result, frozen=True, kw_only=True):
    """What a look at the logbook and its copies found."""

    whole: bool
    entries: Number
    digest: str
    faults: list[str]
    copies: list[CopyRow]

    @property
    def failed(self) -> bool:
        return not self.whole


class Exported(Result, frozen=True, kw_only=True):
    """Everything was written into a file."""

    file: str
    entries: Number
    sha256: str = ""  # of the entries; "" for plain text


class Imported(Result, frozen=True, kw_only=True):
    """A file was taken in, all of it."""

    new: Number
    known: Number
    photos: Number


class FaultReportResult(Result, frozen=True, kw_only=True):
    """A fault report: what it holds, and where it was saved."""

    holds: list[str]
    file: str  # "" if it was only shown
