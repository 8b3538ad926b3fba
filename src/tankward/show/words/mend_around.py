"""Power, warmth, food and a newcomer, in words."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.judge.urgent import UrgentStep
from tankward.quantities.digits import shown
from tankward.treat.mend.newcomer import CLOCK_D, Newcomer
from tankward.treat.mend.power import AHEAD_H, Lasts
from tankward.treat.mend.steps import ByHand, FoodOut, NextMeal
from tankward.treat.mend.warmth import Astray

from .acts import listed, upper
from .days import day_said
from .mend_parts import Here, Said, sentences

COOL = "Lid open, lights off, a fan over the water. No ice and no cold water"
WARM = "Heater on its usual setting or a little under; a blanket round the tank. No hot water poured in"
READ = "Read the thermometer and write it down: then the hours stand here"
LONG = f"{AHEAD_H:g} hours or more"


def food_out_said(step: UrgentStep, f: FoodOut, here: Here) -> Said:
    """What is left of the food, and what went into the water."""
    leaches = [
        f"{100 * low:.0f} to {100 * high:.0f} % of the {here.name(s)} leaves the food before it is out"
        for s, low, high in f.leaches
    ]
    soft = ["With a siphon or a fine net, now", *leaches, "What leached is counted in the water"]
    return Said(head="Take out what was not eaten.", soft=sentences(soft))


def next_meal_said(step: UrgentStep, n: NextMeal, here: Here) -> Said:
    """When they are fed again."""
    then = f"The next one {here.when(n.step.at)}: a pinch first, the rest once they take it" if n.step else ""
    return Said(head="That meal does not count.", soft=sentences(["Don't feed it twice today", then]))


def by_hand_said(step: UrgentStep, b: ByHand, here: Here) -> Said:
    """Air without power."""
    jug = "Else scoop up a jug and let it fall back, a minute in every ten"
    return Said(
        head="Air by hand.", soft=sentences(["A battery pump, if you have one", jug, "Lid open, lights out"])
    )


def lasts_said(step: UrgentStep, x: Lasts, here: Here) -> Said:
    """Hours of oxygen, the cautious end first."""
    danger, care = x.danger[0], x.care[0]
    worked = "Worked out for this tank without air and filter, not measured"
    if care is None:
        return Said(head=f"The oxygen lasts {LONG}.", soft=sentences([worked]))
    likely = f"Likely it lasts {LONG if x.danger[1] is None else about(x.danger[1])}"
    if danger is None:
        head = f"It may be short of oxygen in {about(care)}."
        return Said(head=head, soft=sentences([likely, worked]), amount=about(care))
    head = f"Air within {about(danger)}, or it may get dangerous." if danger >= 0.5 else "Air at once."
    less = f"From {about(care)} on it may be less than sick fish want"
    return Said(head=head, soft=sentences([less, likely, worked]), amount=about(danger))


def first_said(x: Lasts) -> str:
    """How long the oxygen of one tank lasts, in a line."""
    if x.fault:
        return x.fault
    if x.care[0] is None:
        return f"{LONG}."
    if x.danger[0] is None:
        return f"It may be short in {about(x.care[0])}."
    return f"Air within {about(x.danger[0])}." if x.danger[0] >= 0.5 else "Air at once."


def lasting_said(names: Sequence[str]) -> str:
    """The tanks whose oxygen lasts the night, in one line."""
    return f"{listed(names)}: {LONG}." if names else ""


def about(hours: float) -> str:
    """Half an hour, an hour, 3 hours."""
    if hours < 0.75:
        return "half an hour"
    whole = round(hours)
    return "an hour" if whole <= 1 else f"{whole} hours"


def astray_said(step: UrgentStep, a: Astray, here: Here) -> Said:
    """Back by so many degrees an hour."""
    slow, fast = a.per_h
    down = step.act == "cool"
    way, how = ("Down", COOL) if down else ("Up", WARM)
    within = f"New water no more than {a.at_change_c:g} °C off"
    if a.now_c is None or a.home_c is None or a.hours is None:
        head = f"{way} by {fast:g} °C in an hour at most."
        return Said(head=head, soft=sentences([READ, how, within]), amount=f"{fast:g} °C an hour")
    is_now, home = shown(a.now_c, "C"), shown(a.home_c, "C")
    if a.near:
        return Said(head="Near enough: nothing to do.", soft=f"{is_now} now, {home} is home.")
    low, high = (round(h) for h in a.hours)
    hours = f"{low} to {high} hours" if low != high else f"{high} hours"
    head = f"{way} by {slow:g} to {fast:g} °C in an hour, no faster."
    soft = [f"{is_now} now, {home} is home: {hours}", how, within]
    return Said(head=head, soft=sentences(soft), amount=f"{fast:g} °C an hour")


def newcomer_said(step: UrgentStep, n: Newcomer, here: Here) -> Said:
    """Whether it stays; that the dose stays; until when all wait."""
    who = upper(listed([s.name for s in n.stock]))
    if step.act == "clock":
        until = day_said(n.clock_until, here.now, here.zone)
        soft = f"{CLOCK_D} days without a sign, for all in this tank. Its own net until then."
        return Said(head=f"The clock starts again: until {until}.", soft=soft, amount=f"{CLOCK_D} days")
    if step.act == "dose-stays":
        return Said(head="The dose stays as it is.", soft="It goes by the water, not by the heads.")
    fry = "Fry, should one give birth, would not bear it" if n.fry else ""
    if n.nameless:
        told = "Say which animal it is, below. Until then it counts as the most tender: watch it closely"
        return Said(head=f"{who}: we don't know what it bears.", soft=sentences([told]))
    if n.says == "unknown":
        told = "Into a tub of its own if it can be caught quietly. Else look every ten minutes for an hour"
        return Said(head=f"{who}: we don't know what it bears.", soft=sentences([told, fry]))
    if n.says == "care":
        told = "It needs care with this. Fast breathing or rolling: out into a tub"
        return Said(head=f"{who} may stay: watch closely.", soft=sentences([told, fry]))
    bears = "It was measured on its like" if n.says == "bears" else "No harm is reported, but nobody measured"
    bears = bears if n.verdicts else "No medicine is in the water"
    return Said(head=f"{who} may stay.", soft=sentences([bears, "Chasing it now would be worse", fry]))


# Acts of any water, of which no number is known.
PLAIN: dict[str, tuple[str, str]] = {
    "put-missing": (
        "Give what did not go in.",
        "Only that part, once. How much it is stands here once the dose is put right in the log.",
    ),
    "heater-off": (
        "Heater's plug out.",
        "It stays under water for 15 minutes before a hand goes near. One that stuck is thrown away.",
    ),
    "heater-on": (
        "See to the heater: plug, setting, under water.",
        "No lamp and no warmth: it is broken. Another one, or a warm room.",
    ),
    "cool": ("Let it cool: 1 °C in an hour at most.", f"{COOL}."),
    "warm": ("Warm it: 1 °C in an hour at most.", f"{WARM}."),
    "no-more-change": ("No more new water today.", "They have met enough of it. Look at their breathing."),
    "apart": (
        "Into a tub of its own, if it can be caught quietly.",
        "Nobody says here what it bears. New, dechlorinated water as warm as the tank's, air, a cover.",
    ),
    "dose-stays": ("The dose stays as it is.", "It goes by the water, not by the heads."),
    "clock": (
        "The clock starts again.",
        "28 days without a sign, for all in that tank; its own net.",
    ),
    "food-out": ("Take out what was not eaten.", "With a siphon or a fine net, now. It leaches and it rots."),
    "not-counted": ("That meal does not count.", "Don't feed it twice today. The next one when it is due."),
    "eats-not": (
        "A day without eating: food is not the way.",
        "A fish that does not eat is not treated by its food. Look at the other ways.",
    ),
    "no-food": ("No food while it is off.", "Food makes ammonia, and the filter does not take it."),
}


def plain_said(step: UrgentStep) -> Said | None:
    """An act of any water, of which no number is known; None where its words stand in `words/urgent.py`."""
    plain = PLAIN.get(step.act)
    return Said(head=plain[0], soft=plain[1]) if plain else None
