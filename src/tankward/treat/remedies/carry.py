"""Who may carry it on once it is over: survivors, by the life of the organism. Safety rule 26."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.treat.course.watching import cycle_d

from .records import Carried
from .transfers import USUAL_C

CATCHING = ("parasite", "bacteria", "virus", "fungus")


def carried(causes: Sequence[str], temp_c: Estimate | None, facts: Facts) -> tuple[Carried, ...]:
    """How long survivors of each catching cause may carry it after the last sign.

    Parameters
    ----------
    causes : sequence of str
        The causes asked about.
    temp_c : Estimate or None
        Water temperature; None counts as 24.5. [°C]
    facts : Facts
        The facts.

    Returns
    -------
    tuple of Carried
        `days` None: for life, or nobody knows until when; the same is to be done. What no fish catches has
        no row.
    """
    t = temp_c or Estimate.exact(USUAL_C)
    rows = []
    for cause in causes:
        record = facts.causes[cause]
        if record.group not in CATCHING:
            continue
        known = [facts.organisms[o] for o in record.organisms if o in facts.organisms]
        cycles = [cycle_d(o, t) for o in known]
        longest = max((c[1] for c in cycles if c is not None), default=None)
        over = longest if known and all(c is not None for c in cycles) else None
        rows.append(Carried(cause=cause, days=over))
    return tuple(rows)
