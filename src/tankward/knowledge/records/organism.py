"""An organism: its life as the model draws it, and what was read about it."""

from __future__ import annotations

from typing import Literal

import msgspec

from tankward.knowledge.records.base import Drawn, Figure, Record, Row, Status

Place = Literal["on_host", "in_host", "water", "surface", "carrier"]
By = Literal["time", "attach", "carrier"]
KillRoute = Literal["water", "bath", "feed", "tool", "uv"]
Way = Literal["fish", "water", "net", "siphon", "plants", "snails", "hands"]

ANY_SUBSTANCE = "any"  # a kill row that says: nothing is known to act
WITHOUT_FILE = frozenset({"dimetridazole"})  # read about, but no substance that anybody here doses
REMOVE_ILL = "remove_ill"  # the usual care where no substance acts: the ill apart, the dead out


class Stage(Record, frozen=True, kw_only=True):
    """A stage of life: where it sits, how many equal sub-stages it has, what it becomes and how."""

    id: str
    place: Place
    rows: int
    rows_low: int | None = None
    rows_high: int | None = None
    rows_status: Status | None = None
    next: str = ""
    by: By | None = None


class Parameter(Drawn, frozen=True, kw_only=True):
    """A number the model draws. `use` false: kept as evidence or contradiction, never drawn."""

    name: str
    stage: str = ""
    temp_c: float | None = None
    sign: str = ""
    use: bool = True


class Kill(Row, frozen=True, kw_only=True):
    """Share of a stage that is dead after `exposure_h` at `level`; `temp_c`, up to `temp_to_c`: the warmth at
    which it was read.
    """

    substance: str
    route: KillRoute
    stage: str
    level: float
    unit: str
    exposure_h: float
    share_low: float
    share_high: float
    basis: str = ""
    temp_c: float | None = None
    temp_to_c: float | None = None
    hill_low: float | None = None
    hill_high: float | None = None
    emax_low: float | None = None
    emax_high: float | None = None
    no_effect_share: float | None = None
    min_exposure_h: float | None = None
    use: bool = True


class Births(Record, frozen=True, kw_only=True):
    """Which stage bears which, in a clutch at its end or at a rate."""

    from_: str = msgspec.field(name="from")
    into: str
    by: Literal["clutch", "rate"]


class Usual(Record, frozen=True, kw_only=True):
    """The usual course, for comparison; not a recommendation."""

    regimen: str
    substance: str
    route: str
    level: float
    unit: str
    from_day: float
    days: tuple[float, ...]
    hold_d: float
    change: float
    every_d: float
    siphon: bool
    note: str
    stress_after: float | None = None
    pull: str = ""
    pull_share: float | None = None


class Zoonosis(Row, frozen=True, kw_only=True):
    """What it does to people."""

    hazard: str


class Notifiable(Row, frozen=True, kw_only=True):
    """Whether an authority must be told."""

    value: str


class Advice(Row, frozen=True, kw_only=True):
    """How it behaves in outline and where people go wrong."""

    shape: str
    traps: str
    fit: str = ""


class Life(Row, frozen=True, kw_only=True):
    """A stage in the words of its source: where it is and what reaches it."""

    id: str
    place: str
    exposed_to: str


class Duration(Figure, frozen=True, kw_only=True):
    """How long a stage takes at a temperature."""

    stage: str
    temp_c: float | None = None
    temp_assumed: bool = False


class Reading(Figure, frozen=True, kw_only=True):
    """Another thing read about it: output, survival, infection, harm, limits."""

    what: str = ""
    stage: str = ""
    min: float | None = None
    max: float | None = None
    n: int | None = None
    temp_c: float | tuple[float, ...] | None = None
    temp_assumed: bool = False
    dose: tuple[float, ...] = ()
    mortality: tuple[float, ...] = ()
    mortality_low: tuple[float, ...] = ()
    mortality_high: tuple[float, ...] = ()
    use: bool = True


class Spread(Row, frozen=True, kw_only=True):
    """A way by which it gets from one to the next; `by`: the same as a tank may meet another by it."""

    route: str
    level: str
    by: tuple[Way, ...] = ()

    @property
    def how_much(self) -> str:
        """The level in one word: high, medium, low, none."""
        return self.level.replace(",", " ").split()[0]


class Susceptibility(Figure, frozen=True, kw_only=True):
    """What was read of a remedy against a stage; `substances` are the ids named in `remedy`."""

    stage: str
    remedy: str
    substances: tuple[str, ...]
    measure: str
    exposure: str = ""


class Risk(Row, frozen=True, kw_only=True):
    """What makes it more or less likely."""

    factor: str
    effect: str


class Organism(Record, frozen=True, kw_only=True):
    """One organism: one file."""

    id: str
    name: str
    common: tuple[str, ...]
    kind: str
    cycle: str
    host_range: str
    structure: str
    counts: str
    thin: str
    zoonosis: Zoonosis
    notifiable: Notifiable
    advice: Advice
    usual: Usual
    stage: tuple[Stage, ...]
    parameter: tuple[Parameter, ...]
    kill: tuple[Kill, ...]
    corpse_to: str = ""
    host: str = ""  # "none": lives free
    births: Births | None = None
    life: tuple[Life, ...] = ()
    duration: tuple[Duration, ...] = ()
    fecundity: tuple[Reading, ...] = ()
    survival: tuple[Reading, ...] = ()
    infection: tuple[Reading, ...] = ()
    host_effect: tuple[Reading, ...] = ()
    limits: tuple[Reading, ...] = ()
    prevalence: tuple[Reading, ...] = ()
    spread: tuple[Spread, ...] = ()
    susceptibility: tuple[Susceptibility, ...] = ()
    risk: tuple[Risk, ...] = ()


class Structure(Record, frozen=True, kw_only=True):
    """A kind of life, and the parameters it needs."""

    id: str
    equation: str
    needs: tuple[str, ...]
    host_needs: bool


class Default(Drawn, frozen=True, kw_only=True):
    """A property of a tank nobody has measured, or a figure of a rule."""

    id: str


class Factor(Drawn, frozen=True, kw_only=True):
    """What an effect word of a substance stands for."""

    word: str
    on: str = ""


class ReferenceState(Row, frozen=True, kw_only=True):
    """The state at which `reproduction` is defined."""

    fish_g_l: float
    temp_c: float
    hosts: str
    removal: str


class Kit(Record, frozen=True, kw_only=True):
    """A test kit or a measuring tool: its steps and how far a reading may be off."""

    id: str
    reads: str
    quantities: tuple[str, ...] = ()  # of readings (room/entries/water.py) that it can give
    unit: str
    basis: str = ""
    error: Drawn
    lot: Drawn
    steps: tuple[float, ...] = ()
    step_words: str = ""
    zero_means: Drawn | None = None
