"""The questions of measuring step by step: what is asked here, and the answers so far."""

from __future__ import annotations

import re
from collections.abc import Mapping

from msgspec.structs import replace

from tankward.desk.guided import usual_trial
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, BadInputs
from tankward.quantities.parse import NUMBER, is_unknown
from tankward.room.replay import Room
from tankward.show.words.kit import kit_name
from tankward.show.words.measuring import Asked, Guide

UNKNOWN = "dont-know"
LONGEST = 300  # characters of one answer
ASKED_AS = {"lived": "went"}


def questions(guide: Guide, room: Room, tank: str) -> list[Asked]:
    """What is asked here: what is known already is left out or stands in the field."""
    rows = []
    for one in guide.asked:
        if one.key == "step" and room.kit.scale_g is not None:
            continue
        rows.append(_of_room(one, room, tank))
    return rows


def _of_room(one: Asked, room: Room, tank: str) -> Asked:
    if one.key == "stock":
        groups = tuple((s.id, s.name) for s in room.stock_of(tank) if s.kind not in load().plants)
        return replace(one, choices=groups, value=groups[0][0] if len(groups) == 1 else "")
    if one.several:
        kits = [k.id for k in load().kits.values() if k.quantities]
        return replace(
            one, choices=tuple((k, _upper(kit_name(k))) for k in kits), value=";".join(room.kit.tests)
        )
    if one.key in ("bucket", "volume") and len(room.kit.buckets_l) == 1:
        return replace(one, value=f"{room.kit.buckets_l[0]:g}")
    if one.key == "substance" and tank in room.courses:
        return replace(one, value=room.courses[tank].substance.replace("_", " "))
    if one.key == "went":
        return replace(one, value=usual_trial(room, tank, load()))
    return replace(one, value=_owned(one.key, room) or one.value)


def _owned(key: str, room: Room) -> str:
    kit = room.kit
    return {
        "scale": f"{kit.scale_g:g}" if kit.scale_g else "",
        "syringes": ", ".join(f"{v:g}" for v in kit.syringes_ml),
    }.get(key, "")


def _upper(text: str) -> str:
    """A name at the head of a line; pH and dKH stay as they are."""
    return text if text[1:2].isupper() else text[:1].upper() + text[1:]


def with_unit(one: Asked, text: str) -> str:
    """A bare number is in the unit that stands beside the field."""
    bare = rf"{NUMBER}(\s*[,;/]\s*{NUMBER})*"
    return f"{text.strip()} {one.unit}" if one.unit and re.fullmatch(bare, text.strip()) else text.strip()


def typed_of(query: Mapping[str, str], asked: list[Asked]) -> dict[str, str]:
    """The answers so far; a touch on "Don't know" stands over the field.

    Raises
    ------
    BadInput
        For one that is too long.
    """
    typed = {a.key: with_unit(a, query[a.key]) for a in asked if a.key in query}
    if (key := query.get("unknown", "")) in {a.key for a in asked}:
        typed[key] = UNKNOWN
    for key, text in typed.items():
        if len(text) > LONGEST:
            raise BadInput(key, text[:20], f"is too long: {LONGEST} characters at most.")
    return typed


def open_question(asked: list[Asked], typed: Mapping[str, str]) -> int | None:
    """The first that was not answered; "don't know" is no answer where it has to be known."""
    for number, one in enumerate(asked):
        text = typed.get(one.key)
        if text is None or (not text and not one.several) or (is_unknown(text) and one.unknown and text):
            return number
    return None


def own_fault(fault: BadInput, asked: list[Asked]) -> BadInput:
    """A fault beside a question of the page: what is not asked here is told at the last."""
    faults = fault.faults if isinstance(fault, BadInputs) else [fault]
    keys = [a.key for a in asked]
    for one in faults:
        field = ASKED_AS.get(one.field, one.field)
        if field in keys:
            return BadInput(field, one.given, one.accepted)
    first = faults[0]
    own = keys[-1]
    if "level" in keys:  # the key of a level is the substance's own name
        own = "substance" if first.given == first.field else "level"
    return BadInput(own, first.given, first.accepted)
