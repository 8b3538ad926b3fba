"""What must not meet: a substance with what is still in the water or the filter, and in which order."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Status
from tankward.knowledge.records.keeping import MustNotMeet
from tankward.knowledge.records.substance import Severity
from tankward.quantities.faults import Reason

from .caps import CONDITION

GONE = 0.05  # share of the usual level under which a substance counts as out of the water (common-practice)
ORDER = ("never", "separate", "order", "caution")


class Meeting(msgspec.Struct, frozen=True, kw_only=True):
    """A rule about two things that would meet here."""

    rule: Literal["never", "separate", "order", "caution"]
    substance: str
    other: str
    severity: Severity
    because: str
    order: str = ""
    wait_h: float | None = None
    source: str = "none"
    status: Status = "common-practice"

    @property
    def refuses(self) -> bool:
        """Whether the substance must not go in while the other is there."""
        return self.rule in ("never", "separate") and self.severity != "helpful"

    @property
    def reason(self) -> Reason:
        wait = f", {self.wait_h:g} hours" if self.wait_h else ""
        return Reason(
            kind=f"meets-{self.rule}",
            because=f"{self.other.replace('_', ' ')} is still there: {self.because}",
            would_change=(self.order or "take it out first") + wait,
            source=self.source,
            status=self.status,
        )


def together(
    substance: str, still_in: Collection[str], facts: Facts, *, in_filter: Collection[str] = ()
) -> tuple[Meeting, ...]:
    """Rules that a dose would run into, hardest first.

    Parameters
    ----------
    substance : str
        What is to go in; a combination meets through each of its parts.
    still_in : collection of str
        Substances still in the water (see `still_there`).
    facts : Facts
        The facts.
    in_filter : collection of str
        Media in the filter: activated_carbon, zeolite, ultraviolet.

    Returns
    -------
    tuple of Meeting
        One medicine at a time: another medicine in the water without a rule of its own is "separate".
    """
    parts = {substance, *facts.substances[substance].parts}
    there = set(still_in) | set(in_filter)
    found = [m for other in sorted(there - parts) for m in _meetings(parts, other, facts)]
    ruled = {m.other for m in found}
    medicines = [s for s in sorted(set(still_in) - parts - ruled) if is_medicine(s, facts)]
    if is_medicine(substance, facts):
        found += [_one_at_a_time(substance, other) for other in medicines]
    return tuple(sorted(found, key=lambda m: ORDER.index(m.rule)))


def still_there(levels: Mapping[str, float], usual: Mapping[str, float]) -> tuple[str, ...]:
    """Substances whose level is more than a trace of their usual one; without a usual level any
    amount counts.
    """
    return tuple(s for s, level in levels.items() if level > GONE * usual.get(s, 0.0))


NOT_MEDICINES = frozenset({"water conditioner", "buffer", "filter medium", "salt", "botanical", "physical"})


def is_medicine(substance: str, facts: Facts) -> bool:
    return facts.substances[substance].kind not in NOT_MEDICINES


def _meetings(parts: Collection[str], other: str, facts: Facts) -> Iterator[Meeting]:
    for pair in facts.tables.pair:
        if pair.b.startswith(CONDITION):
            continue
        for one in sorted(parts):
            ways = ((pair.a, pair.b), (pair.b, pair.a))
            if any(_is(a, one, facts) and _is(b, other, facts) for a, b in ways):
                yield _of(pair, one, other)
                break


ANY_DRUG, ANY_ANTIBIOTIC = "any drug in the water", "any antibiotic"


def _is(named: str, substance: str, facts: Facts) -> bool:
    if named == ANY_DRUG:
        return is_medicine(substance, facts)
    if named == ANY_ANTIBIOTIC:
        return facts.substances[substance].kind == "antibiotic"
    return named == substance


def _of(pair: MustNotMeet, one: str, other: str) -> Meeting:
    return Meeting(
        rule=pair.rule,
        substance=one,
        other=other,
        severity=pair.severity,
        because=pair.why,
        order=pair.order,
        wait_h=pair.wait_h,
        source=pair.source,
        status=pair.status,
    )


def _one_at_a_time(substance: str, other: str) -> Meeting:
    return Meeting(
        rule="separate",
        substance=substance,
        other=other,
        severity="moderate",
        because="one medicine at a time",
        order="two half changes and a day of carbon between",
    )
