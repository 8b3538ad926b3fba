"""As the packet says, against the plan: by the letter of its label, and as a course that we would make of it.

Named beforehand: a course that a plan shows may be worse than the packet in some measures, never as bad or
worse in all four and noticeably worse (`front.ALIKE`) in one. What the letter of a label does is judged with
the same draws and the same lines; where it breaks one, that is said, and the plan has to break none.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from tankward.judge.limits import limits
from tankward.knowledge.known import Facts
from tankward.room.acts import AnyAct, Change, Dose, Media
from tankward.room.replay import Room
from tankward.room.things import Supply
from tankward.treat.label import judge_label
from tankward.treat.planner.front import ALIKE, measures
from tankward.treat.planner.records import Plan, Score
from tankward.treat.planner.score import days_from, minutes_of, tops_of
from tankward.treat.planner.search import Budget

from .measure import NAMES
from .problems import Problem, Ready
from .rooms import NOW

FINE = 1024
SMALL = Budget(1000, 40, 5)  # of each plan: less than a keeper gets
STAYS = timedelta(hours=48)  # where a label names no repeat, so long after its dose a half change ends it


class Case(NamedTuple):
    """One packet in one tank."""

    name: str
    problem: Problem
    supply: str  # its name on the shelf


class Compared(NamedTuple):
    """What came of it. `letter`: by the words of the label alone; `course`: as a course of ours."""

    case: Case
    letter: Score | None
    course: Score | None
    refused: str  # why it is no course of ours
    plan: Plan
    why: str  # what is in the packet but not for this, or why no level can be worked out

    @property
    def shown(self) -> list[Score]:
        """Scores of the plan's courses."""
        return [planned.score for planned in self.plan.courses]

    @property
    def packets(self) -> list[Score]:
        """The packet, in whichever ways it could be judged."""
        return [s for s in (self.letter, self.course) if s is not None]

    @property
    def worse(self) -> int:
        """How many shown courses are worse than the packet in the sense named above."""
        return sum(beaten(shown, packet) for shown in self.shown for packet in self.packets)


def beaten(one: Score, by: Score) -> bool:
    """Whether `by` is at least as good in all measures and noticeably better in one."""
    gaps = [a - b for a, b in zip(measures(one), measures(by), strict=True)][: len(NAMES)]
    return all(g >= 0 for g in gaps) and any(g > ALIKE[n] for g, n in zip(gaps, NAMES, strict=True))


def compared(case: Case, facts: Facts, room: Room | None = None) -> Compared:
    """The packet and the plan, in the same tank."""
    ready = Ready(case.problem, facts, room)
    supply = next(s for s in ready.request.shelf if s.name == case.supply)
    plan = ready.plan(SMALL)
    ours = next((p for p in plan.packets if p.supply == supply.name), None)
    return Compared(
        case=case,
        letter=_by_letter(supply, ready),
        course=ours.planned.score if ours is not None and ours.planned is not None else None,
        refused=ours.refused[0].because if ours is not None and ours.refused else "",
        plan=plan,
        why="" if ours is not None else _why_not(supply, ready),
    )


def _by_letter(supply: Supply, ready: Ready) -> Score | None:
    """Doses, repeats and changes just as they are printed, with the carbon out."""
    asked, facts = ready.request, ready.facts
    if asked.volume_l is None:
        return None
    told = judge_label(supply, asked.volume_l, facts, temp_c=asked.temp_c)
    if not told.parts:
        return None
    start = ready.here.clocks[0].start
    every = timedelta(hours=told.every_h) if told.every_h else STAYS
    acts: list[tuple[datetime, AnyAct]] = [(start, Media(into=False))]
    amounts = {p.substance: p.per_dose.value * asked.volume_l.value for p in told.parts}
    for n in range(told.doses):
        if n and told.change:
            acts.append((start + n * every, Change(share=told.change, dechlorinated=True)))
        acts.append((start + n * every, Dose(actives=amounts)))
    ends = start + told.doses * every
    acts.append((ends, Change(share=max(told.change, 0.5), dechlorinated=True)))
    tops = [
        top
        for part in amounts
        for top in tops_of(limits(part, asked.stock, facts, not_there=asked.not_there), part, facts)
    ]
    return ready.judging.scored(
        acts, tops, FINE, days=days_from(NOW, ends), minutes=minutes_of(acts, facts), cost=None
    )


def _why_not(supply: Supply, ready: Ready) -> str:
    held = {a.substance for a in supply.actives}
    for out in ready.options.ruled_out:
        one = ready.facts.substances.get(out.substance)
        if out.substance in held or (one is not None and held and set(one.parts) == held):
            return out.reasons[0].because
    return "nothing in it is a remedy for this"
