"""An act after a slip that was done: as entries, so that the next answer starts from it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

import msgspec

from tankward.judge.urgent import UrgentStep
from tankward.room.acts import PowerCut
from tankward.room.entries.acts import Done
from tankward.room.entries.base import Entry
from tankward.room.numerals import plain
from tankward.room.replay import Room
from tankward.treat.mend.back import Back
from tankward.treat.mend.late import Late
from tankward.treat.mend.power import is_off
from tankward.treat.mend.steps import Also

from .border import Border
from .running import skipped, ticked

THIOSULFATE = "sodium_thiosulfate"
PLAIN: dict[str, tuple[str, dict[str, str]]] = {
    "air": ("air", {"more": "yes"}),
    "carbon": ("media", {"medium": "activated_carbon", "in": "yes"}),
    "carbon-out": ("media", {"medium": "activated_carbon", "in": "no"}),
    "heater-off": ("heat", {"temp": "off"}),
    "rinse-filter": ("clean", {"what": "filter", "how": "rinsed in tank water"}),
}
OF_STEP = ("give-late", "do-late", "leave-out")


def ticks(step: UrgentStep) -> tuple[str, dict[str, str]] | None:
    """The word of the logbook and its texts; None where the act is no entry, or not yet due."""
    if step.at is not None:
        return None
    if step.act in PLAIN:
        return PLAIN[step.act]
    known = step.amount is not None and step.amount.value is not None and "every" not in step.amount.says
    amount = step.amount.value if known and step.amount else None
    if step.act == "change" and step.share:
        return "change", {"share": f"{100.0 * step.share:.4g}%", "dechlorinated": "yes"}
    if step.act == "fill" and amount:
        return "top_up", {"volume": f"{amount:.4g} L"}
    if step.act == "dechlorinate" and amount:
        return "dose", {THIOSULFATE: f"{amount:.4g} g"}
    if step.act == "put-back" and isinstance(step.of, Back):
        return _put_back(step.of)
    return ("step", {}) if step.act in OF_STEP and isinstance(step.of, Late | Also) else None


def _put_back(back: Back) -> tuple[str, dict[str, str]] | None:
    if back.supply and back.units is not None:
        return "dose", {"supply": back.supply, "units": plain(back.units)}
    if any(e.amount_unit != "mg" for e in back.ends):
        return None
    return "dose", {s: f"{plain(mg)} mg" for s, mg in back.amounts.items()}


def entries_of(step: UrgentStep, border: Border, tank: str) -> tuple[Entry, ...]:
    """What ticking an act writes down; nothing where it is no entry."""
    found = ticks(step)
    if found is None:
        return ()
    word, texts = found
    if word != "step":
        return border.log(word, tank, texts).entries
    assert isinstance(step.of, Late | Also)
    name = step.of.step if isinstance(step.of, Late) else step.of.step.id
    now = border.now.replace(microsecond=0)
    made: Entry | None = (
        skipped(border.room, tank, name, "too much is in the water", now, border.zone, made=border.made)
        if step.act == "leave-out"
        else ticked(border.room, tank, name, now, border.zone, made=border.made)
    )
    return (made,) if made is not None else ()


def off_everywhere(room: Room, tank: str, now: datetime, made: Callable[[], str]) -> tuple[Entry, ...]:
    """The power cut of one tank written down for every other in which somebody lives and the power runs."""
    cut = next((e for e in reversed(room.of_tank(tank)) if isinstance(e, Done) and _cuts(e)), None)
    if cut is None:
        return ()
    others = [t for t in room.tanks if t != tank and room.stock_of(t) and not is_off(room, t, now)]
    return tuple(msgspec.structs.replace(cut, id=made(), tank=t, step="") for t in others)


def _cuts(entry: Done) -> bool:
    return isinstance(entry.act, PowerCut)
