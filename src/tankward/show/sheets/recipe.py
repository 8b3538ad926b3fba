"""From a recipe worked out to the sheet that lies in the kitchen."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from tankward.knowledge.known import Facts
from tankward.room.time import local
from tankward.show.words.course import caution_lines, statement_lines
from tankward.show.words.recipe import ToSay, recipe_of, recipe_said, working_of
from tankward.show.words.step_parts import Context, published_words

from .records import Clean as Made
from .records import DayRow, Foot, Pair, RecipeSheet, Weighed
from .tub import WRITE, lines

DAYS_SHOWN = 7  # in one table; a longer course starts another


def recipe_sheet(
    given: ToSay, facts: Facts, *, tank: str, sources: Iterable[str], now: datetime, zone: str, foot: Foot
) -> RecipeSheet:
    """The sheet, every sentence said; `tank` is "" where the fish are of no room."""
    said, course = recipe_said(given, facts), given.course
    _, _, plan = recipe_of(course)
    c = Context(course=course, facts=facts, kit=given.kit, shelf=given.shelf)
    days = max(1, round(plan.portions.days))
    told = course.statement
    return RecipeSheet(
        title=f"{tank}: medicine in the food" if tank else "Medicine in the food",
        foot=foot,
        finding=said.title,
        why=said.why,
        doses=tuple(Pair(what=what, says=says) for what, says in said.doses),
        published=published_words(c),
        apart=said.apart,
        about_heading="For whom",
        about=tuple(Pair(what=what, says=says) for what, says in said.about),
        weigh_heading="Weigh and measure",
        weigh=tuple(Weighed(amount=amount, what=what, tool=tool) for amount, what, tool in said.weigh),
        off=said.off,
        steps_heading="Make it",
        steps=tuple(Made(head=s.head, how=s.how, hazard=s.hazard) for s in said.steps),
        feed_heading=said.feed_heading,
        days=tuple(_days(now, zone, min(days, DAYS_SHOWN))),
        rows=(
            DayRow(what="Fed, left-overs out", boxes=(plan.portions.meals_day,) * min(days, DAYS_SHOWN)),
            DayRow(what="Who did not eat", boxes=(WRITE,) * min(days, DAYS_SHOWN)),
        ),
        rules=said.rules,
        keep_heading="Keep it, and what is left",
        keep=said.keep,
        water_heading="In the water",
        water=said.water,
        care_heading="Take care",
        care=tuple(caution_lines(course.cautions)),
        statement_heading="Held lawfully" if told else "",
        statement=tuple(statement_lines(told)) if told else (),
        working_heading="How we got this",
        working=tuple(lines(working_of(course).how)),
        notes=tuple(f"{s}." for s in sources),
    )


def _days(now: datetime, zone: str, count: int) -> Iterable[str]:
    for n in range(count):
        there = local(now + timedelta(days=n), zone)
        yield f"{there:%a} {there.day}"
