"""What fish of a kind commonly bring with them: what was found when many of them were looked at."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.cause import Survey
from tankward.quantities.parse import Estimate
from tankward.room.things import Stock
from tankward.treat.course.watching import cycle_d
from tankward.treat.remedies.carry import CATCHING
from tankward.treat.remedies.reach import organisms_of
from tankward.treat.remedies.transfers import USUAL_C

from .watch import MOSTLY

MIXED = "mixed"
ORIGINS = ("shop", "import", "farm")  # what reaches a keeper; wild and laboratory fish only where no other is


class Common(msgspec.Struct, frozen=True, kw_only=True):
    """One illness: the share of such fish in which it was found, its signs, one round of it in this warmth.

    `share` None: named there without a figure. `days` None: it has no round to wait for; fish may carry it
    for life, or it is always about.
    """

    cause: str
    survey: str
    group: str  # of the fish that were looked at; mixed: of many kinds
    origin: str
    share: float | None
    low: float | None
    high: float | None
    n: int | None
    signs: tuple[str, ...]
    days: tuple[float, float] | None
    source: str
    status: str


def commonly(stock: Iterable[Stock], temp_c: Estimate | None, facts: Facts) -> tuple[Common, ...]:
    """What such fish commonly carry, what was found in most of them first.

    Parameters
    ----------
    stock : iterable of Stock
        The newcomers.
    temp_c : Estimate or None
        Of their water; None counts as usual. [°C]
    facts : Facts
        The surveys.

    Notes
    -----
    Fish of the same group count before fish of many kinds, shop and farm fish before wild ones. A survey says
    what was found elsewhere, not what these have. Of what is no fish none is known here.
    """
    stock = [s for s in stock if s.kind not in facts.animals or facts.animals[s.kind].kind == "fish"]
    stock = [s for s in stock if s.kind not in facts.plants]
    if not stock:
        return ()
    tags = {t for s in stock if s.kind in facts.animals for t in facts.animals[s.kind].host_tags}
    found: dict[str, Survey] = {}
    for cause, row in _rows(facts):
        if row.host_group not in {*tags, MIXED}:
            continue
        if cause not in found or _rank(row) < _rank(found[cause]):
            found[cause] = row
    made = (_common(cause, row, temp_c, facts) for cause, row in found.items())
    return tuple(sorted(made, key=lambda c: (-(c.share or 0.0), c.cause)))


def _rows(facts: Facts) -> Iterator[tuple[str, Survey]]:
    """Each survey by each catching cause that it found; one that names two causes speaks of both together."""
    for row in facts.tables.survey:
        for cause in row.cause.split("+"):
            if cause in facts.causes and facts.causes[cause].group in CATCHING:
                yield cause, row


def _rank(row: Survey) -> tuple[bool, bool, bool, int]:
    """A figure before none, own group first, then what a keeper can buy, then the larger survey."""
    return row.value is None, row.host_group == MIXED, row.origin not in ORIGINS, -(row.n or 0)


def _common(cause: str, row: Survey, temp_c: Estimate | None, facts: Facts) -> Common:
    low, high = row.share or (row.value, row.value)
    signs = [s.id for s in facts.causes[cause].sign if (s.low + s.high) / 2 >= MOSTLY]
    spans = [cycle_d(o, temp_c or Estimate.exact(USUAL_C)) for o in organisms_of((cause,), facts)]
    known = [s for s in spans if s is not None]
    whole = bool(known) and len(known) == len(spans)
    return Common(
        cause=cause, survey=row.id, group=row.host_group, origin=row.origin, share=row.value, low=low,
        high=high, n=row.n, signs=tuple(signs),
        days=(min(s[0] for s in known), max(s[1] for s in known)) if whole else None,
        source=row.source, status=row.status,
    )  # fmt: skip
