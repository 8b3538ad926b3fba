"""What there is: tanks, stock, supplies, the keeper's kit. In base units; None is "not known", never zero."""

from __future__ import annotations

import msgspec

from tankward.quantities.parse import Estimate, Taste


class Thing(msgspec.Struct, frozen=True, kw_only=True):
    """The common type of all things."""


class Tank(Thing, frozen=True):
    """A body of water. Tanks on one sump share a system; alone, a tank is its own system."""

    id: str
    name: str
    system: str = ""
    shape: str = "box"  # box, cylinder, hexagon, bow
    length_cm: float | None = None
    width_cm: float | None = None
    height_cm: float | None = None
    diameter_cm: float | None = None
    side_cm: float | None = None
    bow_cm: float | None = None
    glass_mm: float | None = None  # given: the sizes are outside
    fill_cm: float | None = None  # water height above the inside floor
    substrate_cm: float = 0.0
    grain: str = ""
    solids_l: float = 0.0
    volume_l: Estimate | None = None  # said by the keeper, or measured; wins over the sizes
    filter: str = ""  # sponge, box, canister, none, "" = not known
    filter_age_d: float | None = None
    filter_seeded: bool = False
    temp_c: Estimate | None = None
    heater: bool | None = None
    light_h: float | None = None
    air: bool | None = None
    tap: str = ""  # chlorine, chloramine, none, "" = not known
    shelf: str = ""  # where it stands
    place: int = 0


class Stock(Thing, frozen=True):
    """A group of one species (or plant) in one tank."""

    id: str
    tank: str
    kind: str  # id of an animal or a plant of the facts; "" = not known
    name: str  # as the keeper calls it
    number: Estimate
    length_cm: Estimate | None = None
    mass_g: Estimate | None = None  # of one
    stage: str = "adult"  # adult, juvenile, fry, egg
    sex: str = ""  # male, female, mixed, "" = not known
    gravid: bool | None = None
    source: str = ""
    arrived_d: float | None = None


class Active(Thing, frozen=True):
    """One active ingredient of a supply."""

    substance: str
    mg: float  # in one unit of the supply; of `form` where that is given
    form: str = ""


class LabelRule(Thing, frozen=True):
    """What the packet says to do, in fields."""

    units: float = 1.0
    per_volume_l: float | None = None
    repeat_after_h: float | None = None
    change_before: float | None = None  # share of the water
    most_doses: int | None = None


class Supply(Thing, frozen=True):
    """Something on the shelf, as its label says. Without named actives it can't be dosed by level."""

    id: str
    name: str
    unit: str  # sachet, tablet, mL, g, drop
    actives: tuple[Active, ...] = ()
    rule: LabelRule | None = None
    left: float | None = None  # units left
    price: float | None = None
    opened: str = ""
    expiry: str = ""
    held_lawfully: bool = False
    held_since: str = ""


class Spoon(Thing, frozen=True):
    """A spoon, weighed once with one powder."""

    name: str
    volume_ml: float
    grams: dict[str, float] = {}  # substance or supply id -> g level


class Kit(Thing, frozen=True):
    """What the keeper can measure with."""

    scale_g: float | None = None  # its step
    syringes_ml: tuple[float, ...] = ()
    spoons: tuple[Spoon, ...] = ()
    buckets_l: tuple[float, ...] = ()
    hours: str = ""
    taste: Taste = Taste()
    region: str = ""  # US, UK, EU, DE, other, "" = not known


class Reading(Thing, frozen=True):
    """One value read in the water: name, value in base unit, the kit's error where known."""

    quantity: str  # ammonia_n, nitrite_n, nitrate_n, ph, temp_c, oxygen, kh, gh, conductivity, chlorine, salt
    value: float
    low: float | None = None
    high: float | None = None
