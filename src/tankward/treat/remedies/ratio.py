"""A packet of fixed ratio in this water: how many, or why no number will do. Safety rule 5."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from tankward.judge.limit import Limit
from tankward.judge.packets import Packet, packet
from tankward.knowledge.known import Facts
from tankward.knowledge.records.substance import Regimen, Substance

from .levels import aimed_rows, hours_of_parts, works_from


def packet_for(
    held: Mapping[str, float],
    volume_l: float,
    one: Substance,
    regimen: Regimen,
    causes: tuple[str, ...],
    limits: Sequence[Limit],
    facts: Facts,
) -> Packet:
    """How many packets let every part work and stay under every limit.

    Parameters
    ----------
    held : mapping
        Part -> amount in one packet. [mg, or uL of formalin]
    volume_l : float
        The water. [L]
    one, regimen : Substance, Regimen
        The combination and the way it is used.
    causes : tuple of str
        What it is for: a part that would do alone must be for one of them.
    limits : sequence of Limit
        Of those who live there. Where nobody is known to, only what works counts.
    facts : Facts
        The facts.
    """
    each = {part: amount / volume_l for part, amount in held.items()}
    lowest = {p: works_from(p, causes, (regimen.route,), facts) for p in held}
    works = {p: level for p, level in lowest.items() if level is not None}
    if not limits:
        least = max((works[p] / each[p] for p in works), default=0.0)
        return Packet(least=least, most=float("inf"))
    found = packet(each, works, limits, hours_of_parts(one, regimen, causes, facts), facts)
    if found.reason is None:
        return found
    alone = tuple(p for p in found.works_alone if _is_for(p, regimen.route, causes, facts))
    told = f"use {' or '.join(alone)} alone" if alone else "another remedy"
    return replace(found, works_alone=alone, reason=replace(found.reason, would_change=told))


def _is_for(part: str, route: str, causes: tuple[str, ...], facts: Facts) -> bool:
    return any(set(r.treats) & set(causes) for r in aimed_rows(part, causes, (route,), facts))
