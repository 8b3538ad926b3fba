"""A dose by volume: so many mL of a liquid whose strength is known, as what counts in the water."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import NUMBER, number, quantity
from tankward.quantities.strength import strength
from tankward.room.acts import Bath, Dose
from tankward.room.forms import HEAD, Form
from tankward.room.numerals import plain
from tankward.room.replay import Room
from tankward.room.things import Supply
from tankward.treat.course.doses import amount_unit

from .names import DeskNames

ML = re.compile(
    rf"({NUMBER}\s*(?:m[lL]|u[lL]|µ[lL]|[lL]|cc|millilit\w*|microlit\w*|lit\w*|tsp|tbsp))"
    r"(?:\s+(?:of|at)\s+(.+))?"
)
COMMON = {"amount", "when", "who", "sure", "note", *HEAD}
FULL_FORMALIN = re.compile(r"37\s*(?:%|per ?cent)")
ML_PER_L, UL_PER_L, MG_PER_G = 1000.0, 1e6, 1000.0
SPOON = re.compile(r"tsp|tbsp")
SPOONS = {"tsp": ("tsp", "tea"), "tbsp": ("tbsp", "table")}  # what such a spoon is called in a kit


def poured(
    form: Form, texts: Mapping[str, str], room: Room, facts: Facts
) -> tuple[dict[str, str], dict[str, Any]]:
    """The texts of a dose without what was poured, and the actives that it amounts to.

    Parameters
    ----------
    form : Form
        Of the word; only of a dose and a bath are liquids read.
    texts : mapping
        {"formalin": "1 mL of 37 %"}; without a strength the one liquid of the shelf that holds it is meant.
    room : Room
        For its shelf.
    facts : Facts
        For names, and for what is counted by volume.

    Returns
    -------
    tuple
        Texts, and {"actives": …} [mg, or uL of formalin] where a strength was written.

    Raises
    ------
    BadInput
        Where nobody can say how strong it is.
    """
    given = dict(texts)
    if form.record not in (Dose, Bath):
        return given, {}
    actives: dict[str, float] = {}
    for key, text in texts.items():
        if key in COMMON or key.replace("_", "-") in form.fields:
            continue
        found = ML.fullmatch(text.strip())
        if found is None:
            _counted_by_volume(key, text, room, facts)
            continue
        del given[key]
        substance = DeskNames(room, facts).resolve("substance", key, key)
        if (spoon := SPOON.search(found[1])) and not found[2] and not _bottles(substance, room):
            actives[substance] = _spoons(substance, float(number(found[1].split(spoon[0])[0], key)), spoon[0],
                                         key, text, room)  # fmt: skip
            given.setdefault("measured", f"{text.strip()}, {plain(actives[substance] / MG_PER_G)} g")
            continue
        litres = quantity(found[1], "volume", key, room.kit.taste).value
        if litres <= 0:
            raise BadInput(key, text, "can't be right: it must be more than nothing.")
        if found[2]:
            actives[substance] = _active(substance, litres, found[2], key, text, facts)
            given.setdefault("measured", text.strip())
        else:
            packet = _packet(substance, key, text, form, given, room)
            given |= {"supply": packet.id, "units": plain(litres * ML_PER_L), "measured": text.strip()}
    return given, {"actives": actives} if actives else {}


def _spoons(substance: str, count: float, which: str, key: str, text: str, room: Room) -> float:
    """Level spoons of a powder, by what the keeper's own spoon was weighed to hold. [mg]

    Raises
    ------
    BadInput
        If no such spoon was weighed with it: a spoon of another powder may hold twice as much.
    """
    named = SPOONS[which]
    held = [s for s in room.kit.spoons if substance in s.grams and any(n in s.name.lower() for n in named)]
    if len(held) != 1:
        raise BadInput(
            key,
            text,
            "is a spoon, and a spoon says no weight until it was weighed with this powder. Weigh ten level "
            "spoons once (kit spoon), or write grams.",
        )
    return count * held[0].grams[substance] * MG_PER_G


def _bottles(substance: str, room: Room) -> list[Supply]:
    """The liquids of the shelf that hold it."""
    return [
        s for s in room.shelf.values() if s.unit == "mL" and substance in {a.substance for a in s.actives}
    ]


def _counted_by_volume(key: str, text: str, room: Room, facts: Facts) -> None:
    """A mass of what is counted by volume leaves open of what it is a mass."""
    if re.fullmatch(rf"{NUMBER}\s*(?:u|µ|m|k)?g", text.strip()) is None:
        return
    substance = DeskNames(room, facts).resolve("substance", key, key)
    if amount_unit(substance, facts) == "uL":
        raise BadInput(
            key,
            text,
            f"leaves open of what it is the weight. Write what was poured, like {key}=1 mL of 37 %.",
        )


def _active(substance: str, litres: float, told: str, key: str, text: str, facts: Facts) -> float:
    """Of the active. [mg, or uL of formalin]"""
    if amount_unit(substance, facts) == "uL":
        if FULL_FORMALIN.fullmatch(told.strip()) is None:
            raise BadInput(
                key,
                text,
                f"could mean two things here. Write the 37 % solution as poured: {key}=1 mL of 37 %.",
            )
        return litres * UL_PER_L
    if "%" in told:
        raise BadInput(key, text, f"could mean two things here. Write it like {key}=2 mL of 10 mg/mL.")
    strong = strength(told, key)
    if strong.unit != "L":
        raise BadInput(key, text, f"is not so much in a mL. Write it like {key}=2 mL of 10 mg/mL.")
    return strong.active_mg * litres


def _packet(substance: str, key: str, text: str, form: Form, given: Mapping[str, str], room: Room) -> Supply:
    """The one liquid of the shelf that holds it.

    Raises
    ------
    BadInput
        If there is none, or there are several.
    """
    like = "1 mL of 37 %" if substance == "formalin" else "2 mL of 10 mg/mL"
    liquids = _bottles(substance, room)
    if form.record is Dose and len(liquids) == 1 and not given.get("supply"):
        return liquids[0]
    if form.record is Dose and len(liquids) > 1:
        names = ", ".join(s.id for s in liquids)
        raise BadInput(
            key, text, f"may come from several bottles ({names}). Write supply=… and amount={text.strip()}."
        )
    raise BadInput(key, text, f"does not say how strong it is. Write it like {key}={like}.")
