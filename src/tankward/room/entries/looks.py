"""Looks: what was seen, looked for and absent, and not known."""

from __future__ import annotations

from typing import Annotated as A

from .base import Entry
from .base import Question as Ask


class Look(Entry, frozen=True, tag="look"):
    """The animals looked at. A sign in none of the three lists was not looked for."""

    seen: A[tuple[str, ...], Ask("What did you see?", "signs")] = ()
    absent: A[tuple[str, ...], Ask("What did you look for and not find?", "signs", key="not-seen")] = ()
    unsure: A[tuple[str, ...], Ask("What do you not know?", "signs")] = ()
    # sign -> fish that show it
    counts: A[dict[str, float], Ask("How many show it? Like white_spots 3", "sign_numbers")] = {}
    looked_at: A[float | None, Ask("How many did you look at?", "number", at_least=1)] = None
    # sign -> parasites on the fish looked at, or in scrapes of them, all together
    parasites: A[
        dict[str, float], Ask("How many parasites on them in all? Like white_spots 14", "sign_numbers")
    ] = {}
    onset: A[str, Ask("How fast did it come?", choices=("hours", "days", "weeks"))] = ""
    share: A[str, Ask("How many have it?", choices=("one", "some", "most"))] = ""
    stock: A[str, Ask("Which animals? Nothing: all.", "stock")] = ""
    belly: A[int | None, Ask("Worst belly, 1 hollow to 5 round?", "number", at_least=1, at_most=5)] = None
    eating: A[str, Ask("Are they eating?", choices=("yes", "less", "no"))] = ""
    well: A[bool | None, Ask("All well?", "yes")] = None
    # context id -> days ago; None: when is not known
    history: A[
        dict[str, float | None], Ask("What happened before? Like new fish 10 days ago", "history")
    ] = {}
