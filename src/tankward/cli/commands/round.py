"""round: today's jobs over all tanks."""

from __future__ import annotations

from cyclopts import App

from tankward.knowledge.loader import load
from tankward.rounds.round import round_of
from tankward.show.answers_round import round_result
from tankward.show.results_round import RoundResult

from ..common import Common, opened


def round_(*, common: Common = Common()) -> RoundResult:
    """Today's jobs: whom to look at in which order, steps of courses by their hour, what else is due."""
    with opened(common) as desk:
        room = desk.room()
    facts = load()
    found = round_of(room, common.moment, common.zone, facts)
    return round_result(found, room, common.moment, common.zone, facts)


def add_to(app: App) -> None:
    """Add the command."""
    app.command(round_, name="round")
