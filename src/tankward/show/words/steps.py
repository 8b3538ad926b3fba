"""Each step of a course in words: the act with its amount, how, why, and what it may do to people."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import msgspec

from tankward.judge.choices import NH3_CARE, NITRITE_CARE
from tankward.knowledge.records.keeping import PeopleRow
from tankward.quantities.digits import plain_number, shown, shown_range
from tankward.treat.course.records import CourseStep, Valued

from .acts import act_head, ended, listed, part_words, upper
from .hazard import plain_hazard
from .kit import hose_said
from .measured import amount_of, buckets, degrees, level_shown
from .put_back import back_why
from .step_parts import Context, StepSaid, published_words, text, valued
from .steps_apart import bath_ready_said, bath_said, feed_said, fish_over_said, recipe_said
from .steps_without import DAILY, HALF, READ_EMPTY, WITHOUT

Sentence = Callable[[CourseStep, Context], StepSaid]


def step_said(step: CourseStep, context: Context) -> StepSaid:
    """A step in words."""
    found = SAYS.get(step.how.kind, SAYS.get(step.kind, _plain))(step, context)
    return msgspec.structs.replace(found, head=ended(found.head), hazard=hazard_words(step.hazard))


def hazard_words(rows: tuple[PeopleRow, ...]) -> str:
    """What protects, of every row, then from what."""
    told = [r for r in rows if r.hazard not in ("", "none")]
    protect = list(dict.fromkeys(ended(r.protect) for r in told))
    hazard = list(dict.fromkeys(ended(upper(plain_hazard(r.hazard))) for r in told))
    return " ".join((*protect, *hazard))


def _plain(step: CourseStep, c: Context) -> StepSaid:
    how, why = PLAIN.get(step.how.kind, PLAIN.get(step.kind, ("", "")))
    return StepSaid(head=act_head(step.act, c.facts), how=how, why=why)


PLAIN = {
    "read-water": (
        f"Go on only while the poisonous part of ammonia is under {NH3_CARE.value:g} mg/L and nitrite under "
        f"{NITRITE_CARE.value:g} mg/L, as N. Else change water first.",
        "Bad water explains many signs, and makes a medicine more dangerous.",
    ),
    "read-empty": READ_EMPTY,
    "dead-out": (
        "A fresh one into the fridge, not the freezer: a look at it within hours tells more than any sign.",
        "The dead feed the ammonia, and what they died of.",
    ),
    "air": ("", "Sick fish need more air, and some medicines take oxygen out of the water."),
    "light": ("", "Light breaks it down, and fish are calmer in the dark."),
    "carbon-out": ("Don't wash the filter.", "Carbon takes the medicine out as long as it is in."),
    "siphon": (
        "Droppings and leftovers first; no more than half of the floor on one day.",
        "Droppings carry eggs and cysts, and feed the ammonia.",
    ),
    "bath-out": ("With as little of the bath's water as you can. The bath goes down the sink.", ""),
    "feed-usual": ("", "The course is over; fish that were ill need to eat."),
    "feed-less": (
        "Thin fish and fry go on getting enough; what is left after five minutes comes out.",
        "What is not fed makes no ammonia.",
    ),
}


def _dechlorinate(step: CourseStep, c: Context) -> StepSaid:
    amount = _short(step, c)
    frees = " Chloramine frees ammonia: read it afterwards." if text(step, "tap") == "chloramine" else ""
    return StepSaid(
        head=f"Dechlorinator into the new water: {amount}",
        amount=amount,
        how=f"{_weighed(step)}Stirred into the bucket before it goes in.{frees}",
        why="Chlorine from the tap burns gills and kills the filter.",
    )


def _weighed(step: CourseStep) -> str:
    return f"{amount_of(step.measured).how} " if step.measured is not None else ""


def _short(step: CourseStep, c: Context) -> str:
    if step.measured is not None:
        return amount_of(step.measured).short
    return step.amount.shown if step.amount else ""


CHANGES = {
    "before-dose": "Less in the water that eats the medicine or feeds the illness.",
    "before-repeat": "It takes what the fish gave off; then what it took of the medicine is put back.",
    "before-next": "It thins what the dose before has left.",
    "between-doses": "Fresh water keeps ammonia and nitrite low while the filter is weak.",
    "beside": "Fresh water keeps ammonia and nitrite low meanwhile.",
    "salt-stays": "Waste goes, salt does not: what the change takes is put back.",
    "after-dose": "The course has done what it can: half goes out, and carbon takes the rest.",
    "after-alone": "The course has done what it can: half goes out. Carbon is no help against what is left.",
    "salt-down": "Salt goes out slowly, a part each day.",
    "tub-half": HALF,
    "siphon-daily": DAILY,
}


def _change(step: CourseStep, c: Context) -> StepSaid:
    share, within = valued(step, "share"), valued(step, "within")
    litres = step.amount.value if step.amount and step.amount.value is not None else 0.0
    amount = step.amount.shown if step.amount else ""
    part = part_words(share.value) if share else "some"
    own = buckets(litres, c.kit.buckets_l)
    fit = f"New water within {degrees(within.value)} of the tank's." if within else ""
    hose = hose_said(litres, c.kit)
    water = listed([w for w in (own, hose) if w], "or")
    how = " ".join(p for p in (f"{upper(water)}." if water else "", fit, PLUGS) if p)
    carbon = any(s.kind == "carbon-in" for s in c.course.steps)
    why = CHANGES.get("after-alone" if step.why.kind == "after-dose" and not carbon else step.why.kind, "")
    water = "tub's water" if step.tub else "water"
    return StepSaid(head=f"Change {part} of the {water}: {amount}", amount=amount, how=how, why=why)


PLUGS = "Heater off 15 minutes before; mark the line."


def _dose(step: CourseStep, c: Context) -> StepSaid:
    assert step.measured is not None
    amount = amount_of(step.measured, c.of)
    verb = "Put back" if step.kind == "put-back" else "Give"
    of = f" {amount.of}" if amount.of and step.measured.batch is None else ""
    back = next((b for b in c.course.put_back if b.at == step.at), None)
    why = (
        back_why(back, c.course, c.facts)
        if back is not None and step.kind == "put-back"
        else published_words(c)
    )
    return StepSaid(
        head=f"{verb} {amount.short}{of}",
        amount=f"{amount.short} {amount.of}".strip(),
        how=" ".join(p for p in (amount.how, left_says(step, c), makes(step, c)) if p),
        why=why,
    )


def left_says(step: CourseStep, c: Context) -> str:
    """What an earlier dose has left in the water, where less goes in for it."""
    parts = [
        f"{level_shown(value.value, value.unit)} of {c.facts.substances[name.removeprefix('left ')].names[0]}"
        for name, value in step.how.values.items()
        if name.startswith("left ") and isinstance(value, Valued)
    ]
    return f"About {listed(parts)} is still in from the dose before: so much less goes in." if parts else ""


def makes(step: CourseStep, c: Context) -> str:
    """What the water is right after it: "That makes 5.7 mg/L of metronidazole in your 63 L"."""
    parts = []
    for name, value in step.how.values.items():
        kind, _, substance = name.partition(" ")
        if kind == "peak" and isinstance(value, Valued) and substance in c.facts.substances:
            called = c.facts.substances[substance].names[0]
            parts.append(f"{level_shown(value.value, value.unit)} of {called}")
    if not parts or c.course.volume_l is None:
        return ""
    where = "in the tub's" if c.course.place == "tub" else "in your"
    return f"That makes {listed(parts)} {where} {shown(c.course.volume_l.value, 'L')}."


STOP_SIGNS = "Gasping, rolling, on the side, shrimp that jump or lie still: change half at once, air up."


def _watch(step: CourseStep, c: Context) -> StepSaid:
    minutes = valued(step, "minutes")
    time = f" for {plain_number(minutes.value)} minutes" if minutes else ""
    return StepSaid(
        head=f"Watch them{time}",
        how=STOP_SIGNS,
        why="Those who can't bear it show it first.",
    )


def _carbon_in(step: CourseStep, c: Context) -> StepSaid:
    grams = valued(step, "grams")
    amount = shown_range(grams.low, grams.high, grams.unit) if grams else ""
    return StepSaid(
        head=f"Carbon into the filter: {amount} of tank water" if amount else "Carbon into the filter",
        amount=amount,
        how="Fresh, rinsed; renew it once after a day. How fast it works is not published.",
        why="It takes out what is left.",
    )


def _heat(step: CourseStep, c: Context) -> StepSaid:
    a_day = valued(step, "a day")
    rate = f"No more than {degrees(a_day.value)} in a day, up or down." if a_day else ""
    return StepSaid(
        head=act_head(step.act, c.facts),
        amount=step.amount.shown if step.amount else "",
        how=f"{rate} Warm water holds less oxygen: air up.".strip(),
        why=published_words(c),
    )


def _decide(step: CourseStep, c: Context) -> StepSaid:
    rounds, most = valued(step, "rounds"), c.course.rounds.most
    again = f" This plan has {plain_number(rounds.value)} of at most {most} doses." if rounds else ""
    return StepSaid(
        head="Decide: is it helping?",
        how="Fewer that show it and none new: it helped. No change: it was not this, or it was not reached.",
        why=f"Sooner nobody can tell.{again} Not again by reflex.",
    )


def _fish_back(step: CourseStep, c: Context) -> StepSaid:
    """Where fish stayed behind, what lives on them has had a host all along."""
    stay, who = step.why.values.get("stay"), text(step, "who")
    hosts = (
        f"The {stay} stayed in the tank: what lives on them may still be there. Treat them first, or these "
        "catch it again."
        if stay
        else "What stayed in the tank has had no host."
    )
    return StepSaid(
        head=f"{upper(who)} back into the tank" if who else act_head(step.act, c.facts),
        how="With as little of the tub's water as you can.",
        why=hosts,
    )


def _look(step: CourseStep, c: Context) -> StepSaid:
    organism, days = text(step, "organism"), valued(step, "days")
    known = c.facts.organisms.get(organism)
    name = known.common[0] if known and known.common else organism.replace("_", " ")
    span = f"{shown_range(days.low, days.high, '')} days" if days else "its time"
    return StepSaid(
        head=f"Look again for {name}",
        how="The same signs, all animals. One new case: the course did not end it.",
        why=f"One round of its life takes {span} at this warmth.",
    )


SAYS: Mapping[str, Sentence] = {
    **WITHOUT,
    "dechlorinate": _dechlorinate,
    "change": _change,
    "dose": _dose,
    "put-back": _dose,
    "watch": _watch,
    "carbon-in": _carbon_in,
    "bath-ready": bath_ready_said,
    "bath": bath_said,
    "fish-over": fish_over_said,
    "fish-back": _fish_back,
    "recipe": recipe_said,
    "feed": feed_said,
    "heat": _heat,
    "decide": _decide,
    "look": _look,
}
