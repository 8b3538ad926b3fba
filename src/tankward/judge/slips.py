"""Slips a keeper owns up to, each with what to do now. Never a scolding, never "start over"."""

from __future__ import annotations

import re
from collections.abc import Collection

import msgspec

from tankward.knowledge.known import Facts

from .first_aid import dechlorinator
from .little_water import HANGS_DRY, MISSED
from .urgent import (
    AFTERWARDS,
    AIR,
    BACK_ON,
    DECHLORINATE,
    DRY_OFF,
    LOOK_AGAIN,
    NEVER,
    NOTHING_MORE,
    Told,
    Urgent,
    UrgentStep,
    carbon_steps,
    change_step,
    fill_step,
    urgent,
    whole_l,
)

SLIPS = (
    "too-much", "forgot-one", "carbon-in", "wrong-tank", "something-else",
    "too-little", "no-flow", "too-warm", "too-cold", "no-change", "big-change", "untreated-tap",
    "little-water", "newcomer", "not-eaten",
)  # fmt: skip

# After these the water itself may be the danger.
DANGEROUS = frozenset({"too-much", "wrong-tank", "untreated-tap", "little-water", "something-else"})

# What is typed -> the slip. The first that fits a part of the text counts, so the narrower stand first.
MASS = re.compile(r"(\d+(?:[.,]\d+)?) ?(mg|g)\b", re.IGNORECASE)
INSTEAD = re.compile(rf"{MASS.pattern}.*\b(?:instead of|not|for) {MASS.pattern}", re.IGNORECASE)
SAID: tuple[tuple[str, str], ...] = (
    (r"\bsp[ai]t\b|spit out|not eaten|n[o']t eat|refus\w* (the )?food|left the (food|gel)", "not-eaten"),
    (r"(forgot|missed|skipped|no)\b.*\bchange|change.*(forgot|missed|skipped|left out)", "no-change"),
    (r"(change|new water|tap).*\bcold|went cold|too cold|heater.*(off|broke|dead|fail|unplug)", "too-cold"),
    (r"heater.*(stuck|on\b|hot)|too (warm|hot)|overheat|cooked|(change|new water).*(warm|hot)", "too-warm"),
    (r"leak|burst|ran dry|half empty|water ran out|lost .*water|water .*lost|hose slipped", "little-water"),
    (r"dechlor|conditioner|untreated|hose|chlorine|tap water", "untreated-tap"),
    (r"change.*(too (big|large|much)|large|big|[6-9]\d ?%|100 ?%)|changed (too much|nearly|almost|all)"
     r"|([6-9]\d|100) ?% (water )?change|(big|large) (water )?change", "big-change"),
    (r"carbon|resin", "carbon-in"),
    (r"wrong tank|other tank|into t\w+ instead", "wrong-tank"),
    (r"spill|too little|under ?dos|less went in|not all|half (of it )?went in|nothing went in"
     r"|mg (instead of|for|not) g\b|a (half|third|quarter|tenth) of"
     r"|\b(gave|dosed|put in) (only |just |about )*(a )?(half|third|quarter|tenth|three quarters)\b"
     r"|half (of )?(the|a) dose", "too-little"),
    (r"twice|doubled?|too much|over ?dos|wrong (volume|unit|spoon|litres|gallons?)|ten times|\d+ ?(x|times)\b"
     r"|\bg (instead of|for|not) mg|table ?spoon|tea ?spoon|imperial|whole (sachet|packet|tablet)|per tank",
     "too-much"),
    (r"(added|put in|brought|moved) .*(fish|shrimp|snail|animal|\d)|newcomer|new (fish|animal|one|arrival)",
     "newcomer"),
    (r"forgot|missed|skipped|late", "forgot-one"),
    (r"heater", "too-cold"),
    (r"power|pump|filter (was |is )?off|no flow|stopped", "no-flow"),
)  # fmt: skip


def parts_of(did: str) -> tuple[str, ...]:
    """What was done, slip by slip: they stand between semicolons, or between commas where what follows is
    another slip and not more of the same; a mass alone belongs to what follows.
    """
    found: list[str] = []
    for told in re.split(r"[;\n]", did):
        first, *more = [p.strip() for p in re.split(r"(?<!\d),|,(?!\d)", told)]
        parts = [first]
        for part in more:
            slip, before = slip_in(part), slip_in(parts[-1])
            if slip in ("something-else", before) or (before == "something-else" and MASS.search(parts[-1])):
                parts[-1] = f"{parts[-1]}, {part}"
            else:
                parts.append(part)
        found += [p for p in parts if p]
    return tuple(found)


def slip_in(part: str) -> str:
    """The slip that a part names; "something-else" where it fits none."""
    if m := INSTEAD.search(part):
        return "too-much" if mg_of(m[1], m[2]) > mg_of(m[3], m[4]) else "too-little"
    return next((slip for words, slip in SAID if re.search(words, part, re.IGNORECASE)), "something-else")


def mg_of(number: str, unit: str) -> float:
    """A mass in a keeper's words, in mg."""
    return float(number.replace(",", ".")) * (1.0 if unit.lower() == "mg" else 1000.0)


def slips_in(did: str) -> tuple[str, ...]:
    """Slips named in a text, each once."""
    return tuple(dict.fromkeys(slip_in(p) for p in parts_of(did)))


def what_now(seen: Collection[str], did: str, told: Told, facts: Facts) -> Urgent:
    """What to do in the next ten minutes, for signs, slips, or both.

    Parameters
    ----------
    seen : collection of str
        Signs seen now.
    did : str
        What was done: "dosed twice; carbon left in".
    told : Told
        What is known; what is not known is answered as if it were bad.
    facts : Facts
        The facts.

    Returns
    -------
    Urgent
        Danger first: where animals gasp or lie down, the steps of rule 17 come before those of the slip.
        Where nothing is said at all, the same steps, as somebody who asks has a reason.
    """
    slips = slips_in(did)
    if "untreated-tap" in slips:
        told = msgspec.structs.replace(told, untreated_tap=True)
    first = urgent(seen, told, facts)
    if first is None and not slips:
        first = urgent({"gasping_surface"}, told, facts)
    steps = [*(first.steps if first else ()), *(s for slip in slips for s in mending(slip, told, facts))]
    return Urgent(
        because=(first.because if first and seen else ()) + slips,
        steps=each_once(steps),
        ask=AFTERWARDS,
        tells=first.tells if first else (),
        never=NEVER,
    )


def each_once(steps: Collection[UrgentStep], look: UrgentStep = LOOK_AGAIN) -> tuple[UrgentStep, ...]:
    """Each act once, where it first stands; to look again comes last."""
    kept = {(s.act, s.at): s for s in reversed(list(steps))}
    order = [(s.act, s.at) for s in steps if s.act != LOOK_AGAIN.act]
    return (*(kept[key] for key in dict.fromkeys(order)), look)


def mending(slip: str, told: Told, facts: Facts) -> list[UrgentStep]:
    """What mends one slip in any water, most urgent first."""
    if slip == "untreated-tap":
        return [AIR, msgspec.structs.replace(DECHLORINATE, amount=dechlorinator(whole_l(told), facts))]
    if slip in ("too-much", "wrong-tank"):
        # A dose that is not in the logbook is one that nobody has told of yet.
        carbon = carbon_steps(told if told.dosed else msgspec.structs.replace(told, dosed=None))
        return [NOTHING_MORE, AIR, change_step(told), *carbon]
    if slip == "little-water":
        # What is not written down yet may be most of it.
        known = told if told.left < MISSED.value else msgspec.structs.replace(told, left=HANGS_DRY.value)
        return [DRY_OFF, AIR, NOTHING_MORE, fill_step(known), BACK_ON]
    if slip == "no-flow":
        return [AIR, FILTER_RINSED]
    if slip == "no-change":
        return [change_step(told)]
    return list(MENDED.get(slip, (NOTHING_MORE, AIR)))


CARBON_OUT = UrgentStep(act="carbon-out", why="carbon takes the medicine out as long as it is in")
NOT_AGAIN = UrgentStep(
    act="wait",
    why="no second dose yet: how much is left is not known",
    caution="say what was given and when; the curve then shows both ends",
)
GIVE_LATE = UrgentStep(
    act="give-late",
    why="give the one that was forgotten unless the next is nearer; never two at once",
)
FILTER_RINSED = UrgentStep(
    act="rinse-filter",
    why="a filter that stood for hours holds foul water: rinse it in tank water before it runs again",
)
HEATER_OFF = UrgentStep(act="heater-off")
HEATER_ON = UrgentStep(act="heater-on")
NO_CHANGE_TODAY = UrgentStep(act="no-more-change")
DIM_NOW = UrgentStep(act="dim", why="lights down: calm fish need less oxygen")
MENDED: dict[str, tuple[UrgentStep, ...]] = {
    "carbon-in": (CARBON_OUT, NOT_AGAIN),
    "forgot-one": (GIVE_LATE,),
    "too-little": (UrgentStep(act="put-missing"),),
    "too-warm": (HEATER_OFF, AIR, UrgentStep(act="cool")),
    "too-cold": (HEATER_ON, UrgentStep(act="warm")),
    "big-change": (AIR, DIM_NOW, NO_CHANGE_TODAY),
    "newcomer": (UrgentStep(act="apart"), UrgentStep(act="dose-stays"), UrgentStep(act="clock")),
    "not-eaten": (UrgentStep(act="food-out"), UrgentStep(act="not-counted"), UrgentStep(act="eats-not")),
}
