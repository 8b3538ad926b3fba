"""A result as lines on a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from functools import singledispatch

from tankward.quantities.digits import shown, shown_range
from tankward.quantities.working import Step

from .results import CalculationList, NumberResult, Refusal, Result
from .results_after import CasesResult
from .results_contact import ContactResult
from .results_course import CourseResult
from .results_data import CheckedResult, CopyList, FaultReportResult
from .results_facts import FactRow, FactsResult
from .results_forecast import ForecastResult
from .results_judge import ActRow, CausesResult, NowResult, WhatNowResult
from .results_photos import PhotoList
from .results_plan import PlanResult
from .results_quarantine import DayRow, QuarantineResult
from .results_remedies import BearRow, OpenRow, OptionsResult
from .results_room import FoundLines, Lines, TankList, TankShown
from .results_round import RoundResult
from .results_winding import WindDownResult
from .terminal_plan import plan_lines
from .words.acts import ended, upper
from .words.causes import WORTH_A_LOOK, missing_words
from .words.chance import chance_words
from .words.contact import CAME
from .words.status import status_words


def step_line(step: Step) -> str:
    """One line of the working: what, how, how much, how sure."""
    value = "" if step.value is None else shown(step.value, step.unit)
    told = f"{step.formula} = {value}" if step.formula and value else step.formula or value
    sure = status_words(step.status)
    tail = (
        f"  [{step.source}, {sure}]"
        if step.source != "none"
        else f"  [{sure}]"
        if step.status != "computed"
        else ""
    )
    return f"{told}{tail}"


def working(steps: list[Step]) -> Iterator[str]:
    width = max((len(s.step) for s in steps), default=0)
    for step in steps:
        yield f"  {step.step:<{width}}   {step_line(step)}"


def frame(result: Result) -> Iterator[str]:
    """What stands under every answer: working, what was taken for granted, cautions, sources."""
    yield from working(result.how)
    yield from (f"  taken for granted: {text}" for text in result.assumes)
    yield from (f"  Take care: {text}" for text in result.cautions)
    for source in result.sources:
        yield (
            f"  {source.key}: {source.title}"
            + (f", {source.where}" if source.where else "")
            + (f" ({status_words(source.status)})" if source.status else "")
        )


@singledispatch
def lines(result: Result) -> Iterator[str]:
    """The whole answer, line by line."""
    yield from result.says.split("\n") if result.says else ()
    yield from frame(result)


@lines.register
def _(result: NumberResult) -> Iterator[str]:
    yield result.says
    for other in result.also:
        yield f"  {other.name}: {other.shown}"
    if result.low is not None and result.high is not None and result.high > result.low:
        yield f"  how sure: {shown_range(result.low, result.high, result.unit)}"
    yield from frame(result)


@lines.register
def _(result: Refusal) -> Iterator[str]:
    many = len(result.reasons) > 1
    first = ended(result.reasons[0].because if result.reasons else result.says)
    yield f"No. {first}"
    last = first
    for because, change in dict.fromkeys((ended(r.because), r.would_change) for r in result.reasons):
        if many and because != last:
            yield f"  {because}"
        last = because
        if change:
            yield f"  Would change: {change.rstrip('.')}."


@lines.register
def _(result: CalculationList) -> Iterator[str]:
    yield result.says
    width = max(len(row.name) for row in result.calculations)
    for row in result.calculations:
        yield f"  {row.name:<{width}}  {row.purpose}"


@lines.register
def _(result: TankList) -> Iterator[str]:
    yield result.says
    for row in result.tanks:
        water = row.water.shown if row.water else "? L"
        yield f"  {row.name:<6} {water:>6}  {'; '.join(row.lives) or 'empty'}"


@lines.register
def _(result: TankShown) -> Iterator[str]:
    yield result.says
    yield from (f"  {line}" for line in result.lives)
    yield from frame(result)
    yield from (f"  {line}" for line in result.log)


@lines.register
def _(result: Lines) -> Iterator[str]:
    yield result.says
    yield from (f"  {row}" for row in result.rows)


@lines.register
def _(result: FoundLines) -> Iterator[str]:
    yield result.says
    yield from (f"  {row}" for row in result.rows)
    if result.taken_back:
        yield "Taken back or put right since:"
        yield from (f"  {row}" for row in result.taken_back)


def acts(rows: list[ActRow]) -> Iterator[str]:
    """The next ten minutes, numbered."""
    for number, row in enumerate(rows, 1):
        yield f"  {number}. {row.says}"
        if row.ask:
            yield f"     first: {row.ask}"
        yield f"     {row.why}"


@lines.register
def _(result: WhatNowResult) -> Iterator[str]:
    yield result.says
    yield from acts(result.steps)
    if result.first:
        yield "  Which tank first:"
        yield from (f"    {row.says}" for row in result.first)
    if result.never:
        yield f"  Never: {'; '.join(result.never)}."
    yield "  Then tell:"
    yield from (f"    {question}" for question in result.ask)
    yield from frame(result)


@lines.register
def _(result: RoundResult) -> Iterator[str]:
    yield result.says
    for row in result.looks:
        yield f"  {row.name:<6} {row.says}" + (f". {ended(row.care)}" if row.care else "")
    for step in result.steps:
        if step.state in ("late", "due"):
            yield f"  {step.at[11:16]}  {step.says}" + (f" {ended(step.do_now)}" if step.do_now else "")
    yield from (f"  {ended(row.says)} {row.then}".rstrip() for row in result.due)
    if result.done:
        yield "Done:"
        yield from (f"  {row.name:<6} {row.at[11:16]}  {row.says}" for row in result.done)
    yield from frame(result)


@lines.register
def _(result: CasesResult) -> Iterator[str]:
    yield result.says
    yield from (f"  {row.says}" for row in result.cases)
    yield from frame(result)


@lines.register
def _(result: ContactResult) -> Iterator[str]:
    yield from result.says.split("\n")
    yield from (f"  {row.says}" for row in result.contacts if row.path[-1].way != "hands")
    yield from (f"  {line}" for line in (result.by_hand,) if line)
    yield from (f"{CAME}:" for _ in result.came[:1])
    yield from (f"  {row.says}" for row in result.came)
    yield from frame(result)


def days(rows: list[DayRow]) -> Iterator[str]:
    """Things by their day."""
    for row in rows:
        yield f"    {row.on}  {row.says}" + (" (done)" if row.done else "")
        yield f"{'':<16}{row.why}"


@lines.register
def _(result: QuarantineResult) -> Iterator[str]:
    yield from result.says.split("\n")
    for one in result.arrivals:
        yield f"  {one.says}"
        yield from (f"    {row.says}" for row in one.water)
        yield from days(one.steps)
        if one.common:
            yield "    What such fish commonly carry:"
        yield from (f"      {row.says}" for row in one.common)
    for apart in result.apart:
        yield f"  {apart.says}"
        yield from days(apart.steps)
    if result.arrivals or result.apart:
        yield from (f"  {line}" for line in (*result.set_up, *result.without_a_sign, *result.never))
    yield from frame(result)


PARTS = {"animals": "The animals", "water": "The water", "things": "Its things", "glass": "The glass"}


@lines.register
def _(result: WindDownResult) -> Iterator[str]:
    yield from result.says.split("\n")
    yield from (f"  {row.says}" for row in result.animals)
    for part, head in PARTS.items():
        own = [s for s in result.steps if s.part == part]
        yield from (f"{head}:" for _ in own[:1])
        for number, step in enumerate(own, 1):
            yield f"  {number}. {step.says}"
            told = " ".join(t for t in (step.how_to, step.hazard, f"({step.sure})" if step.sure else "") if t)
            yield f"     {told}"
    if result.dry:
        yield "What may be in it, dried:"
    yield from (f"  {row.says}" for row in result.dry)
    yield from (f"  {line}" for line in result.never)
    yield from frame(result)


WORTH_SAYING = 0.05  # chance from which a cause's reasons are told


def _minutes(minutes: float) -> str:
    return f"{minutes:g} minute" + ("" if minutes == 1 else "s")


@lines.register
def _(result: CausesResult) -> Iterator[str]:
    yield from result.says.split("\n")
    yield from acts(result.urgent)
    yield from (f"  {row.says}" for row in result.water_first)
    width = max((len(row.name) for row in result.ranked), default=0)
    for row in result.ranked:
        yield f"  {row.name:<{width}}  {row.word}"
        if row.value > WORTH_SAYING:
            yield from (f"  {'':<{width}}  {told}" for told in (row.moved, row.people) if told)
    if result.next_look:
        yield "The look that tells most:" if result.ranked else f"{WORTH_A_LOOK}:"
        yield from (f"  {look.what} ({_minutes(look.minutes)})" for look in result.next_look[:3])
    if result.closer:
        yield "Closer, each step by step under `tankward start`, How to look closer:"
        yield from (f"  {look.what}" for look in result.closer)
    if result.missing:
        yield f"  {missing_words(result.missing)}"
    yield from frame(result)


@lines.register
def _(result: NowResult) -> Iterator[str]:
    yield from result.says.split("\n")
    yield from acts(result.urgent)
    yield from (f"  {row.severity:<8} {row.says}" for row in result.findings)
    yield from frame(result)


def _hours(hours: float) -> str:
    if hours < 1:
        return "now"
    return (
        "in an hour"
        if hours < 1.5
        else f"in {hours:.0f} hours"
        if hours < 48
        else f"in {hours / 24:.0f} days"
    )


@lines.register
def _(result: ForecastResult) -> Iterator[str]:
    yield from result.says.split("\n")
    for row in result.extremes:
        span = shown_range(row.low, row.high, row.unit).removesuffix(" pH")
        yield f"  {row.says}: {span}, {_hours(row.at_h)}"
    if result.missing:
        yield "Not known here, so the ranges are wide:"
        yield from (f"  {line}" for line in result.missing)
    yield from frame(result)


def fact_line(row: FactRow) -> str:
    """One thing known: its figure, its words, from where, how sure."""
    one_end = row.low if row.low is not None else row.high
    figure = ""
    if row.low is not None and row.high is not None and row.low != row.high:
        figure = f"{row.low:g} to {row.high:g} {row.unit}"
    elif row.value is not None or one_end is not None:
        figure = f"{row.value if row.value is not None else one_end:g} {row.unit}"
    told = "; ".join(f"{k} {v}" for k, v in row.says.items() if v)
    where = "no source" if row.source in ("none", "") else row.source
    return (
        f"  {row.table:<12} {' '.join(p for p in (figure, told) if p)}  [{where}, {status_words(row.status)}]"
    )


@lines.register
def _(result: FactsResult) -> Iterator[str]:
    yield result.says
    yield from (f"  {line}" for line in result.listed)
    yield from (fact_line(row) for row in result.facts)
    if result.disagree:
        yield "They disagree:"
        yield from (fact_line(row) for row in result.disagree)
    yield from frame(result)


@lines.register
def _(result: CourseResult) -> Iterator[str]:
    yield result.says
    yield from (f"  {line}" for line in result.statement)
    last, told = "", set[str]()
    for step in result.steps:
        when = step.at[:16].replace("T", " ")
        yield f"  {when if when != last else '':<16}  {step.act}"
        last = when
        for line in (step.how_to, step.hazard, step.why):
            if line and line not in told:
                told.add(line)
                yield f"{'':<20}{line}"
    if result.judged is not None:
        yield f"The label: {result.judged.says}"
        yield from (f"  {part.substance}: {part.says}" for part in result.judged.parts)
        yield from (f"  refused: {line}" for line in result.judged.refused)
    alike: dict[str, dict[str, None]] = {}
    for bears in result.bears:
        named = bears.words.lower().startswith(f"{bears.who.lower()} ")
        alike.setdefault(bears.words[len(bears.who) :] if named else f": {bears.words}", {})[bears.who] = None
    yield from (f"  {', '.join(who)}{words}" for words, who in alike.items())
    chances = (f"  {chance_words(r.low, r.high, r.value)}: {r.says}" for r in result.chances)
    yield from dict.fromkeys(chances)
    yield from (f"  {line}" for line in result.withheld)
    yield from (f"  From the shelf: {need.says}" for need in result.supplies)
    yield from (f"  When it is over: {line}" for line in result.over)
    yield from frame(result)


@lines.register
def _(result: PlanResult) -> Iterator[str]:
    yield from plan_lines(result)
    yield from frame(result)


def _bears(rows: list[BearRow]) -> Iterator[str]:
    by_words: dict[str, dict[str, None]] = {}
    for row in rows:
        by_words.setdefault(row.words, {})[row.who] = None
    yield from (f"     {words}: {', '.join(who)}" for words, who in by_words.items())


def _open(row: OpenRow) -> Iterator[str]:
    how = ", ".join(t for t in (row.level.shown if row.level else "", row.days.says if row.days else "") if t)
    yield f"  {row.name}" + (f" ({how})" if how else "")
    yield f"     {row.fits}"
    yield from (f"     {says}" for says in row.here)
    if row.may not in ("yes", "held"):
        yield "     A veterinarian has to order it."
    yield from (f"     {says}" for says in row.steps[1:])
    figures = [f.says for f in row.figures if f.id != "minutes"]
    yield from (f"     {ended(upper('; '.join(figures)))}" for _ in figures[:1])
    yield from _bears(row.bears)
    yield from (f"     {says}" for says in row.reach)
    yield from (f"     Take care: {says.removeprefix('Care: ')}" for says in row.minds)
    yield from (f"     {says}" for says in (row.on_tank, *row.you, row.shelf) if says)
    if row.work:
        yield f"     Your time in all: {row.work.says}."
    yield f"     {row.evidence.words}."


@lines.register
def _(result: OptionsResult) -> Iterator[str]:
    yield from result.says.split("\n")
    if result.counted:
        yield result.counted
    if result.turns:
        yield "One after the other:" if len(result.turns) > 1 else "One for all of them:"
        for n, turn in enumerate(result.turns, 1):
            yield f"  {n}. {turn.says}"
            if turn.before:
                yield f"     {turn.before}"
    yield "What can be done:"
    for row in result.open:
        yield from _open(row)
    left = dict.fromkeys(one.name for row in result.open for one in row.leaves)
    if left:
        yield f"Left untouched by some or all of these: {', '.join(left)}."
    yield "Ruled out here:" if result.ruled_out else "Nothing is ruled out here."
    for name, because, change in dict.fromkeys((r.name, r.because, r.would_change) for r in result.ruled_out):
        yield f"  {name}: {because}"
        if change:
            yield f"     Would change: {change}."
    yield from (*result.carried, *result.people, *([result.report] if result.report else []))
    yield from frame(result)


@lines.register
def _(result: PhotoList) -> Iterator[str]:
    yield result.says
    for row in result.photos:
        gone = "" if row.there == "there" else f" ({row.there})"
        yield f"  {row.photo}  {row.tank}  {row.shows}{gone}"


@lines.register
def _(result: CopyList | CheckedResult) -> Iterator[str]:
    yield result.says
    yield from (f"  {fault}" for fault in getattr(result, "faults", [])[1:])
    for row in result.copies:
        yield f"  {row.name}  {row.says}" + (f"  NOT WHOLE: {row.fault}" if row.fault else "")
    yield from frame(result)


@lines.register
def _(result: FaultReportResult) -> Iterator[str]:
    yield result.says
    yield from (f"  {line}" for line in result.holds)
