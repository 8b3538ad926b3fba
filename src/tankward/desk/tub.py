"""A hospital tub: who goes in, what they weigh, its plan, and what to put back of a medicine."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

import msgspec

from tankward.judge.choices import LC50_HOURS
from tankward.judge.limits import limits
from tankward.judge.verdicts import Verdict, judge_levels, refused
from tankward.judge.waterstate import water_state
from tankward.knowledge.find import find_substance
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput, Refused
from tankward.quantities.parse import Estimate, Taste, is_unknown, quantity
from tankward.quantities.working import Answer
from tankward.room.replay import Room
from tankward.room.things import Stock
from tankward.room.weight import adult_length, shape_curve, stock_g
from tankward.treat.husbandry.biomass import USUAL_SHAPE
from tankward.treat.husbandry.tub import HALF, TubPlan, tub_plan

from .calculations import CALCULATIONS
from .said import animals

KEYS = ("animals", "fish", "volume", "food", "protein", "ph", "temp", "medicine", "level", "strength")
WATER = ("volume", "food", "protein", "ph", "temp")
READ_FROM_TANK = {"ph": "ph", "temp": "temp_c"}


class Medicine(msgspec.Struct, frozen=True, kw_only=True):
    """What is in the tub: for the fill, and for each change at both ends."""

    name: str
    level: str  # as it was typed
    fill: Answer
    back: Answer
    bears: tuple[Verdict, ...]


class Tub(msgspec.Struct, frozen=True, kw_only=True):
    """A tub worked out."""

    animals: tuple[Stock, ...]
    weighed: bool  # the grams were typed, not worked out from lengths
    likely_g: float
    plan: TubPlan  # counts on the heavy end of the grams
    answer: Answer
    read: tuple[str, ...]  # what was taken from the tank's readings
    medicine: Medicine | None

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to mind, each once."""
        return tuple(dict.fromkeys((*self.answer.cautions, *self.of_medicine)))

    @property
    def of_medicine(self) -> tuple[str, ...]:
        """What to mind of the medicine alone."""
        if self.medicine is None:
            return ()
        return tuple(dict.fromkeys((*self.medicine.fill.cautions, *self.medicine.back.cautions)))


def tub_wanted(
    room: Room, tank: str, typed: Mapping[str, str], now: datetime, facts: Facts, taste: Taste
) -> Tub:
    """The tub that was asked for.

    Parameters
    ----------
    room : Room
        Where a tank is named, pH and warmth that were not typed are those last read there.
    tank : str
        The tank whose animals go in; "" for none.
    typed : mapping
        Some of KEYS; "dont-know" takes the cautious value.
    now : datetime
        The moment.
    facts : Facts
        The facts.
    taste : Taste
        The keeper's units.

    Raises
    ------
    BadInput
        If nobody is named, or a number can't be read.
    Refused
        If those who go in must not get the medicine.
    """
    told = {k: v.strip() for k, v in typed.items() if v.strip() and not is_unknown(v)}
    who = tuple(animals(told["animals"], facts, taste)) if "animals" in told else ()
    grams = _grams(told, who, facts, taste)
    read = {} if not tank else _read(room, tank, now, facts, set(typed))
    given: dict[str, float | None] = {k: _number(k, told[k], taste) for k in WATER if k in told}
    full = {**dict.fromkeys(WATER), **read, **given}
    plan, answer = tub_plan(
        grams.high * 1000.0, full["volume"], full["food"], full["protein"], full["ph"], full["temp"], facts
    )
    return Tub(
        animals=who,
        weighed="fish" in told,
        likely_g=grams.value,
        plan=plan,
        answer=answer,
        read=tuple(read),
        medicine=_medicine(told, plan.volume_l, who, facts, taste),
    )


def _number(key: str, text: str, taste: Taste) -> float:
    """One number as the calculation reads it; of a range the end that is harder on the fish."""
    calculation = CALCULATIONS["tub"]
    value = calculation.parse({"fish": "1 g", key: text}, taste)[key]
    if isinstance(value, Estimate):
        return value.low if key == "volume" else value.high
    return float(value)


def _grams(told: Mapping[str, str], who: Sequence[Stock], facts: Facts, taste: Taste) -> Estimate:
    if "fish" in told:
        found = quantity(told["fish"], "mass", "fish", taste).estimate
        if found.low <= 0:
            raise BadInput("fish", told["fish"], "can't be right: it must be more than 0 g.")
        return Estimate(found.value / 1000.0, found.low / 1000.0, found.high / 1000.0)
    if not who:
        raise BadInput(
            "animals", "", "is missing: who goes into the tub? Write 3 cherry barb 3 cm, or fish=4g."
        )
    weights = [_weight(s, facts) for s in who]
    return Estimate(sum(w.value for w in weights), sum(w.low for w in weights), sum(w.high for w in weights))


def _weight(one: Stock, facts: Facts) -> Estimate:
    """By its curve; without a length as long as its kind grows, without a curve as a spindle-shaped fish."""
    known = facts.animals.get(one.kind)
    if one.length_cm is None and known is not None and (grown := adult_length(known)) is not None:
        one = msgspec.structs.replace(one, length_cm=grown)
    if one.length_cm is None:
        raise BadInput("animals", one.name or "unknown", "has no length. Write it like 3 cherry barb 3 cm.")
    found = stock_g(one, facts)
    curve = shape_curve(USUAL_SHAPE, facts)
    if found is not None or curve is None:
        return found or Estimate.exact(0.0)
    each, n = curve.grams(one.length_cm), one.number
    return Estimate(each.value * n.value, each.low * n.low, each.high * n.high)


def _read(room: Room, tank: str, now: datetime, facts: Facts, typed: set[str]) -> dict[str, float | None]:
    """pH and warmth of the tank, where nothing was said of them."""
    state = water_state(room, tank, now, facts)
    latest = {key: state.of(name) for key, name in READ_FROM_TANK.items() if key not in typed}
    return {key: found.value for key, found in latest.items() if found is not None}


def _medicine(
    told: Mapping[str, str], volume_l: float, who: Sequence[Stock], facts: Facts, taste: Taste
) -> Medicine | None:
    name, level = told.get("medicine", ""), told.get("level", "")
    if not name and not level:
        return None
    if not level:
        raise BadInput("level", "", "is missing: how strong is it to be? Write level=2 mg/L.")
    substance = find_substance(facts, name) if name else None
    if name and substance is None:
        raise BadInput("medicine", name, "is not known here. tankward facts lists what is known.")
    shared = {"level": level, "volume": f"{volume_l} L"}
    if "strength" in told:
        shared["strength"] = told["strength"]
    fill = CALCULATIONS["dose"].run({**shared, **({"substance": name} if name else {})}, taste)
    bears = _bears(substance, quantity(level, "level", "level", taste).estimate, who, facts)
    if no := refused(bears):
        raise Refused(*no)
    back = CALCULATIONS["redose"].run({**shared, "change": f"{HALF}"}, taste)
    known = facts.substances[substance].names[0] if substance else "the medicine"
    return Medicine(name=known, level=level, fill=fill, back=back, bears=bears)


def _bears(substance: str | None, level: Estimate, who: Sequence[Stock], facts: Facts) -> tuple[Verdict, ...]:
    if substance is None:
        return ()
    made = limits(substance, who, facts, hours=LC50_HOURS.value)
    levels = {substance: (level.low, level.value, level.high)}
    return judge_levels(made, levels, LC50_HOURS.value, facts)
