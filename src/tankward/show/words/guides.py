"""The guides: what a keeper does with a fish, a slide, a sample, one page each; how sure it is."""

from __future__ import annotations

from tankward.knowledge.known import Facts

from .acts import upper
from .guide_steps import COUNT, GUIDES, NOT_PROVED, Do, Guide
from .status import status_words


def sure_words(guide: Guide, facts: Facts) -> str:
    """How sure its steps are: "Published: steps 1, 3. Usual practice: step 2."."""
    by_status: dict[str, list[str]] = {}
    for number, step in enumerate(guide.steps, 1):
        by_status.setdefault(_status(step, facts), []).append(str(number))
    if len(by_status) == 1:
        return f"{upper(status_words(next(iter(by_status))))}: all steps."
    return " ".join(
        f"{upper(status_words(status))}: {'step' if len(steps) == 1 else 'steps'} {', '.join(steps)}."
        for status, steps in by_status.items()
    )


def _status(step: Do, facts: Facts) -> str:
    table, _, ident = step.fact.partition(" ")
    if not table:
        return "common-practice"
    rows = getattr(facts.hygiene, table)
    return str(next(r.status for r in rows if str(getattr(r, "id", getattr(r, "step", ""))) == ident))


def grade_line(facts: Facts) -> str:
    """Rule 35: how many in one low-power field are called how."""
    told = (f"{g.low:g} to {g.high:g} {g.id}" for g in facts.hygiene.field_grade if g.low and g.high)
    return f"In one field at 100 times: {', '.join(told)}."


SLIGHT = "Slight, and the fish are well: count again in a week."
MARKED = "Marked, and the fish are thin: treat."
GRADE_ACTS = (SLIGHT, MARKED)

__all__ = [
    "COUNT",
    "GRADE_ACTS",
    "GUIDES",
    "MARKED",
    "NOT_PROVED",
    "SLIGHT",
    "Do",
    "Guide",
    "grade_line",
    "sure_words",
]
