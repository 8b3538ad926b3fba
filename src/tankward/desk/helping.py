"""Is it helping? Everything that is said of a course that runs: worked out once, for both faces."""

from __future__ import annotations

from datetime import datetime
from functools import partial

from tankward.desk.examine import Examination, examine_tank
from tankward.judge.causes import Ranking
from tankward.judge.failed import ill_of_it, reranked
from tankward.judge.helping import Helped, Question, helped
from tankward.judge.hypotheses import Chances
from tankward.judge.progress import Progress, by_life, fit_of, progress
from tankward.knowledge.known import Facts
from tankward.model.forecast import made
from tankward.quantities.faults import BadInput
from tankward.room.replay import Room
from tankward.rounds.contact import met
from tankward.treat.failing import Failing, Met, Told, failing
from tankward.treat.helping import Helping
from tankward.treat.when_to_stop import ending

from .forecasts import planned_of


def helping(room: Room, tank: str, now: datetime, facts: Facts) -> Helping | None:
    """All of it; None where no course runs.

    Parameters
    ----------
    room : Room
        As it stands.
    tank : str
        Its id.
    now : datetime
        With a zone.
    facts : Facts
        The facts.
    """
    heads = progress(room, tank, now, facts)
    if heads is None:
        return None
    life, why_not = _by_life(room, tank, heads, now, facts)
    found = by_life(heads, life, room, now)
    fails = found.verdict == "not-helping" or found.worse
    seen = examine_tank(room, tank, now, facts, looks_too=fails)
    forecast = partial(made, life.told, now, life.learning, ()) if life else None
    return Helping(
        found=found,
        fits=fit_of(seen.ranking, seen.evidence.seen, found.course),
        failing=_failing(room, tank, found, seen, now, facts) if fails else (),
        next_look=next(iter(seen.next_look), None),
        ending=ending(found, room, now, facts, forecast),
        now=now,
        why_not=why_not,
    )


def _by_life(
    room: Room, tank: str, heads: Progress, now: datetime, facts: Facts
) -> tuple[Helped | None, str]:
    planned = tuple(planned_of(room, tank, now, facts))
    try:
        life = helped(Question(room=room, course=heads.course, planned=planned, now=now, facts=facts))
    except BadInput:
        return None, "litres"
    return life, "" if life else "no-life" if heads.course.cause else "no-cause"


def _failing(
    room: Room, tank: str, found: Progress, seen: Examination, now: datetime, facts: Facts
) -> tuple[Failing, ...]:
    """Where it is not helping, or is worse than before."""
    course = found.course
    ranking: Ranking = reranked(room, course, now, facts, times=odds_moved(found.helped))
    ill = ill_of_it(room, course, now, facts)
    contacts = tuple(
        Met(tank=m.tank, at=m.at, how=m.how, ill=m.tank in ill) for m in met(room, tank, course.at, now)
    )
    return failing(
        Told(
            room=room,
            now=now,
            facts=facts,
            found=found,
            ranking=ranking,
            met=contacts,
            ill=ill,
            seen=seen.evidence.seen,
        )
    )


def odds_moved(life: Helped | None) -> float:
    """By how much the counts since the course began moved the odds that its cause is right."""
    if life is None:
        return 1.0
    return _odds(life.chances) / _odds(life.prior)


def _odds(chances: Chances) -> float:
    right = 1.0 - chances.other
    return max(right, 1e-6) / max(chances.other, 1e-6)
