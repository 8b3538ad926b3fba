"""A bare hospital tub without a ripe filter: what ammonia its fish make, and how often half is changed."""

from __future__ import annotations

import math
from typing import Annotated, NamedTuple

import msgspec

from tankward.judge.choices import NH3_CARE
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.digits import shown
from tankward.quantities.working import Answer, Named, Working, answer
from tankward.water.ammonia import unionised_share
from tankward.water.nitrogen import TAN_PER_PROTEIN, TAN_PER_PROTEIN_RANGE, ammonia_from_food

HALF = 0.5
MG_PER_G = 1000.0
UP = TAN_PER_PROTEIN_RANGE[1] / TAN_PER_PROTEIN  # the high end of what protein turns into
# Days from one half change to the next, the longest first: in a bare tub dirt and germs gather as well
# [our own choice].
WAITS_D = (3.0, 2.0, 1.0, 0.5)
# What is counted where nobody knows: the case in which most of the ammonia is poisonous [our own choice].
UNKNOWN_PH = 8.2
UNKNOWN_TEMP_C = 28.0
UNKNOWN_FOOD = 0.01  # and no more than that is to be fed
FED = "flake"


class TubPlan(msgspec.Struct, frozen=True, kw_only=True):
    """A tub, and how it is kept."""

    volume_l: float
    volume_known: bool
    ph: float
    temp_c: float
    fish_g: float
    load_g_l: float
    crowded_g_l: float  # more than that is too much for a bare tub
    food_mg_day: float
    made_mg_day: float
    rise_mg_l_day: float
    wait_days: float
    change_l: float
    total_mg_l: float  # just before a change, once it no longer climbs
    nh3_n_mg_l: float
    nh3_n_high_mg_l: float
    bound_mg_l: float
    least_l: float  # a tub in which half a change a day holds the bound

    @property
    def holds(self) -> bool:
        """Whether the poisonous part stays under the bound."""
        return self.nh3_n_high_mg_l <= self.bound_mg_l

    @property
    def crowded(self) -> bool:
        return self.load_g_l > self.crowded_g_l


Fish = Annotated[float, Ask("mass", "all that go into the tub, weighed together", above=0)]
Tub = Annotated[float | None, Ask("volume", "water in the tub; don't know: the least that does", above=0)]
Food = Annotated[
    float | None, Ask("share", "dry food a day as share of their weight; don't know: 1 %", at_most=0.2)
]
Protein = Annotated[float | None, Ask("share", "protein in the food, from the packet; don't know: 50 %")]
Ph = Annotated[
    float | None,
    Ask(
        "ph",
        "pH of the tub or of the new water, whichever is higher; don't know: 8.2",
        at_least=5,
        at_most=10,
    ),
]
Temp = Annotated[
    float | None, Ask("temperature", "warmth of the tub; don't know: 28C", at_least=4, at_most=36)
]


@calculation(
    "tub",
    unit="mg/L as N a day",
    formula="fish × food × protein × 0.092 ÷ volume; before a change: rise × days ÷ ½ × share",
    source="TIMMONS",
    group="ammonia and filter",
)
def tub(
    fish: Fish,
    volume: Tub = None,
    food: Food = None,
    protein: Protein = None,
    ph: Ph = None,
    temp: Temp = None,
) -> Answer:
    """How a bare hospital tub without a filter is kept: its ammonia, and when to change half."""
    return tub_plan(fish, volume, food, protein, ph, temp, load())[1]


def tub_plan(
    fish_mg: float,
    volume_l: float | None,
    food: float | None,
    protein: float | None,
    ph: float | None,
    temp_c: float | None,
    facts: Facts,
) -> tuple[TubPlan, Answer]:
    """The plan of a tub with its working.

    Parameters
    ----------
    fish_mg : float
        All that go in. [mg]
    volume_l : float or None
        Water; None for the least tub that does. [L]
    food : float or None
        Dry food a day as share of their weight; None counts 2 %. [-]
    protein : float or None
        Protein in the food; None counts the most that flakes hold. [-]
    ph : float or None
        Of tub or new water, the higher; None counts 8.2. [-]
    temp_c : float or None
        None counts 28. [°C]
    facts : Facts
        The facts.

    Returns
    -------
    tuple of TubPlan and Answer
        The wait is the longest of 3, 2, 1 and half a day that keeps the poisonous part of the ammonia under
        the bound with the high end of what protein turns into; where none does, half a day.

    Notes
    -----
    No filter is counted, ripe or not: a medicine may stop it. Changing half every so many days the level
    just before a change tends to rise × days ÷ ½. Source: TIMMONS (memory) for the ammonia, EMERSON75 for its
    poisonous share.
    """
    work = Working("no filter is counted; new water holds no ammonia")
    ph, temp_c = (
        _counted(work, "pH", ph, UNKNOWN_PH, "pH"),
        _counted(work, "warmth", temp_c, UNKNOWN_TEMP_C, "C"),
    )
    fed = _counted(work, "food", food, UNKNOWN_FOOD, "share")
    high = (facts.feeds[FED].protein_high or 0.0) / 100.0
    rich = _counted(work, "protein", protein, high, "share")
    eaten = work.step(
        "food a day", "fish × share", fish_mg * fed, "mg", inputs={"fish": fish_mg, "share": fed}
    )
    made = work.step(
        "ammonia made", f"food × protein × {TAN_PER_PROTEIN}", float(ammonia_from_food(eaten, rich)),
        "mg N a day", inputs={"protein": rich}, source="TIMMONS", status="memory",
    )  # fmt: skip
    share = work.step(
        "poisonous share", "1 / (1 + 10^(pKa − pH))", float(unionised_share(ph, temp_c)),
        inputs={"pH": ph, "temp": temp_c}, source="EMERSON75", status="published-read",
    )  # fmt: skip
    most = next(r for r in facts.hygiene.stocking if r.id == "hospital")
    crowded = float(most.high or 0.0)
    worst = made * UP
    least = math.ceil(round(max(worst * share / HALF / NH3_CARE.value, fish_mg / MG_PER_G / crowded), 6))
    if volume_l is None:
        work.step(
            "tub", "the least that does: half a change a day, fish in a litre",
            least, "L", source=most.source, status=most.status,
        )  # fmt: skip
    water = float(least) if volume_l is None else volume_l
    kept = _kept(work, made, share, water)
    plan = TubPlan(
        volume_l=water, volume_known=volume_l is not None, ph=ph, temp_c=temp_c,
        fish_g=fish_mg / MG_PER_G, load_g_l=fish_mg / MG_PER_G / water, crowded_g_l=crowded,
        food_mg_day=eaten, made_mg_day=made, rise_mg_l_day=kept.rise, wait_days=kept.wait,
        change_l=water * HALF, total_mg_l=kept.total, nh3_n_mg_l=kept.nh3, nh3_n_high_mg_l=kept.nh3 * UP,
        bound_mg_l=NH3_CARE.value, least_l=float(least),
    )  # fmt: skip
    _cautions(work, plan)
    return plan, _said(work, plan)


def _counted(work: Working, name: str, given: float | None, unknown: float, unit: str) -> float:
    if given is not None:
        return given
    text = f"{100 * unknown:g} %" if unit == "share" else shown(unknown, unit if unit == "C" else "")
    work.assume(f"{name} is not known: counted as {text}")
    return unknown


class _Kept(NamedTuple):
    rise: float
    wait: float
    total: float
    nh3: float


def _kept(work: Working, made: float, share: float, water: float) -> _Kept:
    """The longest wait that holds the bound, and what the water reaches by then."""
    rise = work.step(
        "in this water", "made ÷ volume", made / water, "mg/L as N a day", inputs={"volume": water}
    )
    held = (w for w in WAITS_D if rise * UP * w / HALF * share <= NH3_CARE.value)
    wait = next(held, WAITS_D[-1])
    total = work.step(
        "total before a change", "rise × days ÷ ½", rise * wait / HALF, "mg/L as N",
        inputs={"days": wait},
    )  # fmt: skip
    nh3 = work.step("the poisonous part of it", "total × share", total * share, "mg/L as N")
    work.step(
        "to stay under", "no medicine above it", NH3_CARE.value, "mg/L as N",
        source=NH3_CARE.source, status=NH3_CARE.status,
    )  # fmt: skip
    return _Kept(rise, wait, total, nh3)


def _cautions(work: Working, plan: TubPlan) -> None:
    if not plan.holds:
        work.caution(
            f"Even half twice a day is not enough: feed less, or take {shown(plan.least_l, 'L')} or more."
        )
    if plan.crowded:
        work.caution(
            f"{plan.load_g_l:.2g} g of fish in a litre: more than a bare tub bears ({plan.crowded_g_l:g} g)."
        )
    work.assume("what is not eaten is taken out after five minutes: it would make nearly twice as much")


def wait_words(days: float) -> str:
    """Every day, every 2 days, twice a day."""
    return {0.5: "twice a day", 1.0: "every day"}.get(days, f"every {days:g} days")


def _said(work: Working, plan: TubPlan) -> Answer:
    low, high = (plan.rise_mg_l_day * k / TAN_PER_PROTEIN for k in TAN_PER_PROTEIN_RANGE)
    nh3_low = plan.nh3_n_mg_l * TAN_PER_PROTEIN_RANGE[0] / TAN_PER_PROTEIN
    nh3 = "the poisonous part before a change"
    also = (
        Named.of(nh3, plan.nh3_n_mg_l, "mg/L as N", nh3_low, plan.nh3_n_high_mg_l),
        Named.of("total ammonia before a change", plan.total_mg_l, "mg/L as N"),
        Named.of("days from change to change", plan.wait_days, "days"),
        Named.of("water of each change", plan.change_l, "L"),
        Named.of("fish in a litre", plan.load_g_l, "g/L"),
        Named.of("least tub for half a change a day", plan.least_l, "L"),
    )
    return answer(
        plan.rise_mg_l_day, "mg/L as N a day", work, low=low, high=high, also=also,
        says="{water}: change half, {change}, {often}. Ammonia rises by {shown} ({range}); "
        "its poisonous part reaches {nh3}.",
        water=shown(plan.volume_l, "L"), change=shown(plan.change_l, "L"), often=wait_words(plan.wait_days),
        nh3=shown(plan.nh3_n_mg_l, "mg/L as N"),
    )  # fmt: skip
