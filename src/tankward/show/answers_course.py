"""A course as the rows that leave."""

from __future__ import annotations

from math import isfinite

from tankward.judge.verdicts import Verdict
from tankward.quantities.working import Answer
from tankward.treat.course.chances import ChanceOf, Chances
from tankward.treat.course.records import BackOf, Course, CourseStep, PutBack, Rounds
from tankward.treat.label import LabelVerdict, PartJudged
from tankward.treat.supplies import of_course

from .answers_after import need_row
from .results_course import (
    BearsRow,
    CourseChanceRow,
    CourseResult,
    CourseStepRow,
    Judged,
    JudgedRow,
    LevelRow,
    PutBackRow,
    RoundsRow,
)
from .words.bears import bears_words
from .words.course import (
    Heading,
    caution_lines,
    chance_what,
    course_name,
    reach_lines,
    stated_lines,
    withheld_lines,
)
from .words.label import holds_together, label_rows, label_says
from .words.outlook import gone_what
from .words.step_parts import Context
from .words.steps import step_said
from .words.supplies import need_line, short_line
from .words.without import parts_said

JAR_FIRST = (
    "Somebody here was never measured. A jar first: 2 L of the dosed water, three shrimp, one snail, one "
    "young fish of those that meet it, a day, with air; write down who lived."
)
COMPUTED = {"source": "none", "status": "computed"}


def step_row(step: CourseStep, c: Context) -> CourseStepRow:
    """One step."""
    said, amount = step_said(step, c), step.amount
    return CourseStepRow(
        id=step.id,
        at=step.at.isoformat(),
        kind=step.kind,
        act=said.head,
        amount=said.amount,
        how_to=said.how,
        why=said.why,
        hazard=said.hazard,
        value=amount.value if amount else None,
        low=amount.low if amount else None,
        high=amount.high if amount else None,
        unit=amount.unit if amount else "",
        how=list(amount.how) if amount else [],
        **COMPUTED,
    )


def chance_row(row: ChanceOf, c: Context) -> CourseChanceRow:
    """One chance."""
    return CourseChanceRow(
        what=row.what, where=row.where, about=row.about, who=list(row.who), says=chance_what(row, c.facts),
        by=row.by.isoformat(), low=row.low, value=row.value, high=row.high, limit=row.line, unit=row.unit,
        source=row.source, status=row.status,
    )  # fmt: skip


def cleared_rows(chances: Chances, c: Context) -> list[CourseChanceRow]:
    """That each germ is gone by the end."""
    return [
        CourseChanceRow(
            what="none-ill" if o.holds == "never-gone" else "clear",
            where="both" if chances.parts else "tank", about=o.organism, who=[],
            says=gone_what(o, o.chances[-1], c.facts), by=o.chances[-1].by.isoformat(), low=o.chances[-1].low,
            value=o.chances[-1].value, high=o.chances[-1].high, limit=0.0, unit="1", **COMPUTED,
        )
        for o in chances.cleared if o.chances
    ]  # fmt: skip


def part_rows(chances: Chances, c: Context) -> list[CourseChanceRow]:
    """The same of the tank and of the tub alone."""
    return [
        CourseChanceRow(
            what="clear", where=p.where, about=p.organism, who=[], says=said, by=c.course.ends.isoformat(),
            low=p.low, value=p.value, high=p.high, limit=0.0, unit="1", **COMPUTED,
        )
        for p, said in parts_said(chances, c.facts)
    ]  # fmt: skip


def put_back_row(back: PutBack, part: BackOf) -> PutBackRow:
    """One active of one repeat."""
    return PutBackRow(
        at=back.at.isoformat(), substance=part.substance, changed=back.changed, before_low=part.before.low,
        before=part.before.value, before_high=part.before.high, before_unit=f"{part.unit}/L",
        lasting=part.lasting, likely=part.likely, gone=part.gone, unit=part.unit,
        units_lasting=part.units_lasting, units_likely=part.units_likely, units_gone=part.units_gone,
        apart=back.apart, **COMPUTED,
    )  # fmt: skip


def judged_row(p: PartJudged, says: str) -> JudgedRow:
    """One active of the label."""
    span = p.published
    return JudgedRow(
        substance=p.substance,
        low=p.per_dose.low,
        value=p.per_dose.value,
        high=p.per_dose.high,
        unit=p.unit,
        lies=p.dose_lies,
        published_low=span.low if span else None,
        published_high=span.high if span else None,
        peak_lasting=p.lasting[-1],
        peak_fading=p.fading[-1],
        tends_lasting=p.tends_lasting if isfinite(p.tends_lasting) else None,
        peak_lies=p.peak_lies,
        says=says,
        source=span.source if span else "none",
        status=span.status if span else "computed",
    )


def judged(found: LabelVerdict | None, c: Context) -> Judged | None:
    """The label's rule, judged; None where the packet has none."""
    if found is None:
        return None
    supply = c.shelf.get(found.supply)
    unit = supply.unit if supply else "packet"
    told = [" ".join(t for t in row[1:] if t) for row in label_rows(found, c.facts)]
    says = " ".join(t for t in (label_says(found, unit, c.facts), holds_together(found, unit, c.facts)) if t)
    return Judged(
        supply=found.supply,
        says=says,
        units=found.units,
        doses=found.doses,
        every_h=found.every_h,
        changed=found.change,
        holds_together=found.holds_together,
        parts=[judged_row(p, t) for p, t in zip(found.parts, told, strict=True)],
        refused=[r.because for r in found.refusals],
        would_change=[r.would_change for r in found.refusals if r.would_change],
        source="none",
        status="label",
    )


def bears_row(v: Verdict, c: Context) -> BearsRow:
    """One group."""
    return BearsRow(
        stock=v.limit.stock, who=v.limit.who, substance=v.limit.part, says=v.says,
        words=bears_words(v, c.facts), because=v.because,
        would_change=v.would_change, value=v.level, limit=v.limit.level, unit=v.limit.unit,
        source=v.limit.source, status=v.status,
    )  # fmt: skip


def level_row(level: Answer | None) -> LevelRow | None:
    """How strong it is."""
    if level is None:
        return None
    return LevelRow(value=level.value, low=level.low, high=level.high, unit=level.unit, how=list(level.how))


def rounds_row(r: Rounds) -> RoundsRow:
    """How often."""
    return RoundsRow(
        planned=r.planned, published=r.published, label=r.label, most=r.most, before=r.before,
        source="none", status="common-practice",
    )  # fmt: skip


def says_of(head: Heading, course: Course, c: Context) -> str:
    """The amount now, its ends, what it reaches."""
    amount = f" {head.amount.short} {head.amount.of}".rstrip() if head.amount else ""
    ends = ", ".join(f"{text} {what}" for text, what in head.ends)
    later = [f"Later, after a change: {ends}."] if ends else []
    return " ".join([f"{head.says}{amount}.", *later, *reach_lines(course, c.facts)])


def course_result(
    course: Course, chances: Chances, c: Context, head: Heading, *, begun: str, now: str
) -> CourseResult:
    """A course as the command answers it."""
    needs = of_course(course, c.shelf)
    return CourseResult(
        says=says_of(head, course, c),
        tank=course.tank,
        name=course_name(course, c.facts),
        substance=course.substance,
        remedy=course.remedy,
        route=course.route,
        regimen=course.regimen.id if course.regimen else "",
        place=course.place,
        start=course.start.isoformat(),
        ends=course.ends.isoformat(),
        decide_on=course.decide_on.isoformat(),
        begun=begun,
        level=level_row(course.level),
        steps=[step_row(s, c) for s in course.steps],
        put_back=[put_back_row(b, p) for b in course.put_back for p in b.parts],
        chances=[
            *(chance_row(r, c) for r in chances.rows),
            *cleared_rows(chances, c),
            *part_rows(chances, c),
        ],
        withheld=withheld_lines(chances, c.facts),
        judged=judged(course.judged, c),
        bears=[bears_row(v, c) for v in course.bears],
        reaches=reach_lines(course, c.facts),
        rounds=rounds_row(course.rounds),
        statement=stated_lines(course),
        supplies=[need_row(n, need_line(n)) for n in needs],
        cautions=[
            *([JAR_FIRST] if course.jar_trial else []),
            *caution_lines(course.cautions),
            *(line for n in needs if (line := short_line(n))),
        ],
        now=now,
    )
