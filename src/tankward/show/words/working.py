"""The working of a number, as rows that a page or a sheet shows."""

from __future__ import annotations

from collections.abc import Iterable

from tankward.quantities.digits import shown
from tankward.quantities.working import Step

from .status import status_words


def working_rows(steps: Iterable[Step]) -> list[dict[str, str]]:
    """One row a step: what, how, how much, how sure."""
    return [
        {
            "step": s.step,
            "formula": s.formula,
            "value_shown": "" if s.value is None else shown(s.value, s.unit),
            "status_words": "" if s.status == "computed" else status_words(s.status),
            "source": s.source,
            "range_shown": "",
        }
        for s in steps
    ]
