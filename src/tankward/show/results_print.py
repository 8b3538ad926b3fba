"""What printing answers: the files that were written."""

from __future__ import annotations

import msgspec

from .results import Result


class SheetRow(msgspec.Struct, frozen=True, kw_only=True):
    """One file."""

    path: str
    paper: str
    pages: int
    source: str
    status: str


class PrintResult(Result, frozen=True, kw_only=True):
    """Sheets printed."""

    tank: str
    sheets: list[SheetRow]
