"""Several causes at once: what reaches all, else one medicine after another. Safety rules 8 and 13."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from tankward.knowledge.known import Facts

from .order import purpose
from .records import Option, Turn

# Rule 13: what kills first, then gut flagellates, then worms, then the rest. [recalled, not read]
FIRST = (
    "gill_flukes",
    "velvet",
    "columnaris",
    "white_spot",
    "costia_trichodina",
    "tetrahymena",
    "streptococcus",
)
GUT = ("hexamita", "cryptobia")
WORMS = ("camallanus", "capillaria", "tapeworms", "skin_flukes")
IN_WATER = ("tank", "tub")  # what was given there wants changes and carbon before another


def rank(cause: str, facts: Facts) -> int:
    """Where a cause stands in the order of rule 13: the water first, then what kills first."""
    if facts.causes[cause].group == "water":
        return 0
    return next((n for n, ids in enumerate((FIRST, GUT, WORMS), 1) if cause in ids), 4)


def aimed(option: Option) -> tuple[str, ...]:
    """The causes asked about that a remedy is for."""
    return tuple(c for c in (option.cause, *option.also_for) if c)


def turns(causes: Sequence[str], ways: Sequence[Option], facts: Facts) -> tuple[Turn, ...]:
    """In which order several causes are met, and with what.

    Parameters
    ----------
    causes : sequence of str
        The causes asked about.
    ways : sequence of Option
        The open remedies in their order.
    facts : Facts
        The facts.

    Returns
    -------
    tuple of Turn
        Empty for a single cause. Where one remedy clears several it stands once. A cause that nothing open
        clears has a turn without a remedy, so that nobody takes it for met.
    """
    if len(causes) < 2:
        return ()
    clears = [o for o in ways if purpose(o) == "clears" and aimed(o)]
    todo = sorted(causes, key=lambda c: (rank(c, facts), causes.index(c)))
    found: list[Turn] = []
    while todo:
        cause = todo[0]
        fit = [o for o in clears if cause in aimed(o)]
        # The remedy that meets the most of what is left; of equals the first in their order.
        best = max(fit, key=lambda o: len(set(aimed(o)) & set(todo)), default=None)
        met = tuple(c for c in todo if best is not None and c in aimed(best)) or (cause,)
        found.append(Turn(causes=met, option=best.id if best else "", wait=_wait(found, best, ways)))
        todo = [c for c in todo if c not in met]
    return tuple(found)


def _wait(
    found: Sequence[Turn], best: Option | None, ways: Sequence[Option]
) -> Literal["", "course-over", "changed-out"]:
    """What has to be over first: the course before, and in the water what it left there."""
    if best is None or best.kind != "substance":
        return ""
    ids = {t.option for t in found}
    before = [o for o in ways if o.id in ids and o.kind == "substance"]
    if not before:
        return ""
    return "changed-out" if any(o.place in IN_WATER for o in before) else "course-over"
