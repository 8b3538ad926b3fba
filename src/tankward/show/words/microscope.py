"""Sentences about germs under the microscope: what is seen at which magnification, what it is taken for."""

from __future__ import annotations

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.keeping import LookAlike, View

from .acts import upper
from .know_rows import number_words
from .status import status_words

TIMES = (40, 100, 400)
EYEPIECE = 10
GUIDE_OF = {
    "skin": "scrape", "fin": "scrape", "lesion": "scrape", "gills": "gill-clip", "faeces": "faeces",
    "gut": "post-mortem", "muscle": "post-mortem",
}  # fmt: skip
SAMPLES = {
    "skin": "skin scrape", "fin": "fin", "lesion": "edge of the sore", "gills": "gill tips",
    "faeces": "fresh dropping", "gut": "gut of a fresh dead fish", "muscle": "muscle of a dead fish",
}  # fmt: skip
# Share of the field -> what that is.
SIZES = (
    (0.008, "too small to see"),
    (0.03, "a speck"),
    (0.12, "small, its outline can be seen"),
    (0.9, "large, what is in it can be seen"),
    (9e9, "larger than the field"),
)
NO_SIZE = "Nobody gives a size here, so it is not drawn to scale."


class Fielded(msgspec.Struct, frozen=True, kw_only=True):
    """One magnification: how wide the field is, and what of it is seen."""

    times: int
    across_um: float
    says: str


def size_um(view: View) -> float | None:
    """The size it is drawn at: the middle of the range of the facts; the breadth where that is all. [um]"""
    low, high = (view.low, view.high) if view.low is not None else (view.broad_low, view.broad_high)
    return None if low is None or high is None else (low + high) / 2


def fields_of(view: View, facts: Facts, extent: float) -> list[Fielded]:
    """What is seen at 40, 100 and 400 times; `extent`: all that is drawn over the size of the facts."""
    size = size_um(view)
    if size is None:
        return []
    number = next(r.value for r in facts.hygiene.microscopy if r.id == "field") or 0.0
    found = []
    for times in TIMES:
        across = 1000.0 * number * EYEPIECE / times
        share = size * extent / across
        found.append(
            Fielded(times=times, across_um=across, says=next(w for most, w in SIZES if share < most))
        )
    return found


def head(view: View) -> str:
    """The finding of its page."""
    return f"{upper(view.name)}: {view.seen}"


def legend(view: View) -> str:
    """How large it is, and how sure that is."""
    size = size_um(view)
    if size is None:
        return NO_SIZE
    of = "" if view.low is not None else " across"
    told = number_words(None, view.low, view.high) if view.low is not None else number_words(
        None, view.broad_low, view.broad_high
    )  # fmt: skip
    source = f" ({view.source})" if view.source != "none" else ""
    note = f" {upper(view.note)}." if view.note else ""
    return f"Size {told} µm{of}, {status_words(view.status)}{source}; drawn at {size:g} µm.{note}"


def alike_of(view: View, facts: Facts) -> list[LookAlike]:
    """What is taken for it."""
    return [a for a in facts.hygiene.look_alike if a.id in view.taken_for]


def from_words(view: View) -> str:
    """Where it is looked for."""
    return upper(" or ".join(SAMPLES[s] for s in view.samples))


def guides_of(view: View) -> list[str]:
    """The guides by which it is taken, in the order of its samples."""
    return list(dict.fromkeys(GUIDE_OF[s] for s in view.samples))


def views_of(facts: Facts, kind: str, thing: str) -> list[View]:
    """The views of a cause or an organism."""
    return [v for v in facts.hygiene.view if thing == {"cause": v.cause, "organism": v.organism}.get(kind)]
