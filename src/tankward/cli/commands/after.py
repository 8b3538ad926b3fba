"""`tankward course-close TANK`, `tankward cases [TANK]`: how a course ended, and what is kept of it."""

from __future__ import annotations

from typing import Annotated

from cyclopts import App, Parameter

from tankward.desk.after import after_of
from tankward.desk.border import Border
from tankward.desk.cases import cases_of
from tankward.desk.find import find_tank
from tankward.knowledge.loader import load
from tankward.room.treated import treated
from tankward.show.answers_after import cases_result, closed_result
from tankward.show.results_after import CasesResult, CourseClosedResult

from ..common import Common, opened, pairs

Words = Annotated[str, Parameter(allow_leading_hyphen=True)]


def course_close(tank: str, *given: Words, common: Common = Common()) -> CourseClosedResult:
    """How a course ended: course-close T8 outcome=cleared cause="white spot" note="none since Monday".

    What follows is told: the looks by the cycle of what it was for, who stays where, what was given. Taken
    back with undo.

    Parameters
    ----------
    tank
        A tank of the room, whose course runs or was stopped.
    given
        outcome=cleared, better, "no change", worse or dont-know; and where there is more to say seen="white
        spots" for signs that are still there, cause= for what you believe it was, note=, when=.
    """
    facts = load()
    with opened(common) as desk:
        border = Border.of(desk, facts, common.moment, common.zone)
        written = border.course_closed(tank, pairs(given))
        desk.append(*written.entries)
        room = desk.room()
    where = written.entry.tank
    one = next(t for t in treated(room, where) if t.closed and t.closed.id == written.entry.id)
    found = after_of(room, one, common.moment, common.zone, facts)
    return closed_result(found, room, common.moment, common.zone, facts, common.told)


def cases(tank: str = "", *, common: Common = Common()) -> CasesResult:
    """Cases that are over: what was seen, what it was taken for, what was done, how it ended, what it cost.

    Parameters
    ----------
    tank
        A tank of the room; nothing for all of them.
    """
    facts = load()
    with opened(common) as desk:
        room = desk.room()
    found = find_tank(room, tank) if tank else None
    kept = cases_of(room, common.moment, common.zone, found.id if found else "")
    return cases_result(
        kept, found.id if found else "", found.name if found else "", common.moment, common.zone, facts,
        common.told,
    )  # fmt: skip


def add_to(app: App) -> None:
    """Add the commands."""
    app.command(course_close)
    app.command(cases)
