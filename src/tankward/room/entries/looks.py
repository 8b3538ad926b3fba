"""Looks: what was seen, looked for and absent, and not known."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated as A
from typing import Any, ClassVar

from .base import Entry, as_it_was
from .base import Question as Ask

MOST_BEATS = 600  # ten a second: nobody counts more


class Look(Entry, frozen=True, tag="look"):
    """The animals looked at. A sign in none of the three lists was not looked for."""

    UPGRADES: ClassVar[dict[int, Callable[[dict[str, Any]], dict[str, Any]]]] = {1: as_it_was}

    version: int = 2
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
    # germ -> how many in one low-power field; 0: looked for and not found
    in_field: A[
        dict[str, float], Ask("Under the microscope, how many in one field? Like costia 12", "germ_numbers")
    ] = {}
    sample: A[
        str,
        Ask("What was under it?", choices=("skin", "fin", "gills", "lesion", "faeces", "gut", "muscle")),
    ] = ""
    onset: A[str, Ask("How fast did it come?", choices=("hours", "days", "weeks"))] = ""
    share: A[str, Ask("How many have it?", choices=("one", "some", "most"))] = ""
    stock: A[str, Ask("Which animals? Nothing: all.", "stock")] = ""
    belly: A[int | None, Ask("Worst belly, 1 hollow to 5 round?", "number", at_least=1, at_most=5)] = None
    # Of the one that breathes worst, and of one that looks well, of the same kind where there is one.
    gill_beats_per_min: A[
        float | None, Ask("Gill beats a minute, the worst?", "number", at_least=0, at_most=MOST_BEATS)
    ] = None
    gill_beats_well_per_min: A[
        float | None, Ask("Gill beats a minute, a well one?", "number", at_least=0, at_most=MOST_BEATS)
    ] = None
    eating: A[str, Ask("Are they eating?", choices=("yes", "less", "no"))] = ""
    well: A[bool | None, Ask("All well?", "yes")] = None
    # context id -> days ago; None: when is not known
    history: A[
        dict[str, float | None], Ask("What happened before? Like new fish 10 days ago", "history")
    ] = {}
