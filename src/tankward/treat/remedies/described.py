"""An open remedy written out: what it reaches, who bears it, what it rests on, what to be careful about."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from tankward.judge.verdicts import Verdict, worst
from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Status
from tankward.knowledge.records.keeping import PeopleRow
from tankward.knowledge.records.substance import Effect, Regimen, Substance
from tankward.quantities.faults import Reason
from tankward.treat.policy import Permission

from .labour import on_shelf, work_of
from .levels import level_of
from .reach import reach, untouched
from .records import Evidence, Option, Place
from .situation import Situation

PLACES: dict[str, Place] = {"water_bath": "tub", "dip": "tub", "feed": "food", "swab": "fish"}
ON_TANK = ("filter", "plants", "oxygen")
ADJUNCTS = ("garlic", "tannins", "magnesium_sulfate")  # safety rule 14
KIND_OF_EVIDENCE: dict[Status, Literal["published", "trade-habit", "computed", "recalled"]] = {
    "published-read": "published",
    "computed": "computed",
    "common-practice": "trade-habit",
    "memory": "recalled",
}


def option_of(
    name: str,
    one: Substance,
    regimen: Regimen,
    allowed: Permission,
    situation: Situation,
    bears: tuple[Verdict, ...],
    out: tuple[str, ...],
    tub: bool,
    warned: list[Reason],
) -> Option:
    aimed = tuple(c for c in situation.causes if c in {*regimen.treats, *regimen.relieves})
    reaches, left = reach(one.id, regimen.route, aimed, situation.facts)
    return Option(
        id=name,
        kind="substance",
        cause=aimed[0] if aimed else "",
        also_for=aimed[1:],
        substance=one.id,
        route=regimen.route,
        place="tub" if tub else PLACES.get(regimen.route, "tank"),
        regimen=regimen,
        level=level_of(regimen),
        permission=allowed,
        reaches=reaches,
        not_reached=left,
        leaves=untouched((*regimen.treats, *regimen.relieves), situation.ranking),
        bears=bears,
        left_out=tuple(s.id for s in situation.fish if s.id in out),
        cautions=tuple(_cautions(one, regimen, situation, bears, out, warned)),
        evidence=evidence(regimen),
        jar_trial=worst(bears) == "unknown",
        adjunct=one.id in ADJUNCTS,
        relieves=not set(regimen.treats) & set(situation.causes),
        days=days_of(regimen),
        people=hazards(one, situation.facts),
        effects=effects(one, situation.facts, tub=tub or PLACES.get(regimen.route) == "food"),
        hazard=one.human.hazard,
        disposal=one.disposal.text,
        work=work_of(regimen, days_of(regimen)),
        shelf=on_shelf(one, regimen, situation, situation.facts, tub=tub),
    )


def hazards(one: Substance, facts: Facts) -> tuple[PeopleRow, ...]:
    """What a substance, or a part of it, does to people."""
    ids = {one.id, *one.parts}
    return tuple(p for p in facts.hygiene.human_safety if ids & set(p.substances))


def effects(one: Substance, facts: Facts, *, tub: bool) -> tuple[Effect, ...]:
    """What it, or a part of it, does to filter, plants and oxygen; a tub or food touches none of these."""
    if tub:
        return ()
    rows = [e for s in (one, *(facts.substances[p] for p in one.parts)) for e in s.effect]
    return tuple(e for e in rows if e.on in ON_TANK and e.level not in ("none", "low"))


def evidence(regimen: Regimen) -> Evidence:
    """What a regimen rests on."""
    return Evidence(
        kind=KIND_OF_EVIDENCE[regimen.status],
        source=regimen.source,
        status=regimen.status,
        where=regimen.where,
    )


def days_of(regimen: Regimen) -> tuple[float, float] | None:
    """From the first dose to the end of the last. [d]"""
    if regimen.duration_h_high is None and (regimen.repeats_high or 1) < 2:
        return None
    last = [(regimen.duration_h_low or 0.0) / 24.0, (regimen.duration_h_high or 0.0) / 24.0]
    more = [max((n or 1) - 1, 0) for n in (regimen.repeats_low, regimen.repeats_high)]
    gap = [regimen.interval_d_low or 0.0, regimen.interval_d_high or 0.0]
    return last[0] + more[0] * gap[0], last[1] + more[1] * gap[1]


def _cautions(
    one: Substance,
    regimen: Regimen,
    situation: Situation,
    bears: Sequence[Verdict],
    out: Sequence[str],
    warned: Sequence[Reason],
) -> list[Reason]:
    found = list(warned)
    found += [v.reason for v in bears if v.says in ("care", "unknown")]
    named = {s.id: s.name for s in situation.stock}
    if out:
        found.append(
            Reason(
                kind="left-out",
                because=f"{' and '.join(named[s] for s in out)} must not go in and need another way.",
                who=tuple(named[s] for s in out),
            )
        )
    if regimen.conditions:
        found.append(
            Reason(
                kind="conditions",
                because=regimen.conditions,
                source=regimen.source,
                status=regimen.status,
            )
        )
    if one.id in ADJUNCTS:
        found.append(
            Reason(
                kind="adjunct",
                because=f"You may; it does nothing against {', '.join(one.not_for)}.",
                status=one.identity_status,
            )
        )
    return found
