"""Looks: what was seen, looked for and absent, and not known."""

from __future__ import annotations

from .base import Entry


class Look(Entry, frozen=True, tag="look"):
    """The animals looked at. A sign in none of the three lists was not looked for."""

    seen: tuple[str, ...] = ()
    absent: tuple[str, ...] = ()
    unsure: tuple[str, ...] = ()
    counts: dict[str, float] = {}  # sign -> fish that show it
    looked_at: float | None = None  # how many fish were looked at
    onset: str = ""  # hours, days, weeks, "" = not known
    share: str = ""  # one, some, most, "" = not known
    stock: str = ""  # which group; "" = all
    belly: int | None = None  # worst belly score 1-5
    eating: str = ""  # yes, less, no
    well: bool | None = None  # "all well", one touch
    history: dict[str, float | None] = {}  # context id -> days ago (None: when is not known)
