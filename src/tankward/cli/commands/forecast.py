"""`tankward forecast TANK`: what comes, with bands and chances."""

from __future__ import annotations

from cyclopts import App

from tankward.desk.ahead import ahead
from tankward.desk.find import find_tank
from tankward.knowledge.find import find_one
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.model.run import warm_if_kept
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import number
from tankward.show.answers_forecast import forecast_result
from tankward.show.results_forecast import ForecastResult

from ..common import Common, opened

MOST_DAYS = 28


def forecast(tank: str, *words: str, days: float | None = None, common: Common = Common()) -> ForecastResult:
    """What comes: medicines, ammonia, nitrite, oxygen, pH, parasites, and how likely these are gone.

    Parameters
    ----------
    tank
        A tank of the room.
    words
        days=14, and "for" with causes to follow as if each were the one: forecast T7 for white_spot velvet.
        Without causes: those of the course that runs, else what the looks make likely.
    days
        How far ahead, up to 28. Without it 28 where an organism is followed, else 7.
    """
    facts, now = load(), common.moment
    told, causes = _read(words, facts)
    wanted = _days(told if days is None else days)
    with opened(common) as desk:
        room = desk.room()
    warm_if_kept()
    found = find_tank(room, tank).id
    made = ahead(room, found, now, common.zone, facts, days=wanted, causes=causes)
    return forecast_result(made.forecast, made.drugs, made.learned, facts, common.told)


def _read(words: tuple[str, ...], facts: Facts) -> tuple[float | None, tuple[str, ...] | None]:
    """Days and causes as they stand behind the tank."""
    days, causes, following = None, list[str](), False
    for word in words:
        key, mark, value = word.partition("=")
        if mark and key == "days":
            days = float(number(value, "days"))
        elif word == "for" and not following:
            following = True
        elif following:
            causes += [find_one(facts, "cause", w.strip()) for w in word.split(",") if w.strip()]
        else:
            raise BadInput("forecast", word, "is not understood. Write days=14, or: for white_spot.")
    if following and not causes:
        raise BadInput("for", "", "names no cause. Write it like: for white_spot.")
    return days, tuple(dict.fromkeys(causes)) if following else None


def _days(told: float | None) -> float | None:
    if told is not None and not 0 < told <= MOST_DAYS:
        raise BadInput("days", f"{told:g}", f"can't be right: it lies over 0 and up to {MOST_DAYS}.")
    return told


def add_to(app: App) -> None:
    """Add the command."""
    app.command(forecast)
