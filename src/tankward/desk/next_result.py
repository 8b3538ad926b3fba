"""What each result of a look would do to what it may be."""

from __future__ import annotations

import msgspec

from tankward.judge.causes import Ranked, causes
from tankward.judge.evidence import Evidence, Outcome
from tankward.judge.network_of import network_of
from tankward.judge.next_look import NextLook
from tankward.knowledge.known import Facts


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """What comes first if the look shows it, or shows nothing."""

    shows: bool
    first: Ranked


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
    network = network_of(facts)
    return tuple(
        Result(shows=shows, first=causes(after(look, evidence, shows, facts), network).ranked[0])
        for shows in (True, False)
    )


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
