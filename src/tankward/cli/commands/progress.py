"""`tankward progress TANK`: is the course that runs there helping?"""

from __future__ import annotations

from cyclopts import App

from tankward.desk.examine import examine_tank
from tankward.desk.find import find_tank
from tankward.judge.progress import fit_of
from tankward.judge.progress import progress as progress_of
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.show.answers_progress import progress_result
from tankward.show.results_progress import ProgressResult

from ..common import Common, local_zone, opened


def progress(tank: str, *, common: Common = Common()) -> ProgressResult:
    """Is the course that runs there helping, is it too early to say, or is it not helping?

    Parameters
    ----------
    tank
        A tank of the room, in which a course runs.
    """
    facts, now = load(), common.moment
    with opened(common) as desk:
        room = desk.room()
    found_tank = find_tank(room, tank).id
    found = progress_of(room, found_tank, now, facts)
    if found is None:
        raise BadInput("tank", tank, "has no course that could be judged.")
    examined = examine_tank(room, found_tank, now, facts)
    fits = fit_of(examined.ranking, examined.evidence.seen, found.course)
    return progress_result(found, fits, facts, now, local_zone(), common.told)


def add_to(app: App) -> None:
    """Add the command."""
    app.command(progress)
