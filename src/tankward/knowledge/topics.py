"""What is known and is no thing of its own: hygiene, water, kits, feeding; by topic, as rows to tell."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Record, Row
from tankward.knowledge.walk import rows_of

Place = Literal["hygiene", "water", "kit", "food"]

# The tables of each place in the order in which they are told; a table that is not named is told last.
TOPICS: dict[Place, dict[str, str]] = {
    "hygiene": {
        "quarantine": "Quarantine",
        "quarantine_release": "When a newcomer may go in",
        "quarantine_fact": "What is known of quarantine",
        "quarantine_look": "Looks at newcomers by their days",
        "contact": "How likely a contact carries something on",
        "spread_level": "What the words of spreading stand for",
        "closing": "Closing a tank",
        "disinfection": "Making nets, tanks and plants clean",
        "disinfection_rule": "Rules of disinfection",
        "acclimation": "Putting new animals in",
        "change_limit": "How much may change at once",
        "stocking": "How many may live in it",
        "light": "Light",
        "heat": "Warmth",
        "air_flow": "Air and flow",
        "carbon": "Carbon",
        "uv": "Ultraviolet",
        "human_safety": "What harms people",
        "euthanasia": "A humane end",
        "disposal": "Getting rid of things",
        "microscopy": "Under the microscope",
        "magnification": "What is seen at which magnification",
        "view": "What germs look like under the microscope",
        "look_alike": "What is mistaken for a germ",
        "field_grade": "Many or few in one field",
        "necropsy": "Opening a dead fish",
        "lab_sample": "Sending something to a laboratory",
        "spoon": "What a spoon holds",
        "powder": "How heavy a spoon of powder is",
        "powder_rule": "Rules for spoons of powder",
        "drops_per_ml": "Drops in a millilitre",
        "drops_rule": "Rules for drops",
        "scale": "What a scale can be trusted with",
        "syringe": "What a syringe can show",
        "unit": "Units of the kitchen and the trade",
        "gap": "What is not known of keeping",
        "contradiction": "Where sources on keeping disagree",
    },
    "water": {
        "fact": "Figures about water",
        "equation": "Equations in use, and those beside them",
        "constant": "Constants",
        "trap": "Mix-ups and what they cost",
        "gap": "What is not known of water",
        "contradiction": "Where sources on water disagree",
    },
    "kit": {},
    "food": {
        "feeding_rate": "How much they eat",
        "feeding_rate_rule": "Rules of how much to feed",
        "feeding_frequency": "How often to feed",
        "first_food": "The first food of fry",
        "fasting": "How long they can go without",
        "intake_fact": "What was eaten, measured",
        "share_eaten": "How much of the food is eaten",
        "appetite_loss": "How much less a sick fish eats",
        "household_mass": "What a pinch weighs",
        "binder": "What holds food together",
        "recipe": "Foods made at home",
        "recipe_rule": "Rules for foods made at home",
        "procedure": "Making medicated food, step by step",
        "leaching": "What leaves the food in the water",
        "leaching_model": "How the loss is reckoned",
        "making_loss": "What is lost while it is made",
        "palatability": "Whether they eat it",
        "worked_example": "Worked examples",
        "gap": "What is not known of feeding",
    },
}


class Topic(Record, frozen=True, kw_only=True):
    """One page of rows."""

    place: Place
    id: str
    title: str


def topics(facts: Facts, place: Place) -> tuple[Topic, ...]:
    """The topics of a place that hold anything."""
    if place == "kit":
        return tuple(Topic(place=place, id=k.id, title=k.id.replace("_", " ")) for k in facts.kits.values())
    record = _record(facts, place)
    named = TOPICS[place]
    order = [*named, *(f for f in record.__struct_fields__ if f not in named)]
    return tuple(
        Topic(place=place, id=table, title=named.get(table) or table.replace("_", " ").capitalize())
        for table in order
        if getattr(record, table, ())
    )


def rows(facts: Facts, place: Place, topic: str) -> Iterator[tuple[str, Record]]:
    """The rows of a topic, each with its table."""
    if place == "kit":
        for at, row in rows_of(facts.kits[topic]):
            if at:
                yield at, row
        return
    held = getattr(_record(facts, place), topic)
    for row in held if isinstance(held, tuple) else (held,):
        if isinstance(row, Row):
            yield topic, row
        elif isinstance(row, Record):
            yield from ((topic, inner) for at, inner in rows_of(row) if at and hasattr(inner, "source"))


def _record(facts: Facts, place: Place) -> Record:
    return {"hygiene": facts.hygiene, "water": facts.water, "food": facts.feeding}[place]
