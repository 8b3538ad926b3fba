"""Animals, plants, filter bacteria, their groups, and how they grow and breathe."""

from __future__ import annotations

from typing import Literal

from tankward.knowledge.records.base import Figure, Pair, Record, Row

Kind = Literal["fish", "amphibian", "shrimp", "crayfish", "snail", "plant", "bacteria"]


class Trait(Figure, frozen=True, kw_only=True):
    """One figure about an animal or a plant; `a`, `b` are those of mass in g = a · length in cm ^ b."""

    quantity: str
    values: tuple[float, ...] = ()
    value_words: str = ""
    measure: str = ""
    sex: str = ""
    stage: str = ""
    substance: str = ""
    exposure: str = ""
    a: float | None = None
    b: float | None = None
    sd_log10_a: float | None = None
    sd_b: float | None = None
    length_low: float | None = None
    length_high: float | None = None
    n: int | None = None
    mass_g: float | None = None
    range_cm: Pair | None = None
    range_g: Pair | None = None
    formula: str = ""
    r: float | None = None
    sd: float | None = None


class Growth(Row, frozen=True, kw_only=True):
    """A von Bertalanffy curve."""

    model: str
    sex: str
    k_per_year: float
    linf_cm_tl: float | None = None
    linf_cm: float | None = None
    length_type: str = ""
    t0_years: float | None = None
    temp_c: float | None = None
    setting: str = ""


class GrowthPoint(Row, frozen=True, kw_only=True):
    """A length at an age."""

    age_d: float
    length_cm_tl: float
    sd_cm: float
    regime: str


class Reproduction(Figure, frozen=True, kw_only=True):
    """Broods, eggs, times."""

    quantity: str
    of: str = ""
    statement: str = ""
    temp_c: float | None = None
    formula: str = ""
    r2: float | None = None
    length_low_mm: float | None = None
    length_high_mm: float | None = None
    sd: float | None = None
    se: float | None = None
    n: int | None = None


class MetabolicRate(Row, frozen=True, kw_only=True):
    """Oxygen used: mg O2 per h per fish = coef · mass in g ^ exponent."""

    id: str
    level: str
    formula: str
    coef: float
    exponent: float
    temp_c: float
    n: int
    mass_low_g: float
    mass_high_g: float
    residual_sd_ln: float
    based_on: str
    of: str = ""


class MetabolicPoint(Row, frozen=True, kw_only=True):
    """Oxygen used at one mass and temperature."""

    level: str
    temp_c: float
    mass_g: float
    rate_mg_kg_h: float
    of: str = ""


class Animal(Row, frozen=True, kw_only=True):
    """One species: one file. `host_tags` are the kinds of host as causes speak of them."""

    id: str
    common: str
    names: tuple[str, ...]
    scientific: str
    group: str
    host_tags: tuple[str, ...]
    kind: Kind
    body_shape: str
    scaleless: bool
    treat_as_sensitive: bool
    eats_fry: str
    air_breather: bool
    diet: str
    stages: tuple[str, ...]
    sexing: str = ""
    notes: str = ""
    fact: tuple[Trait, ...] = ()
    growth: tuple[Growth, ...] = ()
    growth_point: tuple[GrowthPoint, ...] = ()
    reproduction: tuple[Reproduction, ...] = ()
    metabolic_rate: tuple[MetabolicRate, ...] = ()
    metabolic_point: tuple[MetabolicPoint, ...] = ()


class Plant(Row, frozen=True, kw_only=True):
    """One plant: one file."""

    id: str
    group: str
    scientific: str
    common: str
    form: str
    robust: bool
    temp_low_c: float
    temp_high_c: float
    ph_low: float
    ph_high: float
    names: tuple[str, ...] = ()
    notes: str = ""
    fact: tuple[Trait, ...] = ()


class Bacterium(Row, frozen=True, kw_only=True):
    """A guild of the filter."""

    id: str
    scientific: str
    role: str
    temp_low_c: float
    temp_high_c: float
    ph_low: float
    ph_high: float
    group: str = ""


class Group(Record, frozen=True, kw_only=True):
    """Animals, plants or bacteria that bear substances alike; `life_stage` marks a stage of any species."""

    id: str
    name: str
    kind: Kind
    life_stage: bool = False
    names: tuple[str, ...] = ()


class LifeStageRule(Row, frozen=True, kw_only=True):
    """A rule for a stage of life of the kinds and groups named. There is no half dose."""

    who: str
    stage: str
    rule: str
    kinds: tuple[Kind, ...] = ()
    groups: tuple[str, ...] = ()
    not_groups: tuple[str, ...] = ()
    substances: tuple[str, ...] = ()
    dose_factor: float | None = None


class SensitivityClass(Row, frozen=True, kw_only=True):
    """What a class of sensitivity means."""

    id: str
    meaning: str


class ShapeMass(Row, frozen=True, kw_only=True):
    """Mass in g = a · length in cm ^ b for a shape of body."""

    shape: str
    a: float
    b: float
    unit: str
    use: str
    basis: str = ""
    sd_log10_a: float | None = None


class GrowthRule(Figure, frozen=True, kw_only=True):
    """A rule about mass, growth or breathing."""

    id: str
    statement: str = ""
    factor_low: float | None = None
    factor_high: float | None = None
    mass_exponent: float | None = None
    range_c: Pair | None = None
