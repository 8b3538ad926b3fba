"""Touches of the round as entries. One touch has one id, made where it was touched: a resend is harmless."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from itertools import count
from uuid import UUID

import msgspec

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import is_unknown
from tankward.room.entries.base import Entry
from tankward.room.time import moment, not_future
from tankward.rounds.heads import missing

from .border import Border
from .folder import new_id

ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
LONGEST = timedelta(days=60)  # a phone may lie in a drawer so long with a touch on it [our own choice]
FOUND = ("dead", "not-found")


class Touch(msgspec.Struct, frozen=True, kw_only=True):
    """When something was touched, and the id that the device made for it; "" where it made none."""

    at: datetime
    id: str = ""

    def ids(self) -> Callable[[], str]:
        """Makes the ids of its entries: the touch's own, then the next ones."""
        if not self.id:
            return new_id
        first, counter = UUID(self.id).int, count()
        return lambda: str(UUID(int=first + next(counter)))

    def known(self, entries: tuple[Entry, ...]) -> bool:
        """Whether it was kept already, also where it was taken back since."""
        return bool(self.id) and any(e.id == self.id for e in entries)


def touch_of(texts: Mapping[str, str], now: datetime, zone: str) -> Touch:
    """What the device says of a touch.

    Parameters
    ----------
    texts
        `touch`: its id, a UUID of version 7. `touched`, `sent`: by the device's own clock. Only their
        difference counts, so a phone whose clock is wrong tells the right time.

    Raises
    ------
    BadInput
        If it can't be read.
    """
    told = texts.get("touch", "").strip().lower()
    if told and not ID.fullmatch(told):
        raise BadInput("touch", told, "is no id that a device makes.")
    touched, sent = texts.get("touched", ""), texts.get("sent", "")
    if not touched:
        return Touch(at=now, id=told)
    at = moment(touched, now, zone, "touched").at
    if not sent:
        return Touch(at=not_future(at, now, touched, "touched"), id=told)
    ago = moment(sent, now, zone, "sent").at - at
    if ago > LONGEST:
        raise BadInput("touched", touched, f"is more than {LONGEST.days} days ago. Log it with its day.")
    return Touch(at=now - max(ago, timedelta(0)), id=told)


def at_touch(border: Border, touch: Touch) -> Border:
    """The border at the moment of a touch, with the ids of the touch."""
    return msgspec.structs.replace(border, now=touch.at, made=touch.ids())


def visited(border: Border, tank: str, *, well: bool, counts: Mapping[str, str]) -> tuple[Entry, ...]:
    """A tank looked at, with the heads that were counted.

    Parameters
    ----------
    counts
        Group to what was said of it: "16", "about 40"; nothing or "don't know": not counted.

    Raises
    ------
    BadInput
        If a number can't be read; its field is the group's `n-` field.
    """
    told = {s: text for s, text in counts.items() if text.strip() and not is_unknown(text)}
    found = list(border.log("look", tank, {"well": "yes" if well else "no"}).entries)
    for stock, text in told.items():
        try:
            found += border.log("counted", tank, {"stock": stock, "number": text}).entries
        except BadInput as fault:
            raise BadInput(f"n-{stock}", text, "is no number of animals. Write 16, or about 16.") from fault
    return tuple(found)


def explained(border: Border, counted: str, how: str) -> tuple[Entry, ...]:
    """Where a missing one went: found dead, or not found. It happened just before the count that missed it.

    Raises
    ------
    BadInput
        If nobody is missing there any more, or the word is none of these.
    """
    if how not in FOUND:
        raise BadInput("how", how, f"is not one of {', '.join(FOUND)}.")
    one = next((m for m in missing(border.room, border.now) if m.counted == counted), None)
    if one is None:
        raise BadInput("count", counted, "misses nobody any more. Look at Today again.")
    then = msgspec.structs.replace(border, now=one.asks_at)
    texts = {"stock": one.stock.id, "number": "1"}
    return then.log("death" if how == "dead" else "not_found", one.tank, texts).entries
