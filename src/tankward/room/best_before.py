"""The date on a packet: "2027-03", "March 2027", "31 Mar 2027". A month counts to its last day."""

from __future__ import annotations

import calendar
import re
from datetime import date

from tankward.quantities.faults import BadInput

from .time import MONTHS

ACCEPTED = "is not a date as packets have it. Write 2027-03, March 2027 or 31 March 2027."


def last_good(text: str) -> date | None:
    """The last day on which it is good; None where the words tell no day."""
    found = _parts(text)
    if found is None:
        return None
    year, month, day = found
    try:
        return date(year, month, day or calendar.monthrange(year, month)[1])
    except (ValueError, calendar.IllegalMonthError):
        return None


def as_printed(text: str, field: str) -> str:
    """The date as it is kept: 2027-03 or 2027-03-31; nothing stays nothing.

    Raises
    ------
    BadInput
        If it is no date, or could be two.
    """
    if not text.strip():
        return ""
    found = _parts(text)
    if found is None or last_good(text) is None:
        raise BadInput(field, text, ACCEPTED)
    year, month, day = found
    return f"{year:04d}-{month:02d}" + (f"-{day:02d}" if day else "")


def _parts(text: str) -> tuple[int, int, int] | None:
    plain = " ".join(re.sub(r"[,.]", " ", text.lower()).split())
    if m := re.fullmatch(r"(\d{4})[-/ ](\d{1,2})(?:[-/ ](\d{1,2}))?", plain):
        return int(m[1]), int(m[2]), int(m[3] or 0)
    if m := re.fullmatch(r"(\d{1,2})[-/ ](\d{4})", plain):
        return int(m[2]), int(m[1]), 0
    if m := re.fullmatch(r"(?:(\d{1,2}) )?([a-z]{3,}) (\d{4})", plain):
        month = next((n for n, name in enumerate(MONTHS, 1) if name.startswith(m[2])), 0)
        return (int(m[3]), month, int(m[1] or 0)) if month else None
    if m := re.fullmatch(r"(\d{1,2})[-/ ](\d{1,2})[-/ ](\d{4})", plain):
        # 13/03/2027 can be read in one way only; 04/03/2027 in two.
        first, second, year = int(m[1]), int(m[2]), int(m[3])
        if first > 12 >= second:
            return year, second, first
        if second > 12 >= first:
            return year, first, second
    return None
