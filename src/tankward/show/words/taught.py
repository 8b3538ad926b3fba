"""What the counts of the looks changed, in plain words, and which of them do not fit."""

from __future__ import annotations

from datetime import datetime

from tankward.knowledge.known import Facts
from tankward.model.counts import Deaths, OnFish
from tankward.model.learned import Explained
from tankward.model.result import GoneBy, Outlook, Taught
from tankward.quantities.parse import Estimate

from .acts import upper
from .days import day_said
from .outlook import germ_name, percent
from .signs import sign_words
from .today import number_word

SURE = 0.8  # chance from which it grows faster, or more slowly, than is usual [our own choice]
WITHIN_D = 14.0  # the chance that it is gone is told for a day no further off
STILL = 0.05  # a chance that moves by less stays as it was
FEW = 20.0  # draws: with fewer the range is rough [our own choice]
NOT_TOGETHER = "The counts do not fit together, so they count for less."
ROUGH = "Few courses of it fit what was seen: take these figures as rough."
TOO_MANY_DEAD = "Something else may be killing too, or it is worse than the fish show."
TOO_MANY = "Something else may make it too, or it came earlier than was seen."
TOO_FEW = "It may be something else, or the look missed some."


def taught_says(o: Outlook, now: datetime, zone: str, facts: Facts) -> list[str]:
    """What the looks changed; nothing where none told anything."""
    if o.taught is None:
        return []
    told = [f"{_looks(o.taught)}: {growth_says(o.taught)}{_gone(o)}."]
    told += [off_says(e, o, now, zone, facts) for e in o.taught.explained if e.off]
    if o.taught.power < 1.0 and not o.taught.fits:
        told.append(NOT_TOGETHER)
    elif o.taught.power < 1.0 or o.taught.effective_draws < FEW:
        told.append(ROUGH)
    return told


def _looks(t: Taught) -> str:
    """ "Your three counts"; looks without a number are looks."""
    looks = [e.told for e in t.explained if not isinstance(e.told, Deaths)]
    counted = [look for look in looks if look.counted]
    number, what = (len(counted), "count") if counted else (len(looks), "look")
    return f"Your {what}" if number == 1 else f"Your {number_word(number)} {what}s"


def growth_says(t: Taught) -> str:
    """Whether it grows, and how that stands to what is usual in such a tank."""
    if t.slower >= SURE:
        return _of(t.growth, "it grows more slowly than is usual", "it goes down faster than is usual")
    if t.slower <= 1.0 - SURE:
        return _of(t.growth, "it grows faster than is usual", "it goes down more slowly than is usual")
    if t.growth.low < 0.0 < t.growth.high:
        return "whether it grows they can't tell yet"
    return _of(t.growth, "it grows as fast as is usual", "it goes down as is usual")


def _of(growth: Estimate, grows: str, falls: str) -> str:
    return grows if growth.value >= 0.0 else falls


def _gone(o: Outlook) -> str:
    """The chance that it is gone by a day, before and with them."""
    if not o.chances or o.taught is None or not o.taught.gone_before:
        return ""
    at = max((n for n, c in enumerate(o.chances) if c.days <= WITHIN_D + 0.5), default=0)
    now, before = o.chances[at], o.taught.gone_before[at]
    what = "no fish ill" if o.holds == "never-gone" else "gone"
    days = f"{now.days:.0f} days" if round(now.days) != 1 else "a day"
    head = f"; {what} in {days}: "
    if _stays(before, now):
        return f"{head}{percent(now.low, now.high)}, as without them"
    return f"{head}{percent(now.low, now.high)}, without them {percent(before.low, before.high)}"


def _stays(before: GoneBy, now: GoneBy) -> bool:
    ends = ((before.low, now.low), (before.value, now.value), (before.high, now.high))
    return all(abs(a - b) < STILL for a, b in ends) or percent(before.low, before.high) == percent(
        now.low, now.high
    )


def off_says(e: Explained, o: Outlook, now: datetime, zone: str, facts: Facts) -> str:
    """A count that this does not explain."""
    name, told = germ_name(o.organism, o.cause, facts), e.told
    if isinstance(told, Deaths):
        dead = f"{upper(number_word(told.number))} dead since {day_said(told.since, now, zone)}"
        return f"{dead}: {e.off} than {name} explains. {TOO_MANY_DEAD if e.off == 'more' else TOO_FEW}"
    day, sign = upper(day_said(told.at, now, zone)), sign_words(told.sign, facts)
    if isinstance(told, OnFish):
        what = f"{told.number} of “{sign}” on {told.of} fish"
    else:
        what = f"{_number(told.low, told.high, told.of)} with “{sign}”"
    return f"{day}, {what}: {e.off} than {name} explains. {TOO_MANY if e.off == 'more' else TOO_FEW}"


def _number(low: int, high: int, of: int) -> str:
    if low == high:
        return f"{low} of {of} fish" if low else f"none of {of} fish"
    return f"some of {of} fish"
