"""`tankward progress TANK`: is the course that runs there helping?"""

from __future__ import annotations

from cyclopts import App

from tankward.desk.find import find_tank
from tankward.desk.helping import helping
from tankward.knowledge.loader import load
from tankward.model.run import warm_if_kept
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
    warm_if_kept()
    judged = helping(room, found_tank, now, facts)
    if judged is None:
        raise BadInput("tank", tank, "has no course that could be judged.")
    return progress_result(judged, room, facts, local_zone(), common.told)


def add_to(app: App) -> None:
    """Add the command."""
    app.command(progress)
