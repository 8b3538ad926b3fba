"""Shorter ways to write what is asked: a size in one value, a rule as printed, a dose by the packet."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from tankward.knowledge.find import index_of
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import NUMBER, is_unknown, quantity
from tankward.quantities.units import unit_of
from tankward.room.acts import Change, Dose, Lost
from tankward.room.entries.acts import Done
from tankward.room.entries.base import Entry
from tankward.room.forms import Form
from tankward.room.holds import there_now
from tankward.room.replay import Room
from tankward.room.things import Supply
from tankward.treat.course.doses import in_packet

from .find import find_supply
from .labelled import unit_name

Texts = Mapping[str, str]
WORDS = {
    "count": "counted", "died": "death", "deaths": "death", "undo": "undone", "test": "reading",
    "readings": "reading", "jar": "jar_trial", "topup": "top_up", "top-up": "top_up", "feeding": "feed",
    "outage": "power_cut", "power": "power_cut", "power-cut": "power_cut", "power-back": "power_back",
    "lost": "lost_water", "leak": "lost_water", "spilled": "lost_water",
    "measured": "volume", "water-change": "change", "moved": "move", "removed": "remove",
}  # fmt: skip


def sizes(texts: Texts) -> dict[str, str]:
    """size=60x30x36cm as length, width and height."""
    given = dict(texts)
    size = given.pop("size", None)
    if size is None:
        return given
    m = re.fullmatch(rf"({NUMBER})\s*[x×*]\s*({NUMBER})\s*[x×*]\s*({NUMBER})\s*(\S+)", size.strip())
    if not m:
        raise BadInput("size", size, "is not a size. Write it like 60x30x36cm: length, width, height.")
    for key, value in zip(("length", "width", "height"), m.groups()[:3], strict=True):
        given.setdefault(key, f"{value} {m[4]}")
    return given


def counted(texts: Texts) -> dict[str, str]:
    """kind="18 cherry barbs" as kind and number."""
    given = dict(texts)
    m = re.fullmatch(rf"(about |~)?({NUMBER})\s*x?\s+(\D.*)", given.get("kind", "").strip())
    if m and "number" not in given:
        given |= {"number": f"{m[1] or ''}{m[2]}", "kind": m[3]}
    return given


def planted(texts: Texts, facts: Facts) -> dict[str, str]:
    """kind=moss as one stand of it: nobody counts moss."""
    given = dict(texts)
    if not given.get("number", "").strip() and index_of(facts, "plant").ids(given.get("kind", "")):
        given["number"] = "1"
    return given


def changed(form: Form, texts: Texts, room: Room, tank: str, now: datetime) -> dict[str, str]:
    """share=2.5 gal of a tank whose litres are known as a share of what was there, at `now`.

    Raises
    ------
    BadInput
        If more went than it holds, or its litres are not known.
    """
    given = dict(texts)
    text = given.get("share", "")
    if form.record not in (Change, Lost) or unit_of(text.strip().lstrip("0123456789.,/ "), "volume") is None:
        return given
    gone = quantity(text, "volume", "share", room.kit.taste).value
    held = there_now(room.tanks[tank], room, now)
    if held is None:
        raise BadInput("share", text, "needs the tank's litres, and they are not known. Write 50% or 0.5.")
    if gone > held.high:
        raise BadInput("share", text, f"is more than the {held.value:.0f} L that were in it.")
    return given | {"share": f"{100 * min(gone / held.value, 1.0):.3g}%"}


def dose(form: Form, texts: Texts, room: Room, facts: Facts) -> tuple[dict[str, str], dict[str, Any]]:
    """supply=… units=… as the actives in it; amount="1 sachet" as units."""
    given = dict(texts)
    if form.record is not Dose or not given.get("supply"):
        return given, {}
    packet = find_supply(room, given["supply"])
    if "amount" in given:
        given["units"] = _units(packet, given.pop("amount"))
    if is_unknown(given.get("units", "")):
        return given, {"actives": {}}
    try:
        count = float(given.get("units", "").replace(",", "."))
    except ValueError:
        return given, {"actives": {}}
    return given, {"actives": {s: x * count for s, x in in_packet(packet, facts).items()}}


def again(
    form: Form, texts: Texts, old: Entry, room: Room, facts: Facts
) -> tuple[dict[str, str], dict[str, Any]]:
    """A correction in the shorter ways, and what follows: another number of sachets is another dose."""
    given = planted(counted(sizes(texts)), facts) if form.slot == "thing" else dict(texts)
    act = old.act if isinstance(old, Done) else None
    if not isinstance(act, Dose) or not {"supply", "units", "amount"} & {k for k, v in given.items() if v}:
        return given, {}
    if not given.get("supply") and not act.supply:
        return given, {}
    given, implied = dose(form, {"supply": act.supply, **{k: v for k, v in given.items() if v}}, room, facts)
    return given, implied | {"measured": ""}


def _units(packet: Supply, text: str) -> str:
    m = re.fullmatch(rf"({NUMBER})\s*(\S.*)", text.strip())
    if not m or unit_name(m[2]) != packet.unit:
        raise BadInput("amount", text, f"is not counted in {packet.unit}. Write it like 2 {packet.unit}.")
    return m[1]
