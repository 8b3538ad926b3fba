"""What one group of animals bears, as mark and words. "Bears it" only where it was measured."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from tankward.judge.verdicts import WORSE, Verdict
from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown

from .acts import upper
from .status import status_words

MARKS = {
    "bears": "done",
    "no-harm-reported-not-measured": "unknown",
    "care": "caution",
    "unknown": "unknown",
    "refused": "danger",
}
NEAR = {"own species": "of its own kind", "own group": "of a relative"}
NOT_MEASURED = "no harm reported, not measured: try it in a jar first"


def worst_of(verdicts: Sequence[Verdict], stock: str) -> Verdict | None:
    """The hardest word on one group; None where nothing that is in the water concerns it."""
    mine = [v for v in verdicts if v.limit.stock == stock]
    return max(mine, key=lambda v: WORSE.index(v.says), default=None)


def bears_mark(verdict: Verdict) -> str:
    """Its mark."""
    return MARKS[verdict.says]


def bears_words(verdict: Verdict, facts: Facts) -> str:
    """What it bears, in one line."""
    limit = verdict.limit
    name = facts.substances[limit.part].names[0]
    if verdict.says == "bears":
        up_to = "" if limit.level is None else f" up to {shown(limit.level, limit.unit)}"
        return f"bears {name}{up_to}, {'in a jar of this tank' if limit.kind == 'jar-trial' else 'measured'}"
    if verdict.why == "jar-trial":
        return f"{name}: {verdict.because}; watch them"
    if verdict.says == "no-harm-reported-not-measured":
        return f"{name}: {NOT_MEASURED}"
    if verdict.says == "unknown":
        return f"{verdict.because}: {verdict.would_change}" if verdict.would_change else verdict.because
    return verdict.because


def bears_why(verdict: Verdict) -> str:
    """How that is known, and what would change it."""
    limit = verdict.limit
    told = [f"limit {shown(limit.level, limit.unit)}" if limit.level is not None else ""]
    if limit.tried is not None:
        told.append(f"a jar of this tank's water with {shown(limit.tried, limit.unit)} did no harm for a day")
    if limit.near and limit.kind != "class":
        told.append(
            {"own species": "of its own kind", "own group": "of a relative"}.get(limit.near, limit.near)
        )
    told += [status_words(verdict.status), verdict.would_change if verdict.says == "refused" else ""]
    return upper("; ".join(t for t in told if t)) + "."


class BearsRow(msgspec.Struct, frozen=True, kw_only=True):
    """One group with the hardest word on it."""

    number: str
    who: str
    mark: str
    words: str
    why: str


def hardest_rows(verdicts: Sequence[Verdict], facts: Facts) -> list[BearsRow]:
    """Each group once, the hardest first; young that are only presumed have no number."""
    hardest: dict[tuple[str, str], Verdict] = {}
    for v in sorted(verdicts, key=lambda v: -WORSE.index(v.says)):
        hardest.setdefault((v.limit.stock, v.limit.who), v)
    return [
        BearsRow(
            number=f"{v.limit.number:.0f}" if 0 < v.limit.number < float("inf") else "",
            who=v.limit.who,
            mark=bears_mark(v),
            words=bears_words(v, facts),
            why=bears_why(v),
        )
        for v in hardest.values()
    ]
