"""A label as a keeper types it: the rule as printed, strengths per unit, of what they are the weight."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from functools import partial
from typing import Any, NamedTuple

from tankward.knowledge.find import find_one
from tankward.knowledge.known import Facts
from tankward.knowledge.plain import plain as plain_words
from tankward.quantities.faults import BadInput, gathered
from tankward.quantities.parse import NUMBER, Taste, is_unknown, number, piece_name, quantity, ratio
from tankward.quantities.strength import strength
from tankward.room.best_before import as_printed
from tankward.room.lists import words
from tankward.room.numerals import plain
from tankward.room.things import Active, Supply
from tankward.room.time import day_of, moment, not_future
from tankward.treat.label_forms import counted

Texts = Mapping[str, str]
DROPS = re.compile(rf"\s*({NUMBER})\s*drops?\b", re.IGNORECASE)
PER_CENT = re.compile(rf"({NUMBER})\s*(?:%|per ?cent|percent)")
LABEL_KEYS = {
    "name", "unit", "actives", "unknown", "dose", "per", "repeat-after", "change-before", "most-doses",
    "left", "price", "opened", "expiry", "held-lawfully", "when", "who", "sure", "note",
}  # fmt: skip
# Up to here a per cent by weight and one by volume are the same within what anybody can measure [by
# density; our own choice]; formaldehyde solutions are counted so by convention, see amounts.formalin.
THIN_PERCENT = 5.0
MG_PER_ML_AND_PERCENT = 10.0
BY_VOLUME = "formalin"
NO_AMOUNT = "does not say how much is in one. Write praziquantel 90 mg, or actives=dont-know."


class Here(NamedTuple):
    """What reading a label needs beside its words."""

    taste: Taste
    facts: Facts
    now: datetime
    zone: str


def label(texts: Texts, here: Here, old: Supply | None = None) -> tuple[dict[str, str], dict[str, Any]]:
    """The texts that a form reads by itself, and the actives with what they weigh.

    Parameters
    ----------
    texts : mapping
        {"unit": "mL", "copper": "10 mg/mL as copper", "rule": "5 mL per 40 L", "price": "9.50 for 10"}.
    here : Here
        How the keeper measures, the facts, and the moment.
    old : Supply, optional
        The packet as it was told before, of which this puts something right.

    Returns
    -------
    tuple
        Texts by the keys of the form, and {"actives": …} where any were named.

    Raises
    ------
    BadInput
        For all of them together.
    """
    given = {k.strip().replace("_", "-") if k.lower() in _UNDER else k: v for k, v in texts.items()}
    faults: list[BadInput] = []
    _try(faults, lambda: _rule(given, here.taste))
    given["unit"] = unit_name(given.get("unit", "")) or (old.unit if old else "")
    _try(faults, lambda: _dates(given, here))
    _try(faults, lambda: _price(given))
    named = dict(_named(given))
    read = (_try(faults, partial(_active, n, t, given["unit"], here)) for n, t in named.items())
    found = [pair for pair in read if pair is not None]
    gathered(faults)
    given = {k: v for k, v in given.items() if k in LABEL_KEYS and not (k == "actives" and named)}
    if named or given.get("unknown", "").strip():
        given.pop("actives", None)
        told = given.get("unknown", "").strip()
        left_open = ["" if is_unknown(told) else told, *(o for _, o in found)]
        # A label put right says all that it leaves open anew.
        given["unknown"] = "; ".join(filter(None, left_open)) or ("dont-know" if old else "")
        return given, {"actives": _each_once([a for a, _ in found])}
    return given, {}


_UNDER = {k.replace("-", "_") for k in LABEL_KEYS if "-" in k}


def _try(faults: list[BadInput], work: Callable[[], Any]) -> Any:
    try:
        return work()
    except BadInput as fault:
        faults.append(fault)
        return None


def unit_name(word: str) -> str:
    """The unit in which a packet is counted: mL, g, or one piece."""
    known = {"ml": "mL", "g": "g", "gram": "g", "grams": "g", "": ""}
    return known.get(word.strip().lower(), piece_name(word) if word.strip() else "")


def _rule(given: dict[str, str], taste: Taste) -> None:
    """rule="1 sachet per 40 L" as dose, per and unit."""
    rule = given.pop("rule", "")
    if not rule or is_unknown(rule):
        return
    read = ratio(rule, "rule", taste)
    if read.per_unit != "L":
        raise BadInput("rule", rule, "is not per so much water. Write it like 1 sachet per 40 L.")
    by_measure = {"L": (read.amount * 1000, "mL"), "mg": (read.amount / 1000, "g")}
    amount, unit = by_measure.get(read.unit, (read.amount, read.unit))
    if m := DROPS.match(rule):
        # A drop of one bottle is not a drop of another: counted, never poured.
        amount, unit = float(number(m[1])), "drop"
    given.setdefault("unit", unit)
    if unit_name(given["unit"]) != unit_name(unit):
        told = f"counts in {unit}, but unit says {given['unit']}. Write both in the same."
        raise BadInput("rule", rule, told)
    given |= {"dose": plain(amount), "per": f"{plain(read.per)} L"}


def _dates(given: dict[str, str], here: Here) -> None:
    """The date on the packet as packets have it; the day it was opened as days are said."""
    if given.get("expiry") and not is_unknown(given["expiry"]):
        given["expiry"] = as_printed(given["expiry"], "expiry")
    if given.get("opened") and not is_unknown(given["opened"]):
        at = moment(given["opened"], here.now, here.zone, "opened").at
        given["opened"] = day_of(not_future(at, here.now, given["opened"]), here.zone).isoformat()


def _price(given: dict[str, str]) -> None:
    """price="9.50 for 10" as the price of one."""
    text = given.get("price", "").strip()
    m = re.fullmatch(rf"\D{{0,4}}({NUMBER})\s*\D{{0,4}}?\s*(?:for|/|per)\s*({NUMBER})\D*", text)
    if m is None:
        return
    several = float(number(m[2], "price"))
    if several <= 0:
        raise BadInput("price", text, "can't be right. Write it like 9.50 for 10.")
    given["price"] = plain(float(number(m[1], "price")) / several)


def _named(given: Texts) -> Iterator[tuple[str, str]]:
    """Each active that is named, with how much of it is in one."""
    for key, text in given.items():
        if key not in LABEL_KEYS:
            yield key, text.strip()
        elif key == "actives" and text.strip() and not is_unknown(text):
            for part in words(text):
                m = re.fullmatch(rf"(\D.*?)[\s=:]+({NUMBER}.*)", part)
                yield (m[1], m[2]) if m else (part, "")


def _active(name: str, text: str, unit: str, here: Here) -> tuple[Active, str]:
    """One active, and what its label leaves open. The fault is told under the name that the label has."""
    amount, _, form = text.partition(" as ")
    if not amount:
        raise BadInput("actives", name, NO_AMOUNT)
    substance = _substance(name, here.facts)
    mg = _mg(name, amount.strip(), unit, substance, here.taste)
    if substance == BY_VOLUME and "%" not in amount and "formaldehyde" not in plain_words(f"{name} {form}"):
        told = "leaves open of what it is the weight. Write 37 %, or formaldehyde and how much of it."
        raise BadInput(name, text, told)
    found = counted(substance, mg, name, form.strip(), here.facts, text)
    plainly = found.mg == mg and not ("%" in amount and unit == "mL")
    said = text if name in here.facts.substances or form else f"{text} {name}"
    active = Active(substance=substance, mg=found.mg, form=found.form, told="" if plainly else said)
    return active, "" if found.sure else f"{name}: of what it is the weight"


def _substance(name: str, facts: Facts) -> str:
    try:
        return find_one(facts, "substance", name)
    except BadInput as fault:
        told = fault.accepted.rstrip(".?")
        more = f'If the label really says so, write unknown="{name} and how much".'
        raise BadInput(name, name, f"{told}? {more}" if "mean" in told else f"{told}. {more}") from None


def _mg(name: str, text: str, unit: str, substance: str, taste: Taste) -> float:
    """How much is in one unit of the packet. [mg]"""
    if m := PER_CENT.fullmatch(text):
        return _of_percent(name, text, float(number(m[1], name)), unit, substance)
    if not re.search(r"/|\bper\b", text):
        if re.fullmatch(NUMBER, text):
            raise BadInput("actives", f"{name} {text}", NO_AMOUNT)
        return _positive(quantity(text, "mass", name, taste).value, name, text)
    read = strength(text, name, taste)
    factor = {("L", "mL"): 1e-3, ("mg", "g"): 1e3}.get((read.unit, unit))
    if factor is None and read.unit != unit:
        told = f"is not so much in one {unit}. Write it like 200 mg per {unit}."
        raise BadInput(name, text, told)
    return _positive(read.active_mg * (factor or 1.0), name, text)


def _of_percent(name: str, text: str, percent: float, unit: str, substance: str) -> float:
    if not 0 < percent <= 100:
        raise BadInput(name, text, "can't be right: a strength lies over 0 and up to 100 %.")
    if unit == "g":
        return percent * MG_PER_ML_AND_PERCENT
    if unit == "mL" and (substance == BY_VOLUME or percent <= THIN_PERCENT):
        return percent * MG_PER_ML_AND_PERCENT
    if unit == "mL":
        raise BadInput(name, text, "could mean two things here. Write it like 10 mg/mL.")
    raise BadInput(name, text, f"does not say how much is in one {unit}. Write it like 200 mg.")


def _positive(mg: float, name: str, text: str) -> float:
    if mg <= 0:
        raise BadInput(name, text, "can't be right: it must be more than nothing.")
    return mg


def _each_once(found: list[Active]) -> tuple[Active, ...]:
    twice = {a.substance for n, a in enumerate(found) if a.substance in {b.substance for b in found[:n]}}
    if twice:
        raise BadInput("actives", ", ".join(sorted(twice)), "is named twice. Write the sum of it once.")
    return tuple(found)
