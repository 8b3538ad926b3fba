"""A course in words: its heading and number, what to put back, chances, refusals."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown
from tankward.quantities.faults import Reason
from tankward.quantities.working import Step as WorkingStep
from tankward.room.acts import Dose
from tankward.room.entries.acts import CourseBegun, Step
from tankward.room.replay import Room
from tankward.treat.course.chances import ChanceOf, Chances
from tankward.treat.course.records import Course, CourseStep, PutBack, Statement

from .acts import ended, listed, part_words, upper
from .chance import chance_words, of_ten
from .days import day_said
from .measured import Amount, amount_of, counted, level_shown
from .outlook import cleared_says, percent_ends, withheld_says
from .people import people_lines
from .put_back import batch_at, ends_of, unit_in
from .recipe_drug import food_name, taken_words
from .remedies import ROUTES, as_stated, leaves_words, substance_name
from .step_parts import Context
from .steps import step_said
from .without import parts_lines, without_head

GIVING = ("dose", "bath", "recipe", "heat")
# Reasons that stand beside the animals as mark and words.
OF_ANIMALS = (
    "class-caution", "published-regimen", "usual-regimen", "recalled-regimen", "unknown", "unknown-animal",
    "young-at-risk", "plant", "plant-out",
)  # fmt: skip
STAGES = {
    "on_host": "on the fish", "in_host": "in the fish", "water": "free in the water",
    "surface": "on floor and glass", "carrier": "in small crustaceans that carry it",
}  # fmt: skip
CHANCES = {
    "over-limit": "{about} passes the level from which it is refused for {who} ({line})",
    "over-ceiling": "{about} passes {line}, above which it is refused",
    "nh3": "the poisonous part of ammonia passes {line}",
    "nh3-danger": "the poisonous part of ammonia passes {line}, the level of danger",
    "nitrite": "nitrite passes {line}",
    "oxygen": "oxygen falls under {line}",
}
WITHHELD = {
    "tub-again": "How likely it clears the illness is not said: the fish go back between two stays in the "
    "tub, and what they catch there is not followed.",
    "clear": "How likely it clears the illness is not said: no germ whose life is known stands behind it. "
    "The day of decision tells.",
}
DANGER_KIND = "danger"  # of a caution: the course was changed by hand into what harms
BY_HAND = "In {tank} a course runs that was changed by hand: {course}."
DANGER = "Danger: "  # how such a line begins, in a begun course too
RARE = 0.05  # a chance under it is told without a bar [our own choice]


class Heading(msgspec.Struct, frozen=True, kw_only=True):
    """The sentence over the number, the number, what it is of, its two ends."""

    says: str
    amount: Amount | None = None
    ends: tuple[tuple[str, str], ...] = ()


def course_name(course: Course, facts: Facts) -> str:
    """What it is called: "metronidazole in the food"."""
    if course.remedy:
        return facts.remedies[course.remedy].name
    way = "in a tub" if course.place == "tub" else ROUTES.get(course.route, "")
    return f"{substance_name(course.substance, facts)} {way}".strip()


def heading(c: Context, tank: str, now: datetime, zone: str) -> Heading:
    """The amount now, as the number of the page."""
    course = c.course
    given = next((s for s in course.steps if s.kind in GIVING), None)
    day = upper(day_said(course.start, now, zone))
    if course.without is not None:
        says, amount = without_head(course.without, course)
        return Heading(says=f"{day} in {tank}: {says}", amount=amount)
    if given is None:
        return Heading(says=f"{day} in {tank}: {course_name(course, c.facts)}.")
    return Heading(
        says=f"{day} in {tank}: {_acts_before(course, given)}", amount=_number(given, c), ends=_ends(c)
    )


def _acts_before(course: Course, given: CourseStep) -> str:
    change = next((s for s in course.steps if s.kind == "change" and s.at <= given.at), None)
    share = change.how.values.get("share") if change else None
    first = (
        f"change {part_words(share.value)}, then " if share is not None and not isinstance(share, str) else ""
    )
    return first + {"dose": "give", "bath": "a bath with", "recipe": "mix", "heat": "heater to"}[given.kind]


def _number(step: CourseStep, c: Context) -> Amount | None:
    if step.measured is not None and step.kind != "recipe":
        return amount_of(step.measured, c.of)
    if c.course.recipe is not None and c.course.recipe.packets is not None:
        supply = c.shelf.get(c.course.supply)
        said = counted(c.course.recipe.packets, supply.unit if supply else "packet")
        number, _, unit = said.partition(" ")
        return Amount(number=upper(number), unit=unit, short=said, of=_into_food(c))
    if c.course.recipe is not None and c.course.recipe.kitchen is not None:
        taken = taken_words(c)
        number, _, rest = taken.partition(" ")
        unit, _, of = rest.partition(" ")
        return Amount(number=number, unit=unit, short=f"{number} {unit}", of=f"{of} {_into_food(c)}".strip())
    if step.amount is None:
        return None
    number, _, unit = step.amount.shown.partition(" ")
    return Amount(number=number, unit=unit, short=step.amount.shown)


def _into_food(c: Context) -> str:
    plan = c.course.recipe.kitchen if c.course.recipe else None
    return f"into {shown(plan.batch_g, 'g')} of {food_name(plan.kind.id)}" if plan else ""


def _ends(c: Context) -> tuple[tuple[str, str], ...]:
    """The first put back at both ends."""
    back = next(iter(c.course.put_back), None)
    return put_back_rows(back, c) if back is not None else ()


def put_back_rows(back: PutBack, c: Context) -> tuple[tuple[str, str], ...]:
    """(amount, what it would do) of the active that the plan goes by."""
    part = next((p for p in back.parts if p.substance == back.by), None)
    if part is None:
        return ()
    low, _, high = ends_of(part, unit_in(c.course), batch_at(c.course, back.at))
    name = substance_name(part.substance, c.facts)
    return (
        (low, f"would do if all of the {name} lasted"),
        (high, "would be needed if it were all gone"),
    )


def reach_lines(course: Course, facts: Facts) -> list[str]:
    """Reaches, does not reach, leaves untouched: before every amount (safety rule 8)."""
    hit = list(dict.fromkeys(STAGES[r.place] for r in course.reaches))
    missed = [p for p in dict.fromkeys(STAGES[r.place] for r in course.not_reached) if p not in hit]
    told = [f"Reaches it {listed(hit)}."] if hit else []
    if missed:
        told.append(f"Does not reach it {listed(missed)}, as far as is known.")
    left = leaves_words(course.leaves, facts)
    return [*told, left] if left else told


def strength_line(course: Course) -> str:
    """How strong the water, the tub or the food is."""
    if course.level is None or course.level.value is None:
        return ""
    where = {"feed": "food", "heat": "warmth"}.get(course.route, "tub" if course.place == "tub" else "water")
    return f"How strong: {course.level.shown_range} in the {where}."


def statement_lines(told: Statement) -> list[str]:
    """Lawful possession as it was stated, and the region's lines of law."""
    where = {"": "a region that isn't said: the strictest lines hold", "other": "your region"}.get(
        told.region, told.region
    )
    first = f"{upper(told.supply)}: held lawfully, {as_stated(told.stated_on)} ({where})."
    return [first, *dict.fromkeys(ended(law.statement) for law in told.law)]


def stated_lines(course: Course) -> list[str]:
    """All that the keeper states of a course: lawful possession, the people near."""
    held = statement_lines(course.statement) if course.statement else []
    return [*held, *people_lines(course.answers)]


def told_lines(course: Course, facts: Facts) -> list[str]:
    """What stands against it, what it reaches and what not, then what to mind."""
    danger = danger_lines(course.cautions)
    rest = [line for line in caution_lines(course.cautions) if line not in danger]
    return [*danger, *reach_lines(course, facts), *rest]


def danger_lines(cautions: Sequence[Reason]) -> list[str]:
    """What a change by hand would do to the animals: it goes with the course wherever it is printed."""
    return caution_lines([r for r in cautions if r.kind == DANGER_KIND])


def danger_told(begun: CourseBegun) -> list[str]:
    """The same of a course that runs, as it was told when it began."""
    return [line for line in begun.told.splitlines() if line.startswith(DANGER)]


def danger_here(room: Room, tank: str) -> list[str]:
    """The same of the course that runs in a tank, with its name: for what is about the tank itself."""
    begun = room.courses.get(tank)
    told = danger_told(begun) if begun else []
    return [BY_HAND.format(tank=room.tanks[tank].name, course=begun.name), *told] if begun and told else []


def caution_lines(cautions: Sequence[Reason]) -> list[str]:
    """What to mind, each once, with what would mend it; what is said of the animals stands beside them."""
    told = [
        (DANGER if r.kind == DANGER_KIND else "")
        + ended(r.because)
        + (f" {ended(r.would_change)}" if r.would_change else "")
        for r in cautions
        if r.kind not in OF_ANIMALS
    ]
    return list(dict.fromkeys(told))


class ChanceSaid(msgspec.Struct, frozen=True, kw_only=True):
    """A chance in words, with its bar and the numbers one touch behind."""

    what: str
    words: str
    low: float
    high: float
    tanks: str
    share: str


def chances_said(found: Chances, facts: Facts) -> tuple[list[ChanceSaid], list[ChanceSaid]]:
    """The chances worth a bar, worst first; and those under 1 in 20."""
    rows = sorted(found.rows, key=lambda r: -r.value)
    bars = [chance_said(r, facts) for r in rows if r.value >= RARE]
    return bars, [chance_said(r, facts) for r in rows if r.value < RARE]


def chance_said(row: ChanceOf, facts: Facts) -> ChanceSaid:
    """One chance."""
    return ChanceSaid(
        what=upper(chance_what(row, facts)),
        words=chance_words(row.low, row.high, row.value),
        low=row.low,
        high=row.high,
        tanks=of_ten(row.value),
        share=f"{percent_ends(row.low, row.high)} of such tanks",
    )


def chance_what(row: ChanceOf, facts: Facts) -> str:
    """What may come."""
    about = substance_name(row.about, facts) if row.about in facts.substances else row.about
    told = CHANCES[row.what].format(about=about, who=listed(row.who), line=level_shown(row.line, row.unit))
    return f"in the tub {told}" if row.where == "tub" else told


def withheld_lines(found: Chances, facts: Facts) -> list[str]:
    """Chances that nobody can give here: said, not left out."""
    unsaid = [withheld_says(o, facts) for o in found.cleared if not o.chances]
    return [*unsaid, *(WITHHELD[w] for w in found.withheld if w in WITHHELD)]


def cleared_lines(found: Chances, facts: Facts) -> list[str]:
    """How likely it clears the illness, and how that is to be read."""
    told = [cleared_says(o, facts, by_medicine=not found.without) for o in found.cleared if o.chances]
    return [*told, *parts_lines(found, facts)]


def bars_title(course: Course, now: datetime, zone: str) -> str:
    """Until when the chances run."""
    return f"until {day_said(course.ends, now, zone)}"


def refused_says(reasons: Sequence[Reason]) -> str:
    """The first reason as a heading."""
    return ended(reasons[0].because) if reasons else "No."


def refused_rows(reasons: Sequence[Reason]) -> list[tuple[str, str]]:
    """Each reason with what would make it safe."""
    return list(dict.fromkeys((ended(r.because), ended(r.would_change)) for r in reasons))


def entry_steps(c: Context) -> dict[str, Step]:
    """The steps as a begun course keeps them, in the keeper's own measure."""
    found = {}
    for step in c.course.steps:
        said = step_said(step, c)
        act = (
            msgspec.structs.replace(step.act, measured=said.amount)
            if isinstance(step.act, Dose)
            else step.act
        )
        found[step.id] = Step(
            id=step.id, at=step.at, act=act, says=said.head, amount=said.amount, how=said.how,
            why=said.why, hazard=said.hazard, tub=step.tub,
        )  # fmt: skip
    return found


def named_steps(steps: Sequence[WorkingStep], facts: Facts) -> list[WorkingStep]:
    """A working with substances by their names: "level, sodium_chloride" is the level of salt."""
    return [msgspec.structs.replace(s, step=_named(s.step, facts)) for s in steps]


def _named(text: str, facts: Facts) -> str:
    what, mark, substance = text.partition(", ")
    known = mark and substance in facts.substances
    return upper(f"{what} of {substance_name(substance, facts)}" if known else text)
