"""Remedies without medicine: full remedies, with figures of the organism behind them. Safety rules 15, 33."""

from __future__ import annotations

from tankward.judge.causes import Ranked
from tankward.judge.vet import Vet, see_vet
from tankward.knowledge.known import Facts
from tankward.knowledge.records.cause import Cause
from tankward.knowledge.records.organism import Organism
from tankward.knowledge.records.remedy import Remedy, RemedyFigure
from tankward.quantities.faults import Reason

from .closed import by_count, counted_of
from .described import KIND_OF_EVIDENCE
from .labour import work_of_moves
from .reach import organisms_of, untouched
from .records import Evidence, Number, Option, Reached, RuledOut
from .situation import Situation
from .transfers import transfer_numbers

SLOW = ("minutes", "minutes to hours", "hours")  # where hours count, nobody waits and counts


def without_medicine(situation: Situation) -> list[Option | RuledOut]:
    """Every remedy without medicine that is for one of the causes."""
    facts = situation.facts
    found: list[Option | RuledOut] = []
    for remedy in facts.remedies.values():
        aimed = tuple(c for c in situation.causes if fits(remedy, facts.causes[c], facts))
        if aimed:
            found.append(considered(remedy, aimed, situation))
    return found


def fits(remedy: Remedy, cause: Cause, facts: Facts) -> bool:
    """Whether a remedy is for a cause: by its name, its group, or the kind of life of its organism."""
    if cause.id in remedy.not_causes or (not remedy.urgent and cause.urgency in SLOW):
        return False
    structures = {o.structure for o in organisms_of((cause.id,), facts)}
    named = cause.id in remedy.causes or cause.group in remedy.groups
    return named or bool(structures & set(remedy.structures))


def considered(remedy: Remedy, aimed: tuple[str, ...], situation: Situation) -> Option | RuledOut:
    """A remedy for these causes here: open, or ruled out with why."""
    if remedy.kind == "apart" and not situation.fish:
        nobody = Reason(
            kind="no-fish", because="No fish is entered here.", would_change="say who lives there"
        )
        return RuledOut(id=remedy.id, kind="without_medicine", remedy=remedy.id, reasons=(nobody,))
    if remedy.kind == "wait" and (marked := _marked(aimed, situation)):
        return RuledOut(id=remedy.id, kind="without_medicine", remedy=remedy.id, reasons=(marked,))
    organisms = organisms_of(aimed, situation.facts)
    reaches, left = _reach(remedy, organisms)
    figures = tuple(_number(f) for f in remedy.figure) + _of_organisms(remedy, organisms, situation)
    return Option(
        id=remedy.id,
        kind="vet" if remedy.kind == "vet" else "without_medicine",
        remedy=remedy.id,
        cause=aimed[0],
        also_for=aimed[1:],
        reaches=reaches,
        not_reached=left,
        leaves=untouched(aimed, situation.ranking),
        cautions=_cautions(remedy),
        evidence=Evidence(
            kind=KIND_OF_EVIDENCE[remedy.status],
            source=remedy.source,
            status=remedy.status,
            where=remedy.where,
        ),
        relieves=remedy.relieves and not _is_the_cure(remedy, aimed, situation),
        first=remedy.kind == "wait" and any(by_count(aimed, situation)),
        days=_days(figures),
        minutes=next((f for f in figures if f.id == "minutes"), None),
        says=tuple(step.text for step in remedy.step),
        figures=figures,
        work=work_of_moves(figures),
        vet=_visit(aimed, situation) if remedy.kind == "vet" else None,
    )


def _marked(aimed: tuple[str, ...], situation: Situation) -> Reason | None:
    """Rule 35: many germs in a thin fish are treated; nobody waits and counts."""
    found = [counted_of(cause, situation) for cause in aimed]
    germs = next((g for g in found if g is not None and g.then == "treat"), None)
    if germs is None:
        return None
    return Reason(
        kind="marked-and-thin",
        because="Many were counted in a thin fish: that is treated, not watched",
        would_change="a lower count, in fish that are not thin",
        source=germs.source,
        status=germs.status,
    )


def _visit(aimed: tuple[str, ...], situation: Situation) -> Vet:
    """What the visit needs: by what it may be, else by the causes asked about."""
    if situation.ranking is not None:
        return see_vet(situation.ranking.ranked, situation.facts)
    asked = [situation.facts.causes[c] for c in aimed]
    return see_vet([Ranked(id=c.id, low=0.0, value=1.0, high=1.0, word="", urgency=c.urgency) for c in asked],
                   situation.facts)  # fmt: skip


def _is_the_cure(remedy: Remedy, aimed: tuple[str, ...], situation: Situation) -> bool:
    """Water only clears what the water does; what it does not, it eases."""
    return remedy.kind == "water" and all(situation.facts.causes[c].group == "water" for c in aimed)


def _reach(remedy: Remedy, organisms: list[Organism]) -> tuple[tuple[Reached, ...], tuple[Reached, ...]]:
    """Stages that sit where the remedy ends them; of a floor that is siphoned, the share it takes."""
    reached: list[Reached] = []
    left: list[Reached] = []
    for organism in organisms:
        for stage in organism.stage:
            hit = stage.place in remedy.reaches and organism.structure in remedy.structures
            (reached if hit else left).append(
                Reached(
                    organism=organism.id,
                    stage=stage.id,
                    place=stage.place,
                    share=_share(remedy, organism, stage.id) if hit else None,
                    source=remedy.source,
                    status=remedy.status,
                )
            )
    return tuple(reached), tuple(left)


def _share(remedy: Remedy, organism: Organism, stage: str) -> tuple[float, float] | None:
    if remedy.kind != "siphon":
        return None
    rows = (p for p in organism.parameter if p.name == "siphon_bare" and p.stage == stage and p.use)
    return next(((p.low, p.high) for p in rows), None)


def _number(figure: RemedyFigure) -> Number:
    low, high = figure.span or (0.0, 0.0)
    return Number(
        id=figure.id,
        low=low,
        high=high,
        unit=figure.unit,
        source=figure.source,
        status=figure.status,
        note=figure.note,
    )


def _of_organisms(remedy: Remedy, organisms: list[Organism], situation: Situation) -> tuple[Number, ...]:
    """Days an empty tank takes and how often fish are moved, from the lives of the organisms."""
    if remedy.id != "fish_out":
        return ()
    cycle = [o for o in organisms if o.structure in remedy.structures]
    return (*_off_host(cycle), *transfer_numbers(cycle, situation.temp_c), *_tubs(situation))


def _off_host(organisms: list[Organism]) -> tuple[Number, ...]:
    rows = [p for o in organisms for p in o.parameter if p.name == "off_host_days" and p.use]
    return tuple(
        Number(
            id="off_host_days",
            low=p.low,
            high=p.high,
            unit="d",
            source=p.source,
            status=p.status,
            note=p.note,
        )
        for p in rows
    )


def _tubs(situation: Situation) -> tuple[Number, ...]:
    """Litres of a tub for all the fish, at the grams a litre of a bare tub bears."""
    grams = situation.water.fish_g if situation.water else None
    row = next((r for r in situation.facts.hygiene.stocking if r.id == "hospital"), None)
    if grams is None or row is None or not row.low or not row.high:
        return ()
    low, high = grams.value / row.high, grams.value / row.low
    return (
        Number(
            id="tub_l", low=low, high=high, unit="L", source=row.source, status=row.status, note=row.statement
        ),
    )


def _days(figures: tuple[Number, ...]) -> tuple[float, float] | None:
    """The longest of what has to be waited for."""
    waits = [f for f in figures if f.id in ("days", "empty_days", "off_host_days")]
    if not waits:
        return None
    low = max(f.low for f in waits if f.id != "off_host_days")
    return low, max(f.high for f in waits)


def _cautions(remedy: Remedy) -> tuple[Reason, ...]:
    if not remedy.note:
        return ()
    return (Reason(kind="note", because=remedy.note + ".", source=remedy.source, status=remedy.status),)
