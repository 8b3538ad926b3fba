"""`tankward forecast TANK`: what comes, with bands and chances."""

from __future__ import annotations

from cyclopts import App

from tankward.desk.find import find_tank
from tankward.desk.forecasts import forecast_of
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.show.answers_forecast import forecast_result
from tankward.show.results_forecast import ForecastResult

from ..common import Common, opened

MOST_DAYS = 28


def forecast(tank: str, *, days: float = 7, common: Common = Common()) -> ForecastResult:
    """What comes: the substances in the water, ammonia, nitrite, oxygen, warmth, and what is suspected.

    Parameters
    ----------
    tank
        A tank of the room.
    days
        How far ahead, up to 28; 7 without it.
    """
    if not 0 < days <= MOST_DAYS:
        raise BadInput("days", f"{days:g}", f"can't be right: it lies over 0 and up to {MOST_DAYS}.")
    facts, now = load(), common.moment
    with opened(common) as desk:
        room = desk.room()
    found = find_tank(room, tank).id
    made = forecast_of(room, found, now, facts, days=days)
    return forecast_result(made, facts, common.told)


def add_to(app: App) -> None:
    """Add the command."""
    app.command(forecast)
