"""What a course takes of the shelf, in words: how many, whether they are there, what it costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tankward.room.replay import Room
from tankward.room.treated import treated
from tankward.treat.supplies import Need, of_steps, short, still_to_give

from .acts import upper
from .shelf import Row, money, unit_words


def takes(need: Need) -> str:
    """ "3 sachets of worm powder"; "21.7 g of cooking salt"."""
    return f"{unit_words(round(need.units, 3), need.unit)} of {need.name}"


def need_line(need: Need) -> str:
    """How many it takes, how many are left, what that costs."""
    return f"Takes {takes(need)}; {_there(need)}; {_price(need)}."


def taken_lines(needs: Sequence[Need]) -> list[tuple[str, bool]]:
    """What a course takes of each packet and what that costs; then what is missing."""
    rows = [(need_line(n), False) for n in needs]
    return [*rows, *((line, True) for n in needs if (line := short_line(n)))]


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
    left = _left(need)
    rest = unit_words(round(need.units, 3), need.unit)
    return (
        f"The course in {tank} still takes {rest} of {need.name}, and {left} {_verb(need.left)} there for it."
    )


def rest_lines(needs: Sequence[Need], lacks: Mapping[str, Need]) -> list[tuple[str, bool]]:
    """What the rest of a running course takes of each packet; and whether it is not there."""
    rows = []
    for need in needs:
        lack = lacks.get(need.supply)
        if lack is not None:
            rows.append(
                (f"The rest takes {takes(need)}: {_left(lack)} {_verb(lack.left)} there for it.", True)
            )
        else:
            rows.append((f"The rest takes {takes(need)}; {_there(need)}; {_price(need)}.", False))
    return rows


def course_rows(room: Room, supply: str) -> list[Row]:
    """What running courses still take of a packet, and whether that is there."""
    lacks = {tank: need for tank, need in short(room) if need.supply == supply}
    rows = []
    for tank in room.courses:
        found = treated(room, tank) if tank in room.tanks else ()
        for need in of_steps(still_to_give(found[-1]), room.shelf) if found else ():
            if need.supply != supply:
                continue
            name = room.tanks[tank].name
            head = f"The course in {name} takes {unit_words(round(need.units, 3), need.unit)} more"
            lack = lacks.get(tank)
            soft = "" if lack is None else f"{upper(_left(lack))} {_verb(lack.left)} there for it."
            rows.append(Row(margin="Planned", head=head, soft=soft, mark="caution" if lack else ""))
    return rows


def _left(need: Need) -> str:
    return "none" if not need.left else unit_words(round(need.left, 3), need.unit)


def _there(need: Need) -> str:
    there = "" if need.left is None else f"{_count(need.left, need.unit)} left"
    return there or "how many are left was not counted"


def _price(need: Need) -> str:
    return "its price is not known" if need.cost is None else f"costs {money(need.cost)}, as you paid"


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
