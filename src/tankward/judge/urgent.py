"""The next ten minutes: what to do now, in order, before anybody asks a question that can wait."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer

from .choices import ACID_PH, HALF_CHANGE, OLD_TANK_D, SHOCK_TEMP, SMALL_CHANGE
from .finding import Finding
from .first_aid import change_amount, dechlorinator
from .little_water import HANGS_DRY, filling, first_portion

# Signs that ask for the next ten minutes, whatever is behind them.
URGENT_SIGNS = frozenset({"gasping_surface", "on_side", "sudden_deaths_many"})
# What fresh carbon does not take: for these it is not put in.
CARBON_LEAVES = frozenset({"formalin", "formalin_malachite", "sodium_chloride", "magnesium_sulfate"})

Answered = Literal["yes", "no", "dont-know"]


class Ask(msgspec.Struct, frozen=True, kw_only=True):
    """A question of one touch, whose answer decides the step it stands with."""

    id: str
    says: str
    answers: tuple[Answered, ...] = ("yes", "no", "dont-know")
    if_answer: tuple[Answered, ...] = ("yes", "dont-know")  # the step is done on these


class UrgentStep(msgspec.Struct, frozen=True, kw_only=True):
    """One act of the next ten minutes, or of the hours after a slip.

    `of`: the decision behind it, with its numbers; its words are made of it. `at`: when, where not now.
    """

    act: str
    why: str = ""
    of: msgspec.Struct | None = None
    at: datetime | None = None
    amount: Answer | None = None
    share: float | None = None
    ask: Ask | None = None
    unless: tuple[str, ...] = ()
    again_h: tuple[float, float] | None = None
    caution: str = ""
    source: str = "none"
    status: str = "common-practice"


class Urgent(msgspec.Struct, frozen=True, kw_only=True):
    """What to do now, in order; then what to ask; and what never to do."""

    because: tuple[str, ...]
    steps: tuple[UrgentStep, ...]
    ask: tuple[Ask, ...] = ()
    tells: tuple[tuple[str, str], ...] = ()  # what is seen -> what it points at
    never: tuple[str, ...] = ()
    look_again_min: int = 10


class Told(msgspec.Struct, frozen=True, kw_only=True):
    """What is known when it is urgent. None and "" are "don't know"."""

    volume_l: Estimate | None = None  # that is there
    full_l: Estimate | None = None  # what the full tank holds; None: as much as is there
    left: float = 1.0  # of the full tank
    ph: float | None = None
    untreated_tap: bool | None = None  # tap water today without, or perhaps without, dechlorinator
    big_change_d: float | None = None  # days since the last big change
    dosed: tuple[str, ...] | None = None  # substances that went in; () nothing; None: don't know


def urgent(
    seen: Collection[str], told: Told, facts: Facts, *, found: Sequence[Finding] = ()
) -> Urgent | None:
    """The next ten minutes, or None where nothing is that urgent.

    Parameters
    ----------
    seen : collection of str
        Signs seen now.
    told : Told
        What is known; whatever is not known is answered as if it were bad.
    facts : Facts
        The facts.
    found : sequence of Finding
        What the water says.

    Returns
    -------
    Urgent or None
        Air; nothing more goes in; dechlorinator for the whole tank unless the tap is ruled out; the right
        change; carbon; then questions.

    Notes
    -----
    Half a change of an old acid tank with hard tap water frees its ammonia: 4 mg/L total is 0.002 mg/L
    NH3-N at pH 6.0 and 0.044 at 7.6. So where the last big change is over two months ago, or nobody knows
    and the pH is not known or under 6.8, only 15 to 20 % is changed, again every two to three hours, and
    no pH raiser goes in.
    """
    because = [s for s in seen if s in URGENT_SIGNS]
    because += [f.kind for f in found if f.severity == "danger" and f.kind in URGENT_WATER]
    if not because:
        return None
    return Urgent(
        because=tuple(because),
        steps=tuple(first_steps(told, facts)),
        ask=AFTERWARDS,
        tells=TELLS,
        never=NEVER,
    )


URGENT_WATER = frozenset(
    {"chlorine", "ammonia", "nitrite", "low_oxygen", "ph_crash", "medicine-did-it", "little_water"}
)


def first_steps(told: Told, facts: Facts) -> list[UrgentStep]:
    """The acts in their order; a step that what is known has ruled out is left out."""
    dry = told.left < HANGS_DRY.value
    steps = [DRY_OFF, AIR, NOTHING_MORE, fill_step(told)] if dry else [AIR, NOTHING_MORE]
    if told.untreated_tap is not False:
        ask = UNTREATED_TAP if told.untreated_tap is None else None
        amount = dechlorinator(whole_l(told), facts)
        steps.append(msgspec.structs.replace(DECHLORINATE, amount=amount, ask=ask))
    then = [] if dry else [change_step(told)]
    return [*steps, *then, *carbon_steps(told), DIM, *([BACK_ON] if dry else []), LOOK_AGAIN]


def whole_l(told: Told) -> Estimate | None:
    """What the full tank holds. [L]"""
    return told.full_l or told.volume_l


def fill_step(told: Told) -> UrgentStep:
    """What is missing, in portions that the fish bear: little at once where the tank may be old and acid."""
    old = old_or_acid(told)
    share, every_h = (SMALL_CHANGE, 2.5) if old else (HALF_CHANGE, 1.0)
    return UrgentStep(
        act="fill",
        why="an old, acid tank holds ammonia that much new water would make poisonous: little, and again"
        if old
        else "new water all at once is a shock; too little of it is foul within hours",
        amount=first_portion(whole_l(told), told.left, share.value),
        ask=BIG_CHANGE if told.big_change_d is None else None,
        caution=filling(whole_l(told), told.left, share.value, every_h),
        status=share.status,
    )


def carbon_steps(told: Told) -> list[UrgentStep]:
    """Fresh carbon, unless nothing went in or something that carbon does not take."""
    if told.dosed is None:
        return [msgspec.structs.replace(CARBON, unless=tuple(sorted(CARBON_LEAVES)))]
    return [CARBON] if told.dosed and not CARBON_LEAVES & set(told.dosed) else []


def old_or_acid(told: Told) -> bool:
    """Whether the tank must be taken for old and acid: a big change would free its ammonia."""
    if told.big_change_d is None:
        return told.ph is None or told.ph < ACID_PH.value
    return told.big_change_d > OLD_TANK_D.value


def change_step(told: Told) -> UrgentStep:
    """Half, or 15 to 20 % again and again where the tank may be old and acid."""
    old = old_or_acid(told)
    share = SMALL_CHANGE if old else HALF_CHANGE
    return UrgentStep(
        act="change",
        why="an old, acid tank holds ammonia that a big change would make poisonous: little, and again"
        if old
        else "thins whatever is in the water",
        amount=change_amount(told.volume_l, share),
        share=share.value,
        ask=BIG_CHANGE if told.big_change_d is None else None,
        again_h=(2.0, 3.0) if old else None,
        caution=f"dechlorinated, within {SHOCK_TEMP.value:g} °C" + (", no pH raiser" if old else ""),
        status=share.status,
    )


DRY_OFF = UrgentStep(
    act="dry-off",
    why="a heater in the air cracks or burns, a pump runs hot",
    caution="plugs out first, hands after",
)
BACK_ON = UrgentStep(
    act="back-on",
    why="once the water stands over them; a filter that stood for hours is rinsed in tank water first",
)
AIR = UrgentStep(act="air", why="air and a moving surface: oxygen in, carbon dioxide out")
NOTHING_MORE = UrgentStep(act="stop", why="nothing more goes in: no medicine, no food, no salt")
DECHLORINATE = UrgentStep(
    act="dechlorinate", why="for the whole tank, not only for what was changed: chlorine kills in minutes"
)
CARBON = UrgentStep(
    act="carbon",
    why="fresh carbon may take the medicine out",
    caution="no rate is published: it is no promise",
)
DIM = UrgentStep(act="dim", why="lights down: calm fish need less oxygen")
LOOK_AGAIN = UrgentStep(act="look", why="look again: better within minutes of air points at oxygen")

LOOK_CALMLY = UrgentStep(act="look", why="breathing, balance, shrimp and snails")

UNTREATED_TAP = Ask(
    id="untreated_tap",
    says="Did fresh tap water go in today without, or perhaps without, dechlorinator?",
)
BIG_CHANGE = Ask(
    id="old_tank",
    says="Is the last big water change over two months ago?",
    if_answer=("yes", "dont-know"),
)
AFTERWARDS = (
    Ask(id="dose", says="What went in, when, how much, and whose litres was it reckoned for?"),
    Ask(id="water", says="What do ammonia, pH, nitrite and chlorine read?"),
    Ask(id="gills", says="Are the gills brown?"),
    Ask(id="shrimp_first", says="Did shrimp or snails go down first?"),
)
AFTER_A_SLIP = (
    Ask(id="gasping", says="Do any of them gasp, roll or lie down?"),
    Ask(id="when", says="When was it, and how much, as well as you know?"),
)
TELLS = (
    ("brown gills", "nitrite"),
    ("better within minutes of air", "low_oxygen"),
    ("shrimp first", "copper"),
    ("shrimp first", "toxin"),
)
NEVER = (
    "peroxide",
    "salt",
    "another medicine",
    "cold water",
    "a move into water that is not known to be good and matched",
)
