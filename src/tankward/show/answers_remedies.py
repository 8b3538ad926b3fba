"""What can be done as the rows that leave: JSON and terminal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tankward.judge.verdicts import Verdict
from tankward.judge.vet import Vet
from tankward.knowledge.known import Facts
from tankward.quantities.faults import Reason
from tankward.treat.policy import Permission
from tankward.treat.remedies.records import Left, Level, Number, Option, Options, Reached, RuledOut

from .results import RefusedBecause
from .results_remedies import (
    BearRow,
    ClosedRow,
    EvidenceRow,
    FigureRow,
    LawRow,
    LeftRow,
    LevelRow,
    OpenRow,
    ReachRow,
    TurnRow,
    VisitRow,
)
from .words import remedies as words
from .words import remedy_care as care
from .words.causes import short_name, vet_head
from .words.ruled_out import because_words, change_words


def open_row(option: Option, facts: Facts) -> OpenRow:
    """A remedy that is open."""
    evidence = option.evidence
    return OpenRow(
        id=option.id,
        kind=option.kind,
        name=words.remedy_name(option, facts),
        substance=option.substance,
        route=option.route,
        regimen=option.regimen.id if option.regimen else "",
        place=option.place,
        remedy=option.remedy,
        cause=option.cause,
        also_for=list(option.also_for),
        fits=words.fits_words(option),
        level=_level(option.level),
        days=_days(option),
        minutes=_figure(option.minutes) if option.minutes else None,
        use=option.use,
        may=option.permission.may if option.permission else "yes",
        law=_law(option.permission),
        reaches=_reached(option.reaches),
        not_reached=_reached(option.not_reached),
        reach=words.reach_words(option),
        leaves=_left(option.leaves, facts),
        bears=bear_rows(option.bears),
        left_out=list(option.left_out),
        cautions=[reason_row(r) for r in option.cautions],
        minds=[*words.caution_words(option), *words.lower_lines(option.bears, facts)],
        evidence=EvidenceRow(
            kind=evidence.kind,
            words=words.EVIDENCE[evidence.kind],
            source=evidence.source,
            status=evidence.status,
            where=evidence.where,
        ),
        eases=option.relieves,
        beside=option.adjunct,
        jar_trial=option.jar_trial,
        steps=list(option.says),
        figures=[_figure(f) for f in option.figures],
        vet=visit_row(option.vet) if option.vet else None,
        work=_figure(option.work) if option.work else None,
        shelf=care.shelf_words(option),
        on_tank=care.effect_words(option),
        you=care.you_words(option),
        source=evidence.source,
        status=evidence.status,
    )


def closed_row(remedy: RuledOut, facts: Facts, home: str = "") -> ClosedRow:
    """A remedy that is ruled out."""
    return ClosedRow(
        id=remedy.id,
        kind=remedy.kind,
        name=words.remedy_name(remedy, facts),
        substance=remedy.substance,
        route=remedy.route,
        regimen=remedy.regimen.id if remedy.regimen else "",
        because=because_words(remedy),
        who=list(remedy.who),
        would_change=change_words(remedy, home),
        bears=bear_rows(remedy.bears),
        reasons=[reason_row(r) for r in remedy.reasons],
    )


def bear_rows(verdicts: Iterable[Verdict]) -> list[BearRow]:
    """What a level means for each group."""
    return [
        BearRow(
            who=v.limit.who,
            animal=v.limit.animal,
            stage=v.limit.stage,
            taken=v.limit.presumed,
            part=v.limit.part,
            says=v.says,
            words=words.verdict_words(v),
            level=v.level,
            limit=v.limit.level,
            unit=v.limit.unit,
            because=v.because,
            would_change=v.would_change,
            source=v.limit.source,
            status=v.status,
        )
        for v in verdicts
    ]


def turn_rows(found: Options, facts: Facts) -> list[TurnRow]:
    """Several causes, one after the other."""
    said = care.turn_rows(found, {}, facts)
    return [
        TurnRow(causes=list(t.causes), option=t.option, says=head, before=soft)
        for t, (_, head, soft) in zip(found.turns, said, strict=True)
    ]


def reason_row(reason: Reason) -> RefusedBecause:
    """One reason."""
    return RefusedBecause(
        kind=reason.kind,
        because=words.plain(reason),
        would_change=reason.would_change,
        who=list(reason.who),
        source=reason.source,
        status=reason.status,
    )


def visit_row(vet: Vet) -> VisitRow:
    """A visit to a veterinarian."""
    return VisitRow(
        says=vet_head(vet),
        fish_vet=vet.fish_vet,
        bring=list(vet.bring),
        until_then=list(vet.until_then),
        notifiable=list(vet.notifiable),
        status=vet.status,
    )


def _level(level: Level | None) -> LevelRow | None:
    if level is None:
        return None
    return LevelRow(
        low=level.low,
        high=level.high,
        unit=level.unit,
        basis=level.basis,
        shown=words.level_words(level),
        source=level.source,
        status=level.status,
    )


def _days(option: Option) -> FigureRow | None:
    if option.days is None:
        return None
    low, high = option.days
    source, status = option.evidence.source, option.evidence.status
    says = words.days_words(option.days)
    return FigureRow(id="days", low=low, high=high, unit="d", says=says, source=source, status=status)


def _figure(number: Number) -> FigureRow:
    return FigureRow(
        id=number.id,
        low=number.low,
        high=number.high,
        unit=number.unit,
        says=words.figure_words(number),
        source=number.source,
        status=number.status,
    )


def _law(permission: Permission | None) -> list[LawRow]:
    rows = permission.law if permission else ()
    return [LawRow(region=w.region, statement=w.statement, source=w.source, status=w.status) for w in rows]


def _reached(rows: Sequence[Reached]) -> list[ReachRow]:
    return [
        ReachRow(
            organism=r.organism,
            stage=r.stage,
            place=r.place,
            share_low=r.share[0] if r.share else None,
            share_high=r.share[1] if r.share else None,
            level=r.level,
            unit=r.unit,
            hours=r.hours,
            source=r.source,
            status=r.status,
        )
        for r in rows
    ]


def _left(rows: Sequence[Left], facts: Facts) -> list[LeftRow]:
    """Chances come from the judged figures of the cause."""
    basis = {r.cause: facts.causes[r.cause].basis for r in rows}
    return [
        LeftRow(
            cause=r.cause,
            name=short_name(r.cause, facts),
            low=r.low,
            value=r.value,
            high=r.high,
            source=basis[r.cause].source,
            status=basis[r.cause].status,
        )
        for r in rows
    ]
