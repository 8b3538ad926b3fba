"""Food: how much, how often, what it is made of, and what becomes of a medicine in it."""

from __future__ import annotations

from tankward.knowledge.records.base import Figure, Pair, Record, Row, Statement


class Feed(Row, frozen=True, kw_only=True):
    """One food: one file. Shares as fed."""

    id: str
    name: str
    moisture_low: float
    moisture_high: float
    protein_low: float
    protein_high: float
    unit: str
    basis: str = ""


class FoodFigure(Figure, frozen=True, kw_only=True):
    """A figure about eating: ration, share eaten, mass of a kitchen measure, binder."""

    id: str
    values: tuple[float, ...] = ()
    who: str = ""
    what: str = ""
    name: str = ""
    quantity: str = ""
    statement: str = ""
    value_words: str = ""
    rule: str = ""
    meals_per_day: float | None = None
    temp_c: float | None = None


class AppetiteLoss(Figure, frozen=True, kw_only=True):
    """How much less a sick fish eats."""

    id: str
    who: str
    healthy: float | None = None
    mid: float | None = None
    sick: float | None = None
    fall_percent: float | None = None
    statement: str = ""


class Recipe(Row, frozen=True, kw_only=True):
    """A food made at home."""

    id: str
    how: str
    amounts: dict[str, float | str | Pair] = {}


class ProcedureStep(Row, frozen=True, kw_only=True):
    """A step of making medicated food."""

    id: str
    step: int
    statement: str


class Leaching(Figure, frozen=True, kw_only=True):
    """How much of a medicine leaves the food in the water."""

    id: str
    drug: str
    coat: str
    condition: str
    substance: str = ""
    minutes: float | None = None


class Worked(Figure, frozen=True, kw_only=True):
    """A worked example of the source."""

    id: str
    inputs: str
    working: str


class Feeding(Record, frozen=True, kw_only=True):
    """Everything about feeding, of all files of the folder together."""

    feeding_rate: tuple[FoodFigure, ...] = ()
    feeding_rate_rule: tuple[FoodFigure, ...] = ()
    intake_fact: tuple[FoodFigure, ...] = ()
    share_eaten: tuple[FoodFigure, ...] = ()
    appetite_loss: tuple[AppetiteLoss, ...] = ()
    feeding_frequency: tuple[FoodFigure, ...] = ()
    fasting: tuple[FoodFigure, ...] = ()
    first_food: tuple[FoodFigure, ...] = ()
    household_mass: tuple[FoodFigure, ...] = ()
    binder: tuple[FoodFigure, ...] = ()
    recipe: tuple[Recipe, ...] = ()
    recipe_rule: tuple[Statement, ...] = ()
    procedure: tuple[ProcedureStep, ...] = ()
    leaching: tuple[Leaching, ...] = ()
    making_loss: tuple[FoodFigure, ...] = ()
    leaching_model: tuple[Statement, ...] = ()
    palatability: tuple[FoodFigure, ...] = ()
    worked_example: tuple[Worked, ...] = ()
    gap: tuple[Statement, ...] = ()
