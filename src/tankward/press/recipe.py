"""The recipe of a medicated food."""

from __future__ import annotations

from tankward.desk.recipe import Made, recipe_wanted
from tankward.desk.sources import titles
from tankward.show.sheets.recipe import recipe_sheet
from tankward.show.sheets.records import RecipeSheet
from tankward.show.words.recipe import working_of

from .sheet import Asked, Sheet


def worked(asked: Asked) -> Made:
    """The recipe that is asked about."""
    tank = asked.tank.id if asked.tank else ""
    return recipe_wanted(asked.desk.room(), tank, asked.typed, asked.now, asked.zone, asked.facts)


def sources_of(given: Made, asked: Asked) -> list[str]:
    """Titles of what its numbers rest on."""
    keys = working_of(given.course).source_keys()
    return [title for _, title, _ in titles(keys, asked.facts) if title]


def record(asked: Asked) -> RecipeSheet:
    given = worked(asked)
    return recipe_sheet(
        given,
        asked.facts,
        tank=asked.tank.name if asked.tank else "",
        sources=sources_of(given, asked),
        now=asked.now,
        zone=asked.zone,
        foot=asked.foot("" if asked.tank else "Medicine in the food, for no tank of this room"),
    )


SHEET = Sheet(
    name="recipe",
    title="Medicine in the food",
    use="for the kitchen: what to weigh and with what, how to make it, one box a meal, what is left",
    about="either",
    layout="recipe",
    record=record,
    page="/recipe",
    asks=(
        ("substance", "which medicine"),
        ("cause", "against what"),
        ("supply", "the packet of the shelf"),
        ("strength", "or how much is in one, like 200 mg per sachet"),
        ("held", "yes: a veterinarian ordered it, or you hold it lawfully"),
        ("region", "US, UK, EU, DE or other"),
        ("animals", "who eats, like 10 neon_rainbow 4 cm"),
        ("fish", "or all of them weighed, like 12 g"),
        ("volume", "water of their tank"),
        ("food", "gel, flakes, granules or frozen"),
        ("moisture", "water in that food, like 75 %"),
        ("ration", "what they eat a day, like 1 % or 0.4 g of dry food"),
        ("dose", "the veterinarian's own, like 50 mg/kg/day for the fish or 5 mg/g food"),
        ("days", "for how many days"),
        ("regimen", "one of its known ways"),
        ("gone", "fry or eggs: said not to be there"),
    ),
)
