"""A substance: what it is, what it does, who bears it, how it is used, how it goes."""

from __future__ import annotations

from typing import Literal

import msgspec

from tankward.knowledge.records.base import Drawn, Figure, Record, Row, Status

Use = Literal["keeper", "vet", "hazard", "historic"]
Care = Literal["plain", "careful", "expert", "vet", "never"]
SubstanceKind = Literal[
    "anthelmintic", "antiprotozoal", "antibiotic", "combination", "crustacean poison", "external biocide",
    "disinfectant", "salt", "buffer", "water conditioner", "filter medium", "anaesthetic", "botanical",
    "physical",
]  # fmt: skip
Process = Literal[
    "photolysis", "hydrolysis", "biodegradation", "biofilter", "carbon", "sorption", "oxidant demand",
    "storage", "persistence", "stability", "speciation", "by-product", "water change", "reaction",
]  # fmt: skip
Route = Literal["water_long", "water_bath", "dip", "feed", "heat", "tool", "filter", "swab"]
EffectOn = Literal["filter", "plants", "shrimp", "snails", "oxygen", "fry", "eggs", "scaleless", "gut"]
Level = Literal["none", "low", "moderate", "high", "severe", "unknown"]
Severity = Literal["helpful", "low", "moderate", "high", "severe"]
Sensitive = Literal["ok", "caution", "avoid", "lethal", "unknown"]


class Form(Row, frozen=True, kw_only=True):
    """A salt, hydrate or ester. Dose of the form = dose of the active / active_fraction."""

    name: str
    cas: str
    formula: str
    molar_mass_g_mol: float
    active_formula: str
    active_per_formula: int
    active_fraction: float


class Solubility(Figure, frozen=True, kw_only=True):
    """How much dissolves."""

    conditions: str = ""


class Stability(Row, frozen=True, kw_only=True):
    """One way in which it goes, and how fast."""

    process: Process
    text: str
    half_life_h_low: float | None = None
    half_life_h_high: float | None = None
    gone_after_h_low: float | None = None
    gone_after_h_high: float | None = None
    rate_mg_l_h_low: float | None = None
    rate_mg_l_h_high: float | None = None
    conditions: str = ""


class Regimen(Row, frozen=True, kw_only=True):
    """A way of using it. `recommended` is only permission to consider."""

    id: str
    route: Route
    target: str
    treats: tuple[str, ...]
    recommended: bool
    purpose: str = ""
    relieves: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    unit: str = ""
    basis: str = ""
    duration: str = ""
    duration_h_low: float | None = None
    duration_h_high: float | None = None
    left_in: bool = False
    repeats: str = ""
    repeats_low: int | None = None
    repeats_high: int | None = None
    interval: str = ""
    interval_d_low: float | None = None
    interval_d_high: float | None = None
    temp_min_c: float | None = None
    temp_max_c: float | None = None
    conditions: str = ""
    only_groups: tuple[str, ...] = ()
    not_groups: tuple[str, ...] = ()


class Tolerance(Figure, frozen=True, kw_only=True):
    """Who survived how much, for how long. `applies_to` empty: another animal, never the own species."""

    taxon: str
    applies_to: tuple[str, ...]
    group: Literal["fish", "shrimp", "snail", "crustacean", "bacteria", "plant"]
    endpoint: str
    life_stage: str = ""
    exposure: str = ""
    exposure_h: float | None = None
    conditions: str = ""


class Ceiling(Row, frozen=True, kw_only=True):
    """Our own limit on the level in the water, whatever the regimen; a part of a combination counts too."""

    route: Literal["water", "feed"]
    warn_above: float
    refuse_above: float
    unit: str
    text: str = ""


class Effect(Row, frozen=True, kw_only=True):
    """What it does to the filter, plants, shrimp, snails, oxygen and others, as a word."""

    on: EffectOn
    level: Level
    text: str


class Potency(Figure, frozen=True, kw_only=True):
    """What it does to a stage of an organism, in the words of the source."""

    organism: str
    stage: str
    endpoint: str
    exposure: str = ""


class Kinetics(Figure, frozen=True, kw_only=True):
    """What happens to it in the fish."""

    species: str
    route: str
    parameter: str
    dose: str = ""
    temp_c: float | None = None
    temp_text: str = ""


class Meeting(Row, frozen=True, kw_only=True):
    """What happens when it meets another substance or a state of the water."""

    with_: str = msgspec.field(name="with")
    effect: str
    severity: Severity


class Law(Row, frozen=True, kw_only=True):
    """General lines of the law of a region; not legal advice."""

    region: Literal["US", "UK", "EU", "all"]
    statement: str


class Human(Row, frozen=True, kw_only=True):
    """What it does to people."""

    hazard: str


class Disposal(Row, frozen=True, kw_only=True):
    """How to be rid of it."""

    text: str


class Contradiction(Record, frozen=True, kw_only=True):
    """Two figures that disagree, and which is used and why."""

    topic: str
    one: str
    other: str
    use: str
    source: str


class SensitivityRow(Row, frozen=True, kw_only=True):
    """How a group of animals, plants or bacteria bears it at usual levels."""

    group: str
    cls: Sensitive
    basis: str = ""


class Loss(Record, frozen=True, kw_only=True):
    """Half-lives in water at 20 °C; theta for dark and filter. `filter_used`: met it within 28 d."""

    dark: Drawn
    light: Drawn
    filter_naive: Drawn
    filter_used: Drawn
    carbon: Drawn
    theta: Drawn


class Substance(Record, frozen=True, kw_only=True):
    """One substance: one file."""

    id: str
    names: tuple[str, ...]
    cas: tuple[str, ...]
    class_: str = msgspec.field(name="class")
    kind: SubstanceKind
    use: Use
    use_note: str
    care: Care
    dose_as: str
    targets: tuple[str, ...]
    not_for: tuple[str, ...]
    identity_status: Status
    human: Human
    disposal: Disposal
    effect: tuple[Effect, ...]
    never_with_animals: bool = False
    formula: str = ""
    formula_note: str = ""
    molar_mass_g_mol: float | None = None
    molar_mass_status: Status | None = None
    parts: tuple[str, ...] = ()  # of a combination: ids of substances
    loss: Loss | None = None
    form: tuple[Form, ...] = ()
    solubility: tuple[Solubility, ...] = ()
    stability: tuple[Stability, ...] = ()
    regimen: tuple[Regimen, ...] = ()
    tolerance: tuple[Tolerance, ...] = ()
    ceiling: tuple[Ceiling, ...] = ()
    potency: tuple[Potency, ...] = ()
    kinetics: tuple[Kinetics, ...] = ()
    interaction: tuple[Meeting, ...] = ()
    law: tuple[Law, ...] = ()
    contradiction: tuple[Contradiction, ...] = ()
    sensitivity: tuple[SensitivityRow, ...] = ()
