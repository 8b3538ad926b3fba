"""Water first: what is found in a tank, worst first, and whether a medicine may be thought of."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import Reason

from .evidence import Outcome
from .finding import Finding, worst_first
from .network import Network
from .resident_findings import resident_findings
from .water_findings import NEEDED, by_kind, water_findings
from .waterstate import WaterState


def findings(state: WaterState, facts: Facts, seen: Collection[str] = ()) -> tuple[Finding, ...]:
    """Everything that is found in one tank, worst first; water before all else.

    Parameters
    ----------
    state : WaterState
        The water as it is known.
    facts : Facts
        The facts.
    seen : collection of str
        Signs seen now, for the question whether a medicine did it.

    Returns
    -------
    tuple of Finding
        The fine ones too, last. A reading that is missing, or too old, is a finding of its own.
    """
    found = [*water_findings(state), *resident_findings(state, facts, seen)]
    return worst_first(msgspec.structs.replace(f, tank=state.tank) for f in found)


def room_findings(by_tank: Mapping[str, Sequence[Finding]]) -> tuple[Finding, ...]:
    """Findings of every tank of a room that need somebody, worst first."""
    return worst_first(f for found in by_tank.values() for f in found if f.severity != "fine")


class Gate(msgspec.Struct, frozen=True, kw_only=True):
    """Whether a medicine may be given as the water stands.

    "all": yes. "sparing": only what takes no oxygen and spares the filter, with "water unknown" on the
    sheet. "after-water": the water tonight, the medicine when it is good. "water-first": not while the
    water may be the cause.
    """

    opens: Literal["all", "sparing", "after-water", "water-first"]
    blocked_by: tuple[Finding, ...] = ()
    unknown: tuple[str, ...] = ()  # quantities to read
    until: tuple[str, ...] = ()
    until_h: float | None = None

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """What stands in the way, for a refusal."""
        return tuple(
            Reason(
                kind=f"water-{f.kind}",
                because=f.because or f"{f.kind.replace('_', ' ')} stands before any medicine",
                would_change=f.until,
                who=f.who,
                source=f.source,
                status=f.status,
            )
            for f in self.blocked_by
        )


def medicine_gate(found: Sequence[Finding], *, sure_parasite: bool = False) -> Gate:
    """Whether a medicine may be given, by rule 20.

    Parameters
    ----------
    found : sequence of Finding
        Of this tank.
    sure_parasite : bool
        A parasite was seen or is all but certain.

    Returns
    -------
    Gate
        Bad water and a sure parasite: the water tonight, the treatment when it is good, with the hour the
        forecast gives; not "no". No reading at all: only what takes no oxygen and spares the filter.
    """
    blocks = tuple(f for f in found if f.blocks_medicine)
    unknown = tuple(f.ask for f in found if f.severity == "unknown" and f.ask in NEEDED)
    hours = [f.until_h for f in blocks]
    until = tuple(f.until for f in blocks if f.until)
    known = [h for h in hours if h is not None]
    last = max(known) if known and len(known) == len(hours) else None
    if blocks:
        opens: Literal["after-water", "water-first"] = "after-water" if sure_parasite else "water-first"
        return Gate(opens=opens, blocked_by=blocks, unknown=unknown, until=until, until_h=last)
    return Gate(opens="sparing" if unknown else "all", unknown=unknown)


def spares(substance: str, facts: Facts) -> bool:
    """Whether a substance takes no oxygen and spares the filter: what may be given while the water
    is unknown.
    """
    if substance in NEVER_IN_UNKNOWN_WATER or facts.substances[substance].kind == "antibiotic":
        return False
    parts = facts.substances[substance].parts or (substance,)
    words = {
        e.on: e.level for p in parts for e in facts.substances[p].effect if e.level not in ("none", "low")
    }
    return not {"oxygen", "filter"} & set(words)


NEVER_IN_UNKNOWN_WATER = frozenset(
    {"formalin", "formalin_malachite", "copper", "potassium_permanganate", "malachite_green",
     "methylene_blue", "acriflavine"}
)  # fmt: skip

CAUSE_TESTS = {
    "ammonia": "ammonia", "nitrite": "nitrite", "chlorine": "chlorine", "low_oxygen": "low_oxygen",
    "nitrate_chronic": "nitrate_chronic", "ph_crash": "ph_crash",
    "gas_supersaturation": "gas_supersaturation",
}  # fmt: skip


def _between(finding: Finding) -> bool:
    """Not known, or a trace under its limit: that speaks neither for its cause nor against it."""
    trace = finding.kind == "ammonia" and finding.severity == "caution" and not finding.blocks_medicine
    return finding.severity == "unknown" or trace


def readings_as_tests(found: Sequence[Finding], net: Network) -> tuple[Outcome, ...]:
    """Readings as results of the tests that the causes name: a bad one speaks for its cause, a good
    one against.
    """
    tested = []
    for kind, cause in CAUSE_TESTS.items():
        finding = by_kind(found, kind)
        if finding is not None and finding.value is not None and not _between(finding):
            positive = finding.severity in ("danger", "caution")
            tested.append(Outcome(cause=cause, test=net.cause(cause).tests[0].name, positive=positive))
    warm = by_kind(found, "temperature")
    if warm is not None:
        for cause in ("cold", "heat"):
            tested.append(
                Outcome(cause=cause, test=net.cause(cause).tests[0].name, positive=warm.cause == cause)
            )
    return tuple(tested)
