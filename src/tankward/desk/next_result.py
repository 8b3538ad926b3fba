"""What each result of a look would do to what it may be."""

from __future__ import annotations

import msgspec
import numpy as np

from tankward.judge.draws import band
from tankward.judge.evidence import Evidence, Outcome, fair
from tankward.judge.inference import posterior
from tankward.judge.network_of import network_of
from tankward.judge.next_look import NextLook
from tankward.judge.observing import observed
from tankward.judge.trend import TRENDS
from tankward.knowledge.known import Facts


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """What comes first if the look shows it, or shows nothing."""

    shows: bool
    cause: str  # "" where what is on no list comes first
    low: float
    value: float
    high: float


def results_of(look: NextLook, evidence: Evidence, facts: Facts) -> tuple[Result, ...]:
    """The likeliest cause after each result of a look.

    Parameters
    ----------
    look : NextLook
        A sign, or the test of a cause.
    evidence : Evidence
        What is known before it.
    facts : Facts
        The facts.
    """
    return tuple(_first(after(look, evidence, shows, facts), shows, facts) for shows in (True, False))


def after_waiting(evidence: Evidence, facts: Facts) -> tuple[tuple[str, Result], ...]:
    """What would come first if a day later more, the same or fewer are ill."""
    told = ((t, msgspec.structs.replace(evidence, trend=t)) for t in TRENDS)
    return tuple((trend, _first(then, True, facts)) for trend, then in told)


def _first(evidence: Evidence, shows: bool, facts: Facts) -> Result:
    network = network_of(facts)
    each = posterior(observed(fair(evidence), network)).each
    first = int(np.argmax(np.median(each, axis=0)))
    low, value, high = band(each[:, first])
    name = network.causes[first].id if first < len(network.causes) else ""
    return Result(shows=shows, cause=name, low=low, value=value, high=high)


def after(look: NextLook, evidence: Evidence, shows: bool, facts: Facts) -> Evidence:
    """The evidence with the result of a look in it."""
    if look.id in facts.signs:
        field = "seen" if shows else "absent"
        more = {field: (*getattr(evidence, field), look.id)}
        unsure = tuple(s for s in evidence.unsure if s != look.id)
        vent = evidence.vent_looked_at or look.id == "worms_at_vent"
        return msgspec.structs.replace(evidence, **more, unsure=unsure, vent_looked_at=vent)
    cause, _, test = look.id.partition(":")
    outcome = Outcome(cause=cause, test=test, positive=shows)
    return msgspec.structs.replace(evidence, tests=(*evidence.tests, outcome))
