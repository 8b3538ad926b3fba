"""Medicine in the food: which fish, which food, whose dose; for a tank, or for fish of no room."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

import msgspec
from msgspec.structs import replace

from tankward.knowledge.find import find_one
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate, Taste, is_unknown, number, quantity
from tankward.quantities.strength import strength
from tankward.room.lists import words
from tankward.room.replay import Room
from tankward.room.things import Active, Kit, Stock, Supply, Tank
from tankward.room.time import local
from tankward.treat.course.asked import FoodWish
from tankward.treat.course.make import make_course
from tankward.treat.course.records import Course
from tankward.treat.course.request import CourseRequest, request_from_room
from tankward.treat.policy import REGIONS
from tankward.treat.remedies.leach import sick_ration

from .examine import examine_tank
from .find import find_supply
from .remedy import young_named
from .said import animals

KEYS = (
    "substance", "cause", "supply", "strength", "held", "region", "animals", "fish", "volume",
    "food", "moisture", "ration", "dose", "days", "regimen", "gone",
)  # fmt: skip
FEED = "feed"
NO_TANK = Tank(id="", name="no tank")
PIECES = {"mg": "g", "L": "mL"}  # what a powder or a solution is counted in
FORMS = {"g": "powder", "mL": "solution"}
YES = ("yes", "on", "true")
MOST_DAYS = 60.0
USUAL_FOOD = "gel"  # loses least in the water, and crumbs can be frozen


class Made(msgspec.Struct, frozen=True, kw_only=True):
    """A recipe worked out: the course by food, and what it was made from."""

    course: Course
    kit: Kit
    shelf: Mapping[str, Supply]
    animals: str  # who eats, as it stands on the sheet
    own_dose: bool  # the keeper's, or their veterinarian's, not the published one
    per_food: bool  # it was said as drug in the food, not for the fish


def recipe_wanted(
    room: Room, tank: str, typed: Mapping[str, str], now: datetime, zone: str, facts: Facts
) -> Made:
    """The recipe that was asked for.

    Parameters
    ----------
    room : Room
        As it stands; its kit measures.
    tank : str
        Whose fish are fed; "" for fish of no tank.
    typed : mapping
        Some of KEYS; "dont-know" counts as left out.
    now : datetime
        With a zone.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        The facts.

    Raises
    ------
    BadInput
        For what can't be read or is missing.
    Refused
        Where it is not theirs to give, does harm, or is over three times the published dose.
    """
    told = {k: v.strip() for k, v in typed.items() if v.strip() and not is_unknown(v)}
    if "substance" not in told:
        raise BadInput("substance", "", "is missing: which medicine goes into the food?")
    substance, taste = find_one(facts, "substance", told["substance"]), room.kit.taste
    request = _request(room, tank, told, now, zone, facts, taste)
    region = _region(told.get("region", ""), room.kit.region)
    supply = _supply(room, substance, told, now, zone, facts)
    if supply is not None:
        request = replace(request, shelf=(supply, *(s for s in request.shelf if s.id != supply.id)))
    wish = _wish(told, taste)
    course = make_course(
        replace(request, kit=replace(request.kit, region=region)),
        substance,
        FEED,
        facts=facts,
        start=now,
        now=now,
        regimen_id=told.get("regimen", ""),
        supply=supply,
        level=_dose(told, wish, facts, taste),
        region=region,
        food=wish,
    )
    return Made(
        course=course,
        kit=room.kit,
        shelf={s.id: s for s in request.shelf},
        animals="; ".join(_named(s.number.value, s.name) for s in _fish(request, facts)),
        own_dose="dose" in told,
        per_food="dose" in told and _per_food(told["dose"]),
    )


def _named(count: float, name: str) -> str:
    return f"{count:g} {name}"


def _fish(request: CourseRequest, facts: Facts) -> tuple[Stock, ...]:
    return request.situation(facts, (), "").fish


def _request(
    room: Room, tank: str, told: Mapping[str, str], now: datetime, zone: str, facts: Facts, taste: Taste
) -> CourseRequest:
    """The tank as it is known, or what was said of fish of no tank."""
    causes = tuple(find_one(facts, "cause", w) for w in words(told.get("cause", "")))
    gone = young_named(words(told.get("gone", "")))
    who = tuple(animals(told["animals"], facts, taste)) if "animals" in told else None
    volume = quantity(told["volume"], "volume", "volume", taste).estimate if "volume" in told else None
    if tank:
        examined = examine_tank(room, tank, now, facts)
        ranking = examined.ranking if examined.evidence.seen else None
        found = request_from_room(
            room, tank, facts, now, causes=causes, ranking=ranking, not_there=gone, zone=zone
        )
        found = found if who is None else replace(found, stock=who)
        return found if volume is None else replace(found, volume_l=volume)
    if who is None and "fish" not in told:
        raise BadInput("animals", "", "is missing: who eats? Write 10 neon_rainbow 4 cm, or fish=12 g.")
    shelf = tuple(s for s in room.shelf.values() if not s.gone)
    return CourseRequest(
        tank=NO_TANK,
        stock=who or (),
        not_there=gone,
        volume_l=volume,
        kit=room.kit,
        shelf=shelf,
        causes=causes,
        zone=zone,
    )


def _region(word: str, own: str) -> str:
    if word and word not in REGIONS:
        raise BadInput("region", word, f"is not one of {', '.join(REGIONS)}.")
    return word or own


def _supply(
    room: Room, substance: str, told: Mapping[str, str], now: datetime, zone: str, facts: Facts
) -> Supply | None:
    """The packet named, or one described by its strength; held lawfully where the keeper states it now."""
    states = told.get("held", "").lower() in YES
    if "supply" in told:
        found = find_supply(room, told["supply"])
    elif "strength" in told or states:
        found = _described(substance, told.get("strength", ""), facts, room.kit.taste)
    else:
        return None
    if states and not found.held_lawfully:
        today = local(now, zone).date().isoformat()
        found = replace(found, held_lawfully=True, held_since=today)
    return found


def _described(substance: str, text: str, facts: Facts, taste: Taste) -> Supply:
    """A packet of just this, as strong as was typed; without a strength the pure powder."""
    held = strength(text, "strength", taste) if text else strength("100 %")
    mg = held.active_mg * {"mg": 1000.0, "L": 0.001}.get(held.unit, 1.0)
    unit = PIECES.get(held.unit, held.unit)
    name = f"{facts.substances[substance].names[0]} {FORMS.get(unit, unit)}"
    return Supply(id="described", name=name, unit=unit, actives=(Active(substance=substance, mg=mg),))


def _wish(told: Mapping[str, str], taste: Taste) -> FoodWish:
    ration, food_g = _ration(told.get("ration", ""), taste)
    fish = quantity(told["fish"], "mass", "fish", taste).estimate if "fish" in told else None
    if fish is not None and fish.low <= 0:
        raise BadInput("fish", told["fish"], "can't be right: it must be more than 0 g.")
    days = (
        float(number(told["days"].removesuffix("days").removesuffix("d"), "days")) if "days" in told else None
    )
    if days is not None and not 1.0 <= days <= MOST_DAYS:
        raise BadInput("days", told["days"], f"can't be right: 1 to {MOST_DAYS:g} days.")
    return FoodWish(
        kind=told.get("food", USUAL_FOOD),
        moisture=quantity(told["moisture"], "share", "moisture", taste).value if "moisture" in told else None,
        fish_g=None if fish is None else Estimate(fish.value / 1e3, fish.low / 1e3, fish.high / 1e3),
        ration=ration,
        food_g=food_g,
        days=days,
    )


def _ration(text: str, taste: Taste) -> tuple[Estimate | None, float | None]:
    """ "1 %" of their weight, or "0.4 g" of dry food a day."""
    if not text:
        return None, None
    if "%" in text:
        share = quantity(text, "share", "ration", taste).estimate
        if not 0.0 < share.value <= MOST_EATEN:
            raise BadInput(
                "ration", text, "can't be right: more than 0 and up to 20 % of their weight a day."
            )
        return share, None
    grams = quantity(text, "mass", "ration", taste).value / 1000.0
    if grams <= 0:
        raise BadInput("ration", text, "can't be right: more than 0 g a day.")
    return None, grams


MOST_EATEN = 0.2


def _per_food(text: str) -> bool:
    """Whether a dose was said as drug in the food."""
    plain = text.lower().replace(" ", "")
    grams = plain.endswith("g/kg") and not plain.endswith("mg/kg")
    return grams or any(word in plain for word in ("feed", "food", "mg/g"))


def _dose(told: Mapping[str, str], wish: FoodWish, facts: Facts, taste: Taste) -> float | None:
    """The keeper's own dose as what the fish get. [mg/kg/day] None: the published one.

    Raises
    ------
    BadInput
        For mg/kg that does not say of what: a hundred times lies between fish and food.
    """
    text = told.get("dose", "")
    if not text:
        return None
    plain = text.lower().replace(" ", "")
    if _per_food(text):
        of_food = quantity(text, "feed_strength", "dose", taste).value
        usual = sick_ration(facts)[0].value
        share = wish.ration.value if wish.ration else usual
        return of_food * share * 1000.0
    if plain.endswith("mg/kg"):
        raise BadInput(
            "dose",
            text,
            "does not say of what. Write 50 mg/kg/day for the fish, or 50 mg/kg food for the food.",
        )
    value = quantity(text, "fish_dose", "dose", taste).value
    if value <= 0:
        raise BadInput("dose", text, "can't be right: it must be more than 0.")
    return value
