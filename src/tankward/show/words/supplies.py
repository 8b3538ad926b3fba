"""What a course takes of the shelf, in words: how many, whether they are there, what it costs."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.treat.supplies import Need

from .shelf import money, unit_words


def takes(need: Need) -> str:
    """ "3 sachets of worm powder"; "21.7 g of cooking salt"."""
    return f"{unit_words(round(need.units, 3), need.unit)} of {need.name}"


def need_line(need: Need) -> str:
    """How many it takes, how many are left, what that costs."""
    left = (
        "how many are left was not counted" if need.left is None else f"{_count(need.left, need.unit)} left"
    )
    cost = "its price is not known" if need.cost is None else f"costs {money(need.cost)}, as you paid"
    return f"Takes {takes(need)}; {left}; {cost}."


def short_line(need: Need) -> str:
    """Not enough; "" where it is, or nobody counted."""
    if need.enough is not False or need.left is None:
        return ""
    return (
        f"{_count(need.left, need.unit, first=True)} of {need.name} left, and it takes "
        f"{unit_words(round(need.units, 3), need.unit)}: get {unit_words(round(need.short, 3), need.unit)} "
        "more before you begin, or it will have to stop half way."
    )


def short_of_rest(need: Need, tank: str) -> str:
    """The same of a course that runs."""
    left = "none" if not need.left else unit_words(round(need.left, 3), need.unit)
    rest = unit_words(round(need.units, 3), need.unit)
    return (
        f"The course in {tank} still takes {rest} of {need.name}, and {left} {_verb(need.left)} there for it."
    )


def cost_line(needs: Sequence[Need]) -> str:
    """What was given of a course and what that cost; "" where nothing came from a packet."""
    if not needs:
        return ""
    priced = [n for n in needs if n.cost is not None]
    told = ", ".join(takes(n) for n in needs)
    if not priced:
        return f"Given: {told}. What it cost is not known."
    least = "" if len(priced) == len(needs) else "at least "
    return f"Given: {told}. It cost {least}{money(sum(n.cost or 0.0 for n in priced))}, as you paid."


def _count(left: float, unit: str, *, first: bool = False) -> str:
    if left == 0:
        return "None" if first else "none"
    said = unit_words(round(left, 3), unit)
    return f"Only {said}" if first else said


def _verb(left: float | None) -> str:
    return "is" if left is not None and left <= 1 else "are"
