"""A form as a template shows it, read off the questions of a record or of a calculation."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from tankward.quantities.calculation import Calculation
from tankward.quantities.units import EXAMPLES
from tankward.room.hours import LIKE
from tankward.room.questions import Question

# What stands as an example under a field whose answer is a list or a name.
SHAPES = {
    "signs": "like clamped fins; rubbing on things",
    "species": "like cherry barb, or: unknown",
    "readings": "like 0.25 mg/L as N",
    "actives": "like praziquantel=90 mg",
    "history": "like new fish 10 days ago; filter cleaned",
    "volumes": "like 1 mL, 5 mL",
    "yes": "yes or no",
    "hours": f"like {LIKE}",
}


class Shown(msgspec.Struct, frozen=True, kw_only=True):
    """One field of a form."""

    name: str
    label: str
    hint: str = ""
    value: str = ""
    error: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    long: bool = False


ANIMAL = 200  # cm: a length that may not be more is that of an animal, not of a tank


def _hint(ask: Question) -> str:
    if ask.dimension == "length" and ask.at_most is not None and ask.at_most <= ANIMAL:
        return "like 3.5 cm or 1.4 in"
    example = EXAMPLES.get(ask.dimension, "")
    return f"like {example}" if example else SHAPES.get(ask.dimension, "")


def _choices(choices: tuple[str, ...], dimension: str) -> tuple[tuple[str, str], ...]:
    words = choices or (("yes", "no") if dimension == "yes" else ())
    return (("", "Don't know"), *((w, w.replace("_", " ")) for w in words)) if words else ()


def asked(
    questions: Mapping[str, Question], typed: Mapping[str, str], faults: Mapping[str, str], prefix: str = ""
) -> list[Shown]:
    """The fields that a record asks for, with what was typed and what was wrong."""
    return [
        Shown(
            name=f"{prefix}{key}",
            label=ask.says,
            hint="" if ask.choices or ask.dimension == "yes" else _hint(ask),
            value=typed.get(key, ""),
            error=faults.get(key, ""),
            choices=_choices(ask.choices, ask.dimension),
            long=ask.dimension in ("long_text", "hours"),
        )
        for key, ask in questions.items()
        if not ask.hidden and not ask.rest
    ]


def inputs(
    calculation: Calculation, typed: Mapping[str, str], faults: Mapping[str, str], *, optional: bool
) -> list[Shown]:
    """The fields that a calculation asks for: those it needs, or those that may be left out."""
    rows = []
    for item in calculation.inputs:
        if item.optional != optional:
            continue
        words = item.ask.says[:1].upper() + item.ask.says[1:]
        choices = tuple((c, c) for c in item.ask.choices)
        rows.append(
            Shown(
                name=item.name,
                label=words,
                hint=f"like {item.example}" if item.example and not choices else "",
                value=typed.get(item.name, ""),
                error=faults.get(item.name, ""),
                choices=((("", "Leave it out"), *choices) if item.optional else choices) if choices else (),
            )
        )
    return rows
