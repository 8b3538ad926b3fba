"""`tankward calendar`: steps of courses, looks and days over, for a telephone or a calendar program."""

from __future__ import annotations

from cyclopts import App

from tankward.desk.find import find_tank
from tankward.knowledge.loader import load
from tankward.press.calendar import file_of, gathered
from tankward.press.sheet import Asked
from tankward.quantities.faults import BadInput
from tankward.show.results_calendar import CalendarResult, calendar_rows

from ..common import Common, opened
from ..wanted import CourseOptions


def calendar(
    tank: str = "", *, options: CourseOptions = CourseOptions(), common: Common = Common()
) -> CalendarResult:
    """Steps, looks and days over as iCalendar: calendar > room.ics, calendar T7 > t7.ics.

    Parameters
    ----------
    tank
        A tank of the room; else all. With --substance and --route: a course before it is begun.
    """
    wanted = options.wanted
    if wanted is not None and not tank:
        raise BadInput("tank", "", "is missing. Write it like: tankward calendar T7 --substance …")
    with opened(common) as desk:
        room, facts = desk.room(), load()
        asked = Asked(
            desk=desk, facts=facts, now=common.moment, zone=common.zone, demo=False,
            tank=find_tank(room, tank) if tank else None,
        )  # fmt: skip
        given = gathered(asked, wanted)
        _, made = file_of(asked, given)
    rows = calendar_rows(given.calendar, room, facts, common.zone)
    return CalendarResult(says=_says(len(rows)), events=rows, file=made.decode(), now=common.told)


def _says(many: int) -> str:
    return {0: "Nothing is planned.", 1: "One thing is planned."}.get(many, f"{many} things are planned.")


def add_to(app: App) -> None:
    """Add the command."""
    app.command(calendar)
