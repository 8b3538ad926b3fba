"""What there is: tanks, stock, supplies, the keeper's kit. In base units; None is "not known", never zero."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated as A

import msgspec

from tankward.quantities.parse import Estimate, Taste

from .questions import Question as Ask


class Thing(msgspec.Struct, frozen=True, kw_only=True):
    """The common type of all things."""


class Tank(Thing, frozen=True):
    """A body of water. Tanks on one sump share a system; alone, a tank is its own system."""

    id: A[str, Ask("", key="tank", hidden=True)]
    name: A[str, Ask("What is it called?", "name")]
    system: A[str, Ask("Which tank does it share its water with?", "tank")] = ""
    shape: A[str, Ask("Which shape?", choices=("box", "cylinder", "hexagon", "bow"))] = "box"
    length_cm: A[float | None, Ask("How long?", "length", above=0, at_most=1000)] = None
    width_cm: A[float | None, Ask("How wide, front to back?", "length", above=0, at_most=1000)] = None
    height_cm: A[float | None, Ask("How high?", "length", above=0, at_most=1000)] = None
    diameter_cm: A[float | None, Ask("How wide across?", "length", above=0, at_most=1000)] = None
    side_cm: A[float | None, Ask("How long is one of the six sides?", "length", above=0, at_most=1000)] = None
    bow_cm: A[float | None, Ask("How far does the front stand out?", "length", above=0, at_most=1000)] = None
    # Given: the sizes are outside ones.
    glass_mm: A[float | None, Ask("How thick is the glass, if you measured outside?", "length", above=0)] = (
        None
    )
    fill_cm: A[
        float | None, Ask("How high is the water over the inside floor?", "length", above=0, at_most=1000)
    ] = None
    substrate_cm: A[float, Ask("How deep is the sand or gravel?", "length", at_least=0, at_most=100)] = 0.0
    grain: A[str, Ask("How coarse is it? A size like 1-2 mm, or sand, gravel, soil.")] = ""
    solids_l: A[float, Ask("How much wood and stone?", "volume", at_least=0)] = 0.0
    # Said by the keeper; wins over the sizes.
    volume_l: A[Estimate | None, Ask("How much water, if you know?", "volume", above=0, at_most=10_000)] = (
        None
    )
    filter: A[str, Ask("Which filter?", choices=("sponge", "box", "canister", "internal", "none"))] = ""
    filter_age_d: A[float | None, Ask("How long has the filter run?", "time", at_least=0)] = None
    filter_seeded: A[bool, Ask("Was it seeded from a ripe one?", "yes")] = False
    temp_c: A[Estimate | None, Ask("How warm is it?", "temperature", at_least=0, at_most=45)] = None
    heater: A[bool | None, Ask("Is there a heater?", "yes")] = None
    light_h: A[float | None, Ask("How long is the light on each day?", "time", at_least=0, at_most=24)] = None
    air: A[bool | None, Ask("Is there air?", "yes")] = None
    tap: A[str, Ask("What is in your tap water?", choices=("chlorine", "chloramine", "none"))] = ""
    shelf: A[str, Ask("Where does it stand?")] = ""
    place: A[int, Ask("Which place in the row?", "number", at_least=0)] = 0


SIZES = (
    "shape", "length_cm", "width_cm", "height_cm", "diameter_cm", "side_cm", "bow_cm", "glass_mm", "fill_cm",
    "substrate_cm", "grain", "solids_l", "volume_l",
)  # fmt: skip


class Measurement(Thing, frozen=True):
    """Water measured, how, and the tank as it was described then."""

    volume_l: Estimate
    how: str
    described: Tank
    at: datetime | None = None
    zone: str = "UTC"
    measured: str = ""  # as it was counted: "3 buckets of 10 L and 4 L"
    earlier: tuple[Measurement, ...] = ()  # of the same tank, oldest first

    @property
    def every(self) -> tuple[Measurement, ...]:
        """All that were made since the sizes were described, oldest first."""
        return (*self.earlier, msgspec.structs.replace(self, earlier=()))

    @property
    def disagree(self) -> bool:
        """Whether two of them can't both be right."""
        lows, highs = zip(*((m.volume_l.low, m.volume_l.high) for m in self.every), strict=True)
        return bool(max(lows) > min(highs))

    @property
    def settled(self) -> Estimate:
        """What holds: the narrowest where they agree (the latest of equals), else all of them together."""
        every = [m.volume_l for m in self.every]
        if self.disagree:
            return Estimate(every[-1].value, min(v.low for v in every), max(v.high for v in every))
        return min(reversed(every), key=lambda v: round(v.high - v.low, 9))

    def holds(self, tank: Tank) -> bool:
        """Whether a new description leaves every size as it was."""
        return all(getattr(tank, size) == getattr(self.described, size) for size in SIZES)


class Stock(Thing, frozen=True):
    """A group of one species (or plant) in one tank."""

    id: A[str, Ask("", key="stock", hidden=True)]
    tank: A[str, Ask("", "tank", key="in", hidden=True)]
    # Id of an animal or a plant of the facts; "" = not known: the strictest limits hold.
    kind: A[str, Ask("Which animal or plant?", "species", needed=True)]
    name: A[str, Ask("What do you call them?", "name")]
    number: A[Estimate, Ask("How many?", "number", at_least=0, at_most=100_000)]
    length_cm: A[Estimate | None, Ask("How long, snout to tail tip?", "length", above=0, at_most=200)] = None
    mass_g: A[Estimate | None, Ask("How heavy is one?", "mass", above=0)] = None
    stage: A[str, Ask("How old?", choices=("adult", "juvenile", "fry", "egg"))] = "adult"
    sex: A[str, Ask("Which sex?", choices=("male", "female", "mixed"))] = ""
    gravid: A[bool | None, Ask("Is one about to give birth?", "yes")] = None
    source: A[str, Ask("Where from?")] = ""
    arrived_d: A[float | None, Ask("How long ago did they come?", "time", at_least=0)] = None


class Weighing(Thing, frozen=True):
    """A netful weighed: when, how many, what they weighed together, the step of the scale."""

    at: datetime
    number: float
    mass_g: float
    step_g: float
    one_g: Estimate
    zone: str = "UTC"


class Active(Thing, frozen=True):
    """One active ingredient of a supply."""

    substance: str
    mg: float  # in one unit of the supply; of `form` where that is given
    form: str = ""
    told: str = ""  # in the words of the label, where it counts another way: "10 mg/mL as copper"


class LabelRule(Thing, frozen=True):
    """What the packet says to do, in fields."""

    units: A[float, Ask("How many at a time?", "number", above=0, key="dose", needed=True)] = 1.0
    per_volume_l: A[float | None, Ask("For how much water?", "volume", above=0, key="per")] = None
    repeat_after_h: A[float | None, Ask("Again after how long?", "time", above=0)] = None
    change_before: A[float | None, Ask("How much water to change before?", "share")] = None
    most_doses: A[int | None, Ask("How many doses at most?", "number", at_least=1)] = None


class Supply(Thing, frozen=True):
    """Something on the shelf, as its label says. Without named actives it can't be dosed by level."""

    id: A[str, Ask("", key="supply", hidden=True)]
    name: A[str, Ask("What do you call it?", "name")]
    unit: A[str, Ask("Counted in what: sachet, tablet, mL, g or drop?", "piece")]
    actives: A[
        tuple[Active, ...],
        Ask("Which actives, and how much of each in one?", "actives", rest=True, needed=True),
    ] = ()
    # Named on the label and not known here, or not known of what it is the weight: it can follow its own
    # rule only, and is judged by the actives that are known.
    unknown: A[tuple[str, ...], Ask("What does it name that is not known here?", "words")] = ()
    rule: A[LabelRule | None, Ask("What does its label say to do?", "inside")] = None
    left: A[float | None, Ask("How many are left?", "number", at_least=0)] = None
    price: A[float | None, Ask("What did one cost?", "number", at_least=0)] = None
    opened: A[str, Ask("When was it opened?", "day")] = ""
    expiry: A[str, Ask("Until when is it good?", "day")] = ""
    held_lawfully: A[bool, Ask("Do you hold it lawfully, by a veterinarian's prescription?", "yes")] = False
    held_since: A[str, Ask("", "day", hidden=True)] = ""
    # used_up, thrown_away: what was given from it keeps its name.
    gone: A[str, Ask("", hidden=True)] = ""

    @property
    def own_rule_only(self) -> bool:
        """Whether nobody can say how strong all of it makes the water."""
        return not self.actives or bool(self.unknown)


class Spoon(Thing, frozen=True):
    """A spoon, weighed once with each powder. What it holds by volume may be unknown."""

    name: str
    volume_ml: float | None = None
    grams: dict[str, float] = {}  # substance id -> g in one level spoon
    off: dict[str, float] = {}  # substance id -> share by which that weighing may be out; 0 where not said


class Kit(Thing, frozen=True):
    """What the keeper can measure with, and what holds for the whole room."""

    scale_g: A[float | None, Ask("What is the step of your scale?", "mass", above=0)] = None
    syringes_ml: A[tuple[float, ...], Ask("Which syringes?", "volumes")] = ()
    spoons: A[tuple[Spoon, ...], Ask("Which spoons, and what do they hold?", "spoons")] = ()
    buckets_l: A[tuple[float, ...], Ask("Which buckets?", "volumes")] = ()
    # Ids of the facts about kits. A reading taken then carries that kit's error.
    tests: A[tuple[str, ...], Ask("Which test kits and meters?", "test_kits")] = ()
    hose_l_per_min: A[Estimate | None, Ask("How fast does the hose run?", "flow", above=0, key="hose")] = None
    hours: A[str, Ask("When can you be at the tanks?", "hours")] = ""
    taste: A[Taste, Ask("How do you measure?", "inside")] = Taste()
    region: A[str, Ask("Whose law holds where you are?", choices=("US", "UK", "EU", "DE", "other"))] = ""
    # What new tanks take over.
    tap: A[str, Ask("What is in your tap water?", choices=("chlorine", "chloramine", "none"))] = ""
    paper: A[str, Ask("Which paper is in your printer?", choices=("a4", "letter"))] = ""
    # "" follows the device.
    colours: A[str, Ask("Pages in which colours?", choices=("day", "night"))] = ""


class Reading(Thing, frozen=True):
    """One value read in the water: name, value in base unit, the kit's error where known."""

    quantity: str  # see entries/water.py, MEASURED
    value: float
    low: float | None = None
    high: float | None = None
    kit: str = ""  # id of the kit it was read with; "" = the usual one
