"""A remedy without medicine as a course: its heading and the number of its page."""

from __future__ import annotations

from tankward.quantities.digits import plain_number, shown
from tankward.treat.course.records import Course, Without

from .acts import part_words
from .measured import Amount


def without_head(laid: Without, course: Course) -> tuple[str, Amount | None]:
    """What is done, in one line, and what it takes."""
    days = f"{plain_number(laid.days)} {'day' if laid.days == 1 else 'days'}"
    if laid.tub_l:
        return f"all fish out, the tank without fish for {days}", _tub(laid)
    if laid.change_share and course.volume_l is not None:
        litres = shown(course.volume_l.value * laid.change_share, "L")
        number, _, unit = litres.partition(" ")
        of = f"new water every day for {days}"
        return f"siphon the floor, change {part_words(laid.change_share)} of the water", Amount(
            number=number, unit=unit, short=litres, of=of
        )
    number, _, unit = days.partition(" ")
    return "count them, wait and count again", Amount(number=number, unit=unit, short=days, of="to wait")


def _tub(laid: Without) -> Amount:
    litres = shown(laid.tub_l, "L")
    number, _, unit = litres.partition(" ")
    if not laid.moves:
        return Amount(number=number, unit=unit, short=litres, of="of tub for them")
    moved = f"moved every {plain_number(laid.every_h)} hours for {plain_number(laid.move_days)} days"
    of = f"in each of two tubs, {moved}"
    return Amount(number=number, unit=unit, short=litres, of=of)
