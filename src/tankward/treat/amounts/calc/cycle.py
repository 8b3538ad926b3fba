"""How long an organism takes from egg to egg at a warmth, stage by stage: `cycle`."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from tankward.knowledge.find import find_one
from tankward.knowledge.loader import load
from tankward.knowledge.records.organism import Organism, Stage
from tankward.model.lives.numbers import Numbers, breeding
from tankward.model.lives.tables import HOSTED
from tankward.model.rows import Array
from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.digits import shown_range
from tankward.quantities.faults import BadInput
from tankward.quantities.working import Answer, Named, Working, answer

DRAWS = 256
LOW, MIDDLE, HIGH = 0.05, 0.5, 0.95
LIFE = "life of parasites"
COLD = "Outside the warmth in which it goes on: stages stand still, and nothing is born."


@calculation("cycle", unit="d", formula="Σ days of the stages, from egg to egg", group=LIFE)
def cycle(
    organism: Annotated[str, Ask("text", "which one: white spot, gill flukes, anchor worm")],
    temp: Annotated[float, Ask("temperature", "warmth of the water", at_least=1, at_most=40)],
) -> Answer:
    """How long a parasite takes from egg to egg, and how soon doses have to follow each other."""
    facts = load()
    found = facts.organisms[find_one(facts, "organism", organism)]
    stages, n = _round(found), Numbers(found, DRAWS)
    if not stages:
        raise BadInput("organism", organism, "has no stages from egg to egg in the facts. Try white spot.")
    work = Working("without the wait until it meets a fish, which depends on how many there are")
    days = {stage.id: n.of("days", stage.id, temp) for stage in stages}
    for stage in stages:
        _written(work, found, stage.id, days[stage.id])
    if float(np.median(breeding(n, temp))) < MIDDLE:
        work.caution(COLD)
    total = _ends(np.sum(list(days.values()), axis=0))
    also = [_named(f"as {_plain(id_)}", each) for id_, each in days.items()]
    also += _doses(work, found, stages, days)
    value = work.step("egg to egg", "Σ days of the stages", total[1], "d")
    return answer(
        value,
        "d",
        work,
        low=total[0],
        high=total[2],
        also=tuple(also),
        says="From egg to egg it takes {range}.",
    )


def _round(found: Organism) -> list[Stage]:
    """The stages that take a known time, from the one that is born on, once round."""
    if found.births is None:
        return []
    by_id = {stage.id: stage for stage in found.stage}
    stage: Stage | None = by_id[found.births.into]
    seen: list[Stage] = []
    while stage is not None and stage not in seen:
        seen.append(stage)
        stage = by_id.get(stage.next)
    timed = {p.stage for p in found.parameter if p.name == "days" and p.use}
    return [stage for stage in seen if stage.id in timed]


def _doses(work: Working, found: Organism, stages: list[Stage], days: dict[str, Array]) -> list[Named]:
    """How soon the next dose has to come.

    What is met is what a medicine usually reaches: worms on or in the fish; but of a cycle whose stage on
    the fish is shielded, what is free. None slips by from one stage to the next if doses follow each other
    no slower than it stays there. How long to go on is not said: what waits for a fish waits for months in
    some, and its time is no stage of the facts.
    """
    on_fish = [s.id for s in stages if s.place in HOSTED]
    free = [s.id for s in stages if s.place not in HOSTED]
    met = free if found.structure == "free_stage_cycle" else on_fish
    if not on_fish or not free:
        return []
    between = _ends(np.sum([days[id_] for id_ in met], axis=0))[0]
    work.step("doses no further apart than", f"shortest stay as {', '.join(map(_plain, met))}", between, "d")
    return [Named.of("between doses, at most", between, "d")]


def _written(work: Working, found: Organism, stage: str, days: Array) -> None:
    rows = [p for p in found.parameter if p.name == "days" and p.stage == stage and p.use]
    keys = dict.fromkeys(key for p in rows for key in p.source.split() if key != "none")
    weakest = "memory" if any(p.status == "memory" for p in rows) else rows[0].status
    low, middle, high = _ends(days)
    work.step(
        f"as {_plain(stage)}", f"at this warmth, {shown_range(low, high, 'd')}", middle, "d",
        source=" ".join(keys) or "none", status=weakest,
    )  # fmt: skip


def _named(name: str, days: Array) -> Named:
    low, middle, high = _ends(days)
    return Named.of(name, middle, "d", low, high)


def _ends(days: Array) -> tuple[float, float, float]:
    low, middle, high = np.quantile(days, (LOW, MIDDLE, HIGH))
    return float(low), float(middle), float(high)


def _plain(id_: str) -> str:
    return id_.replace("_", " ")
