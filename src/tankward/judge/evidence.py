"""What a judgement on causes rests on: what was seen, looked for and absent, not known; who lives there; what
happened, and when.
"""

from __future__ import annotations

from collections.abc import Iterable

import msgspec


class Happened(msgspec.Struct, frozen=True, kw_only=True):
    """One dated fact of the past, or one thing that is so now."""

    context: str  # id of a context of the facts
    age_d: float | None = None  # days before the call; None: when is not known
    of: tuple[str, ...] = ()  # which of its kind: "harms filter", "plants", "tetra"
    value: float | None = None  # of a measured context
    true: bool = True  # False: asked, and it is not so


class Outcome(msgspec.Struct, frozen=True, kw_only=True):
    """The result of a test on one cause, by the name it has in the facts."""

    cause: str
    test: str
    positive: bool
    degree: str = ""  # slight, moderate, marked, extreme: how many were found; "" not counted


class Evidence(msgspec.Struct, frozen=True, kw_only=True):
    """What is known when somebody asks what it may be. A sign in none of the three lists was not
    looked for.
    """

    seen: tuple[str, ...] = ()
    absent: tuple[str, ...] = ()
    unsure: tuple[str, ...] = ()
    onset: str = ""  # hours, days, weeks; "" = not known
    share: str = ""  # one, some, most; "" = not known
    trend: str = ""  # more, same, fewer ill a day later; "" = nobody counted twice
    hosts: tuple[str, ...] = ()  # host groups and finer tags of the animals at risk
    happened: tuple[Happened, ...] = ()
    tests: tuple[Outcome, ...] = ()
    vent_looked_at: bool = False
    gravid_livebearers: bool = False
    sex_unknown: bool = False  # livebearers of whom it is not said: a round belly may be young
    told_twice: tuple[str, ...] = ()  # signs told as seen and as not there; they stand in `unsure`


# How many and how fast are each one fact with several answers; these signs are the same facts in other words.
SHARE_SIGNS = {"one_fish_only": "one", "all_species": "most"}
VENT_SIGNS = frozenset({"worms_at_vent"})
BELLY_SIGNS = frozenset({"belly_sunken"})


def fair(evidence: Evidence) -> Evidence:
    """The same evidence without what it can't bear.

    Parameters
    ----------
    evidence : Evidence
        As the keeper gave it.

    Returns
    -------
    Evidence
        "No threads at the vent" only where the vent was looked at; no "belly is not hollow" in gravid
        livebearers, whose belly misleads; how many fish as one fact, not as signs too.

    Source: rule 34 of the rules for reading signs (common-practice).
    """
    unfit = (
        VENT_SIGNS
        if not (evidence.vent_looked_at or "vent_red" in evidence.absent + evidence.seen)
        else frozenset()
    )
    if evidence.gravid_livebearers:
        unfit = unfit | BELLY_SIGNS
    dropped = tuple(s for s in evidence.absent if s in unfit)
    share = evidence.share or next((SHARE_SIGNS[s] for s in evidence.seen if s in SHARE_SIGNS), "")
    once = set(SHARE_SIGNS) if share else set()
    return msgspec.structs.replace(
        evidence,
        seen=_without(evidence.seen, once),
        absent=_without(evidence.absent, once | set(dropped)),
        unsure=evidence.unsure + dropped,
        share=share,
    )


def _without(signs: Iterable[str], unwanted: set[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(s for s in signs if s not in unwanted))
