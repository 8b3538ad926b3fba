"""What every record has: unknown fields refused, nothing changes, and where a figure comes from."""

from __future__ import annotations

from typing import Literal

import msgspec

Status = Literal["published-read", "common-practice", "memory", "computed"]
"""published-read: the figure was seen in the text named. common-practice: a rule of the trade, no source.
computed: arithmetic on such figures. memory: recalled, to be verified; shown as unsure."""

Pair = tuple[float, float]

NO_SOURCE = "none"
NOBODY_MEASURED: frozenset[str] = frozenset({"memory", "common-practice", "computed"})


class Record(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True, gc=False
):
    """A record of the facts. A field the program does not know is a slip of the pen and stops the load."""


class Row(Record, frozen=True, kw_only=True):
    """One thing known, and from where. `source`: keys with spaces between, or "none"."""

    source: str
    status: Status
    where: str = ""
    note: str = ""

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of its sources; empty when it has none."""
        return tuple(k for k in self.source.split() if k != NO_SOURCE)


class Figure(Row, frozen=True, kw_only=True):
    """A number, a range or a text with its unit. Missing is None, never zero."""

    value: float | None = None
    low: float | None = None
    high: float | None = None
    text: str = ""
    unit: str = ""
    basis: str = ""  # what the unit counts: "as Cu", "copper sulfate pentahydrate", "TL"

    @property
    def span(self) -> tuple[float, float] | None:
        """Low and high; a single value counts as both; None when there is no number."""
        if self.low is not None and self.high is not None:
            return self.low, self.high
        return None if self.value is None else (self.value, self.value)


class Drawn(Row, frozen=True, kw_only=True):
    """A figure the model draws: low and high are its 5th and 95th centile."""

    low: float
    high: float
    unit: str
    basis: str = ""


class Statement(Row, frozen=True, kw_only=True):
    """A sentence of the reference in its own words."""

    id: str = ""
    statement: str = ""


class Source(Record, frozen=True, kw_only=True):
    """A text, and how much of it was read."""

    title: str
    read: str
    authors: str = ""
    year: int | None = None
    year_note: str = ""
    publisher: str = ""
    url: str = ""
    note: str = ""
