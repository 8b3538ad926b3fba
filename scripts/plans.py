"""Writes docs/plan.md: the planner against all possible courses, a general optimiser, and the packet.

Statistics, limits and seeds are named in the page and in `planning/measure.py`. `python scripts/plans.py`
takes about six minutes of one core; `--check` only says whether the page is of today's planner.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from scripts.planning import page as p
from scripts.planning.asked import ENUMERATED, FRESH, HARD
from scripts.planning.cases import cases
from scripts.planning.measure import held
from scripts.planning.packets import compared
from scripts.planning.problems import Problem, Ready
from scripts.planning.rivals import at_random, careless, optimised
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.model.run import warm

SHARE, USUAL = 0.2, 200  # the planner simulates a fifth of the points, and never more than it usually does
SEEDS, SEED = range(7), 1


def enumerated(problem: Problem, facts: Facts, share: float = SHARE) -> p.Enumerated:
    """One row of the first table."""
    ready = Ready(problem, facts)
    every = ready.enumerated()
    simulated = min(USUAL, round(share * len(every)))
    found = [f.score for f in ready.searched(simulated)]
    return p.Enumerated(
        name=problem.name,
        points=len(every),
        sound=sum(s.sound for s in every),
        simulated=len(found),
        planner=held(found, every),
        random=tuple(held(at_random(ready, simulated, seed), every) for seed in SEEDS),
    )


def rivalled(problem: Problem, facts: Facts, simulated: int = USUAL) -> p.Rivalled:
    """One row of the second table."""
    ready = Ready(problem, facts)
    found = [f.score for f in ready.searched(simulated)]
    rival = optimised(ready, p.TIMES * simulated, SEED)
    union = [*found, *rival]
    blind = careless(ready, simulated)
    return p.Rivalled(
        name=problem.name,
        points=sum(way.size() for way in ready.ways),
        sound=sum(s.sound for s in union) / len(union),
        simulated=len(found),
        rival_simulated=len(rival),
        planner=held(found, rival),
        union=held(found, union),
        rival_union=held(rival, union),
        random=held(at_random(ready, simulated, SEED), rival),
        careless=(sum(not s.sound for s in blind), len(blind)),
    )


def main(words: list[str]) -> int:
    """Write the page, or say whether it is of today."""
    if "--check" in words:
        same = p.PAGE.exists() and p.stamp() in p.PAGE.read_text(encoding="utf-8")
        sys.stdout.write("docs/plan.md is up to date\n" if same else "docs/plan.md: run make plans\n")
        return 0 if same else 1
    warm(wait=True)
    facts = load()
    first = [enumerated(problem, facts) for problem in ENUMERATED]
    fresh = [enumerated(problem, facts) for problem in FRESH]
    second = [rivalled(problem, facts) for problem in HARD]
    third = [compared(case, facts, room) for case, room in cases(facts)]
    p.PAGE.write_text(p.page(first, fresh, second, third), encoding="utf-8")
    sys.stdout.write(p.verdict(first, fresh, second, third) + "\n")
    held_ = all(e.holds for e in (*first, *fresh)) and all(r.holds for r in second)
    return 0 if held_ and not any(c.worse for c in third) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
