"""A remedy without medicine as a course: its heading and the number of its page."""

from __future__ import annotations

from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, shown
from tankward.treat.course.chance_of import Chances, PartGone
from tankward.treat.course.records import Course, Without

from .acts import part_words, upper
from .chance import chance_words
from .measured import Amount
from .outlook import germ_name, percent


def without_head(laid: Without, course: Course) -> tuple[str, Amount | None]:
    """What is done, up to the number of the page; the number, and what it is of."""
    days = f"{plain_number(laid.days)} {'day' if laid.days == 1 else 'days'}"
    if laid.tub_l:
        return "all fish out of the tank for", _amount(days, _tubs(laid))
    if laid.change_share and course.volume_l is not None:
        litres = shown(course.volume_l.value * laid.change_share, "L")
        of = f"of water, {part_words(laid.change_share)}"
        return f"siphon the floor every day for {days}, and change", _amount(litres, of)
    return "count them, and count again in", _amount(days, "")


def _amount(said: str, of: str) -> Amount:
    number, _, unit = said.partition(" ")
    return Amount(number=number, unit=unit, short=said, of=of)


def _tubs(laid: Without) -> str:
    litres = shown(laid.tub_l, "L")
    if not laid.moves:
        return f"in a tub of {litres}"
    moved = f"moved every {plain_number(laid.every_h)} hours for {plain_number(laid.move_days)} days"
    return f"in two tubs of {litres}, {moved}"


PLACES = {"tank": "in the tank while these are out of it", "tub": "on the fish in the tub"}


def parts_said(found: Chances, facts: Facts) -> list[tuple[PartGone, str]]:
    """Of a course with a tub, of each of the two waters, what the chance is of."""
    causes = {o.organism: o.cause for o in found.cleared}
    return [
        (p, f"{germ_name(p.organism, causes[p.organism], facts)} gone {PLACES[p.where]}")
        for p in found.parts
        if p.organism in causes
    ]


def parts_lines(found: Chances, facts: Facts) -> list[str]:
    """How likely it is gone from each of the two, so that the weaker one is seen."""
    return [
        f"{upper(said)}: {chance_words(p.low, p.high, p.value)} ({percent(p.low, p.high)})."
        for p, said in parts_said(found, facts)
    ]
