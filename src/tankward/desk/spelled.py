"""Shorter ways to write what is asked: a size in one value, a rule as printed, a dose by the packet."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from tankward.knowledge.find import index_of
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import NUMBER, Taste, is_unknown, number, piece_name, ratio
from tankward.quantities.strength import strength
from tankward.room.acts import Dose
from tankward.room.entries.acts import Done
from tankward.room.entries.base import Entry
from tankward.room.forms import Form
from tankward.room.lists import words
from tankward.room.numerals import plain
from tankward.room.replay import Room
from tankward.room.things import Supply
from tankward.treat.course.doses import in_packet

from .find import find_supply

Texts = Mapping[str, str]
DROPS = re.compile(rf"\s*({NUMBER})\s*drops?\b", re.IGNORECASE)
WORDS = {
    "count": "counted", "died": "death", "deaths": "death", "undo": "undone", "test": "reading",
    "readings": "reading", "jar": "jar_trial", "topup": "top_up", "top-up": "top_up", "feeding": "feed",
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


def label(texts: Texts, taste: Taste) -> dict[str, str]:
    """rule="1 sachet per 40 L" as dose, per and unit; strengths per mL or piece as mg in one unit."""
    given = dict(texts)
    rule = given.pop("rule", "")
    if rule and not is_unknown(rule):
        read = ratio(rule, "rule", taste)
        if read.per_unit != "L":
            raise BadInput("rule", rule, "is not per so much water. Write it like 1 sachet per 40 L.")
        by_measure = {"L": (read.amount * 1000, "mL"), "mg": (read.amount / 1000, "g")}
        amount, unit = by_measure.get(read.unit, (read.amount, read.unit))
        if m := DROPS.match(rule):
            # A drop of one bottle is not a drop of another: counted, never poured.
            amount, unit = float(number(m[1])), "drop"
        given.setdefault("unit", unit)
        _same_unit(given["unit"], unit, rule)
        given |= {"dose": plain(amount), "per": f"{plain(read.per)} L"}
    given["unit"] = unit_name(given.get("unit", ""))
    return _strengths(given, taste)


def unit_name(word: str) -> str:
    """The unit in which a packet is counted: mL, g, or one piece."""
    known = {"ml": "mL", "g": "g", "gram": "g", "grams": "g", "": ""}
    return known.get(word.strip().lower(), piece_name(word) if word.strip() else "")


def _same_unit(said: str, ruled: str, rule: str) -> None:
    if unit_name(said) != unit_name(ruled):
        raise BadInput("rule", rule, f"counts in {ruled}, but unit says {said}. Write both in the same.")


def _strengths(given: dict[str, str], taste: Taste) -> dict[str, str]:
    plain_keys = LABEL_KEYS
    for key, text in list(given.items()):
        if key == "actives" and not is_unknown(text):
            given[key] = "; ".join(_part(part, given["unit"], taste) for part in words(text))
        elif key not in plain_keys and _is_strength(text):
            given[key] = _per_unit(key, text, given["unit"], taste)
    return given


LABEL_KEYS = {
    "name", "unit", "actives", "dose", "per", "repeat-after", "change-before", "most-doses", "left", "price",
    "opened", "expiry", "held-lawfully", "when", "who", "sure", "note",
}  # fmt: skip


def _part(part: str, unit: str, taste: Taste) -> str:
    m = re.fullmatch(rf"(\D.*?)[\s=:]+({NUMBER}.*)", part)
    return f"{m[1]} {_per_unit(m[1], m[2], unit, taste)}" if m and _is_strength(m[2]) else part


def _is_strength(text: str) -> bool:
    return bool(re.search(r"/|%|\bper\b", text))


def _per_unit(key: str, text: str, unit: str, taste: Taste) -> str:
    read = strength(text, key, taste)
    # A per cent of a liquid may be by weight or by volume: nobody can say how much is in a mL.
    if "%" in text and unit != "g":
        raise BadInput(key, text, "could mean two things here. Write it like 10 mg/mL.")
    factor = {("L", "mL"): 1e-3, ("mg", "g"): 1e3}.get((read.unit, unit))
    if factor is None and read.unit != unit:
        raise BadInput(key, text, f"is not so much in one {unit}. Write it like 200 mg per {unit}.")
    return f"{plain(read.active_mg * (factor or 1.0))} mg"


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
