"""A course as data: its steps, doses, what to put back, who bears it. Sentences are made by show/words."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.judge.conditions import People
from tankward.judge.limit import Limit
from tankward.judge.verdicts import Verdict
from tankward.knowledge.records.keeping import PeopleRow
from tankward.knowledge.records.substance import Law, Regimen
from tankward.quantities.faults import Reason
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer
from tankward.room.acts import AnyAct
from tankward.treat.amounts.food import MedicatedFood
from tankward.treat.amounts.kitchen import Kitchen
from tankward.treat.amounts.measure import Measured
from tankward.treat.amounts.net_bath import NetPlan
from tankward.treat.amounts.published import Published
from tankward.treat.label import LabelVerdict
from tankward.treat.policy import Permission
from tankward.treat.remedies.records import Left, Number, Reached


class Valued(msgspec.Struct, frozen=True, kw_only=True):
    """A number that a sentence needs, with where it comes from."""

    value: float
    low: float
    high: float
    unit: str = ""
    source: str = "none"
    status: str = "computed"


class Said(msgspec.Struct, frozen=True, kw_only=True):
    """A sentence yet to be made: its kind and what it holds."""

    kind: str
    values: dict[str, Valued | str] = {}


class CourseStep(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to do, when, how much, how, why, and what it may do to people."""

    id: str
    at: datetime
    kind: str
    act: AnyAct
    amount: Answer | None = None
    measured: Measured | None = None
    how: Said
    why: Said
    hazard: tuple[PeopleRow, ...] = ()
    tub: bool = False  # done in the tub beside the tank: the tank's water meets nothing of it


class ActiveDose(msgspec.Struct, frozen=True, kw_only=True):
    """One active of a dose. Amount in mg, or uL of formalin; level in mg/L or uL/L."""

    substance: str
    amount: float
    amount_unit: str
    level: Estimate  # what this dose alone makes
    level_unit: str
    published: Published | None = None
    lies: str = ""  # below, within, above the published span; "" where nothing is published


class DosePlan(msgspec.Struct, frozen=True, kw_only=True):
    """One dose as it will be given: `units` packets, or a weighed amount."""

    at: datetime
    number: int
    kind: str  # full, part, put-back
    actives: tuple[ActiveDose, ...]
    units: float | None
    measured: Measured
    peaks: dict[str, Estimate] = {}  # active -> level right after, every earlier dose counted


class BackOf(msgspec.Struct, frozen=True, kw_only=True):
    """What to put back of one active: if it lasted, as is likely, if it were gone."""

    substance: str
    before: Estimate  # level just before the change
    lasting: float
    likely: float
    gone: float
    unit: str
    units_lasting: float | None = None  # the same in packets
    units_likely: float | None = None
    units_gone: float | None = None
    generic: bool = False  # no half-life of its own is known


class PutBack(msgspec.Struct, frozen=True, kw_only=True):
    """Before one repeat: the change, and what to put back of each active. Safety rule 9."""

    at: datetime
    changed: float
    parts: tuple[BackOf, ...]
    apart: bool  # the actives differ by more than a quarter: one packet can no longer hold them
    by: str  # the active by which the plan puts back


class Watch(msgspec.Struct, frozen=True, kw_only=True):
    """How long an organism is looked for after the course: one cycle of its slowest at this warmth."""

    organism: str
    from_: datetime
    until: datetime
    low_d: float
    high_d: float
    source: str
    status: str


class Rounds(msgspec.Struct, frozen=True, kw_only=True):
    """How often. Safety rule 12."""

    planned: int
    published: int | None
    label: int | None
    most: int
    before: int  # courses of the same substance in this tank within six months


class Statement(msgspec.Struct, frozen=True, kw_only=True):
    """Lawful possession as the keeper stated it: it stands on every sheet with the region's lines."""

    supply: str
    stated_on: str
    region: str
    law: tuple[Law, ...]


class Fast(msgspec.Struct, frozen=True, kw_only=True):
    """How long nothing is fed before the first medicated meal (rule 11), and why not longer."""

    low_h: float
    high_h: float
    kind: str  # usual, short (gravid females), none (wasted fish or fry)


class Recipe(msgspec.Struct, frozen=True, kw_only=True):
    """A food or a bath made up apart."""

    kind: str  # food, bath
    food: MedicatedFood | None = None
    packets: float | None = None
    for_one_packet_g: float | None = None
    weigh: Measured | None = None
    kitchen: Kitchen | None = None  # how the food is made and parted
    fast: Fast | None = None
    days_per_batch: float | None = None
    biomass_g: Estimate | None = None
    weighed: bool = False  # the fish, not worked out from their length
    grown: tuple[str, ...] = ()  # taken as long as their kind grows
    level_if_all_mg_l: float | None = None  # the whole batch fallen into the tank
    ration: tuple[float, float, float] | None = None  # share of their weight a day: little, likely, much
    tub_l: float | None = None
    minutes: tuple[float, float] | None = None
    numbers: tuple[Number, ...] = ()


class Without(msgspec.Struct, frozen=True, kw_only=True):
    """A remedy without medicine as it is laid: what a plan may vary, and the tub it takes."""

    days: float  # in all
    every_h: float = 0.0  # between two moves to a clean tub; 0: they are not moved
    move_days: float = 0.0  # so long they are moved
    moves: int = 0
    change_share: float = 0.0  # of the tank's water, each day
    siphon: float = 0.0  # of the tank's floor, each day
    tub_l: float = 0.0  # 0: nobody leaves the tank
    tub_change_d: float = 0.0  # half of the tub's water each so many days, while they are not moved
    food_g: float = 0.0  # dry food in the tub a day
    who: tuple[str, ...] = ()  # groups that go over
    nh3_n_mg_l: float = 0.0  # the poisonous part just before a change, high end of what food makes


class Course(msgspec.Struct, frozen=True, kw_only=True):
    """A course that may be begun. It is only a proposal until an entry says so."""

    key: str
    tank: str
    substance: str
    remedy: str = ""  # of one without medicine: its id; then substance and route are ""
    route: str
    place: str
    regimen: Regimen | None
    supply: str
    permission: Permission
    statement: Statement | None
    answers: People | None  # of the people near, where the substance asks for them
    causes: tuple[str, ...]
    start: datetime
    ends: datetime
    decide_on: datetime
    volume_l: Estimate | None
    level: Answer | None
    steps: tuple[CourseStep, ...]
    doses: tuple[DosePlan, ...] = ()
    put_back: tuple[PutBack, ...] = ()
    rounds: Rounds
    limits: tuple[Limit, ...] = ()
    bears: tuple[Verdict, ...] = ()
    reaches: tuple[Reached, ...] = ()
    not_reached: tuple[Reached, ...] = ()
    leaves: tuple[Left, ...] = ()
    cautions: tuple[Reason, ...] = ()
    jar_trial: bool = False
    judged: LabelVerdict | None = None
    watch: tuple[Watch, ...] = ()
    recipe: Recipe | None = None
    without: Without | None = None
    people: tuple[PeopleRow, ...] = ()
    net: NetPlan | None = None  # how the net of this tank is made clean, by the hardest germ still open
