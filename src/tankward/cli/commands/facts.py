"""`tankward facts NAME`: what is known, from where, how sure, what contradicts it."""

from __future__ import annotations

from typing import Annotated

from cyclopts import App, Parameter

from tankward.knowledge.loader import all_faults, load
from tankward.knowledge.tell import Page, Told, tell
from tankward.knowledge.topics import TOPICS, topics
from tankward.quantities.faults import BadInput
from tankward.show.results import Source
from tankward.show.results_facts import FactRow, FactsResult

from ..common import Common


def _row(page: Page, told: Told) -> FactRow:
    return FactRow(
        of=page.id, table=told.table, says=told.says, value=told.value, low=told.low, high=told.high,
        unit=told.unit, basis=told.basis, source=told.source, where=told.where, status=told.status or "",
    )  # fmt: skip


def facts(
    *name: str, check: Annotated[bool, Parameter(negative=())] = False, common: Common = Common()
) -> FactsResult:
    """What is known: facts praziquantel, facts "cherry shrimp", facts "white spot".

    Parameters
    ----------
    name
        A substance, animal, plant, sign, cause, organism, feed or kit, or a topic of hygiene, water or food;
        without one, all names.
    check
        Look through every fact for source, status and unit.
    """
    if check:
        return _checked(common)
    known = load()
    if not name:
        kinds = ("substances", "causes", "signs", "animals", "plants", "organisms")
        listed = [f"{kind}: {', '.join(sorted(getattr(known, kind)))}" for kind in kinds]
        listed += [f"{place}: {', '.join(t.id for t in topics(known, place))}" for place in TOPICS]
        says = f"Version of the facts: {known.version}."
        return FactsResult(says=says, facts=[], disagree=[], listed=listed, now=common.told)
    pages = tell(known, " ".join(name))
    sources = {k: Source(key=k, title=s.title, where=s.read) for p in pages for k, s in p.sources.items()}
    return FactsResult(
        says="; ".join(_told(p) for p in pages) + ".",
        facts=[_row(p, t) for p in pages for t in p.rows],
        disagree=[_row(p, t) for p in pages for t in p.disagree],
        listed=[],
        sources=list(sources.values()),
        now=common.told,
    )


def _told(page: Page) -> str:
    return f"{page.name} ({page.kind}): {len(page.rows)} rows known, {len(page.disagree)} that disagree"


def _checked(common: Common) -> FactsResult:
    found = list(all_faults())
    if found:
        raise BadInput("facts", str(len(found)), "faults: " + " ".join(str(f) for f in found[:10]))
    known = load()
    names = ("substances", "organisms", "causes", "signs", "animals", "plants", "sources")
    counts = ", ".join(f"{len(getattr(known, name))} {name}" for name in names)
    says = f"Every fact has its source, its status and its unit: {counts}."
    return FactsResult(says=says, facts=[], disagree=[], listed=[], now=common.told)


def add_to(app: App) -> None:
    """Add the command."""
    app.command(facts)
