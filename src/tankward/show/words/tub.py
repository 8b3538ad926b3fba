"""Sentences of the hospital tub: what it is, how it is kept, what is put back."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Protocol

from tankward.judge.verdicts import Verdict
from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, shown
from tankward.quantities.working import Answer, Named
from tankward.room.things import Stock
from tankward.treat.amounts.dosing import pieces
from tankward.treat.husbandry.tub import TubPlan, wait_words

from .acts import ended, listed, upper
from .bears import bears_words

TITLE = "Hospital tub"
WHAT_FOR = (
    "Where one can't bear the medicine, it or the sick fish goes into a bare tub beside the tank. "
    "Leave open what you don't know: the cautious value is taken."
)
SET_UP = (
    "A tub of food-safe plastic that never held soap. Bare: no sand, no plants, one pipe to hide in.",
    "Fill it with water of their own tank, if that is in order; else new water of the same warmth, "
    "dechlorinated. Mark the water line with tape: every amount here is for that line.",
    "An air stone. A sponge from a healthy tank, or none: it is not counted, a medicine may stop it.",
    "A cover with a gap for air, and half of it dark.",
    "Its own net, cup and siphon. They touch no other tank.",
)
CHANGE_RULES = (
    "Heater unplugged for 15 minutes before water is taken out, and dry plugs before hands go in.",
    "Siphon the floor first; new water of the same warmth, dechlorinated, its pH no higher than before.",
    "Refill to the tape before anything is put back.",
)
SEE = (
    (
        "Gasping, or on its side",
        "More air, half the water now, put nothing back. Then look again in 20 minutes.",
    ),
    ("Ammonia over what stands here", "Half the water at once, feed nothing for a day."),
    ("Not eating", "Take it all out after five minutes. Feed less tomorrow."),
    (
        "A dead one",
        "Out at once, in a bag in the fridge, not the freezer: it can show the cause for hours only.",
    ),
)
NOT_HELD = "Nobody was held against it: say who goes in, or look it up first."
PRACTICE = (
    "Bare, cover, sponge and grams in a litre are usual practice; nobody has published a trial of them."
)
DAYS_SHOWN = 7
WEIGHED = ("mg", "L")
WHOLE = 0.02  # nearer to a whole packet than it is filled


class Medicine(Protocol):
    """What is in the tub."""

    @property
    def name(self) -> str: ...
    @property
    def level(self) -> str: ...
    @property
    def fill(self) -> Answer: ...
    @property
    def back(self) -> Answer: ...
    @property
    def bears(self) -> Sequence[Verdict]: ...


def finding(plan: TubPlan) -> str:
    """The one sentence: how much, how often."""
    change = shown(plan.change_l, "L")
    if not plan.holds:
        return f"{shown(plan.volume_l, 'L')} is too little for them. Take {shown(plan.least_l, 'L')} or more."
    start = "Take a tub of" if not plan.volume_known else "In"
    return f"{start} {shown(plan.volume_l, 'L')} change half, {change}, {wait_words(plan.wait_days)}."


def why(plan: TubPlan) -> str:
    """What that holds."""
    held = "stays under" if plan.holds else "goes over"
    return (
        f"Without a filter ammonia rises by {shown(plan.rise_mg_l_day, 'mg/L')} as N a day. "
        f"Its poisonous part reaches {shown(plan.nh3_n_mg_l, 'mg/L')} "
        f"and {held} {shown(plan.bound_mg_l, 'mg/L')}."
    )


def who_words(animals: Sequence[Stock]) -> str:
    """ "3 cherry barb 3 cm; 2 kuhli loach"."""
    return "; ".join(_group(s) for s in animals)


def _group(one: Stock) -> str:
    length = one.length_cm
    told = "" if length is None else f" {plain_number(length.value)} cm"
    return f"{plain_number(one.number.value)} {one.name}{told}"


def grams_words(likely_g: float, plan: TubPlan, weighed: bool) -> str:
    """What they weigh, and on what the card counts."""
    counted = f"{plain_number(plan.fish_g)} g"
    if plain_number(likely_g) == plain_number(plan.fish_g):
        return f"{counted}, as weighed" if weighed else counted
    return f"About {plain_number(likely_g)} g by their length; counted as {counted}, the heavy end"


def about(
    animals: Sequence[Stock], likely_g: float, plan: TubPlan, weighed: bool, read: Sequence[str]
) -> list[tuple[str, str]]:
    """The tub in pairs."""
    known = "" if plan.volume_known else ", the least that does"
    too_much = ": more than a bare tub bears" if plan.crowded else ""
    rows = [
        ("Water", f"{shown(plan.volume_l, 'L')}{known}"),
        ("In it", who_words(animals)),
        ("Fish", grams_words(likely_g, plan, weighed)),
        (
            "Room",
            f"{plan.load_g_l:.2g} g in a litre{too_much}; up to {plan.crowded_g_l:g} g is usual",
        ),
        ("Counted", f"pH {plan.ph:.1f}, {shown(plan.temp_c, 'C')}{_last_read(read)}; no filter"),
        (
            "Food",
            f"At most {shown(plan.food_mg_day, 'mg')} of dry food a day, left-overs out after 5 minutes",
        ),
    ]
    return [(what, says) for what, says in rows if says]


def _last_read(read: Sequence[str]) -> str:
    """Which of the two came from the tank's readings."""
    named = {"ph": "pH", "temp": "warmth"}
    return f" ({listed([named[key] for key in read])} as last read in the tank)" if read else ""


def change_words(plan: TubPlan) -> str:
    """The one act; where the tub is too small, what eases it until a larger one stands there."""
    told = f"change {shown(plan.change_l, 'L')} {wait_words(plan.wait_days)}"
    return upper(told) if plan.holds else f"Until a larger tub stands there: {told}"


def dose_lines(medicine: Medicine) -> list[str]:
    """What goes in at the beginning, and after each change at both ends."""
    fill = {n.name: n for n in medicine.fill.also}.get("of the product")
    back = {n.name: n for n in medicine.back.also}
    makes = f"that makes {medicine.level} of {medicine.name}"
    if fill is None:
        again = f"{medicine.back.says[:1].lower()}{medicine.back.says[1:]}"
        return [f"At the beginning {medicine.fill.shown}: {makes}.", f"After each change {again}"]
    lasts, gone = back["of the product"], back["of the product if it has gone"]
    stirred, amounts = _stirred(fill, lasts, gone)
    return [
        *([stirred] if stirred else []),
        f"At the beginning {amounts[0]}: {makes}.",
        f"After each change {amounts[1]} if it lasts, {amounts[2]} if it has gone.",
    ]


def _stirred(*amounts: Named) -> tuple[str, list[str]]:
    """A part of a packet can't be weighed: it is poured from whole ones stirred into a litre."""
    values = [a.value or 0.0 for a in amounts]
    unit = amounts[0].unit
    if unit in WEIGHED or all(abs(v - round(v)) < WHOLE for v in values):
        return "", [a.shown for a in amounts]
    whole = math.ceil(max(values) - WHOLE)
    poured = [f"{shown(v / whole, 'L')} of it" for v in values]
    return f"Each time stir {pieces(whole, unit)} into 1 L of water.", poured


def bears_lines(medicine: Medicine, facts: Facts) -> list[str]:
    """Who needs care with it; with nobody named, that nobody was held against it."""
    if not medicine.bears:
        return [NOT_HELD]
    return list(dict.fromkeys(_bears(v, facts) for v in medicine.bears))


def _bears(verdict: Verdict, facts: Facts) -> str:
    who, says = verdict.limit.who, bears_words(verdict, facts)
    return ended(upper(says if who in says else f"{who}: {says}"))
