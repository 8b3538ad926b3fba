"""From a tub worked out to the card that hangs on it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from typing import Protocol

from tankward.knowledge.known import Facts
from tankward.quantities.working import Answer, Step
from tankward.room.things import Stock
from tankward.room.time import local
from tankward.show.words import tub as words
from tankward.show.words.acts import ended
from tankward.show.words.working import working_rows
from tankward.treat.husbandry.tub import TubPlan

from .records import DayRow, Foot, Line, Pair, TubSheet

WRITE = -1


class ToPrint(Protocol):
    """A tub worked out."""

    @property
    def animals(self) -> Sequence[Stock]: ...
    @property
    def weighed(self) -> bool: ...
    @property
    def likely_g(self) -> float: ...
    @property
    def plan(self) -> TubPlan: ...
    @property
    def answer(self) -> Answer: ...
    @property
    def read(self) -> Sequence[str]: ...
    @property
    def cautions(self) -> Sequence[str]: ...
    @property
    def medicine(self) -> words.Medicine | None: ...


def tub_sheet(
    given: ToPrint, facts: Facts, *, tank: str, sources: Iterable[str], now: datetime, zone: str, foot: Foot
) -> TubSheet:
    """The card, every sentence said; `tank` is "" where the fish come from none of the room."""
    plan, medicine = given.plan, given.medicine
    told = words.about(given.animals, given.likely_g, plan, given.weighed, given.read)
    steps = [*given.answer.how, *(medicine.back.how if medicine else ())]
    return TubSheet(
        title=f"{tank}: {words.TITLE.lower()}" if tank else words.TITLE,
        foot=foot,
        finding=words.finding(plan),
        why=words.why(plan),
        about_heading="The tub",
        about=tuple(Pair(what=what, says=says) for what, says in told),
        steps_heading="Before they go in",
        steps=words.SET_UP,
        days_heading=words.change_words(plan),
        days=tuple(_days(now, zone)),
        rows=tuple(_rows(plan, medicine is not None)),
        rules=words.CHANGE_RULES,
        medicine_heading=f"{medicine.name[:1].upper()}{medicine.name[1:]}" if medicine else "",
        medicine=tuple(words.dose_lines(medicine)) if medicine else (),
        bears=tuple(words.bears_lines(medicine, facts)) if medicine else (),
        see_heading="If you see this",
        see=tuple(Pair(what=what, says=do) for what, do in words.SEE),
        working_heading="How we got this",
        working=tuple(lines(steps)),
        notes=(
            f"Taken for granted: {'; '.join(given.answer.assumes)}.",
            *(ended(c) for c in given.cautions),
            words.PRACTICE,
            *(f"{s}." for s in sources),
        ),
    )


def lines(steps: Iterable[Step]) -> Iterable[Line]:
    """The working, one line a step."""
    for row in working_rows(steps):
        yield Line(what=row["step"], how=row["formula"], says=row["value_shown"], sure=row["status_words"])


def _days(now: datetime, zone: str) -> Iterable[str]:
    for n in range(words.DAYS_SHOWN):
        there = local(now + timedelta(days=n), zone)
        yield f"{there:%a} {there.day}"


def _rows(plan: TubPlan, medicine: bool) -> Iterable[DayRow]:
    """The first change comes one wait after they went in."""
    each = words.DAYS_SHOWN
    twice = plan.wait_days < 1
    due = tuple(2 if twice else int(n > 0 and n % plan.wait_days == 0) for n in range(each))
    yield DayRow(what="Half changed, floor siphoned", boxes=due)
    if medicine:
        yield DayRow(what="Put back", boxes=due)
    yield DayRow(what="Fed, left-overs out", boxes=(1,) * each)
    yield DayRow(what="Alive and calm: how many", boxes=(WRITE,) * each)
    yield DayRow(what="Ammonia read", boxes=(WRITE,) * each)
