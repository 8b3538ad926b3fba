"""Evidence from what somebody says in one line: signs, animals, history, water."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from tankward.knowledge.find import find_sign
from tankward.knowledge.known import Facts
from tankward.room.things import Stock

from .evidence import Evidence, Happened
from .finding import Finding
from .findings import readings_as_tests
from .living_evidence import gravid_livebearers, hosts, of_stock, sex_unknown
from .network_of import network_of
from .phrases import history as history_of
from .water_evidence import of_water
from .waterstate import WaterState


def evidence_of(
    seen: Sequence[str],
    absent: Sequence[str],
    facts: Facts,
    *,
    unsure: Sequence[str] = (),
    history: str = "",
    animals: Sequence[Stock] = (),
    onset: str = "",
    share: str = "",
) -> Evidence:
    """Evidence from words, ids or plain ones.

    Parameters
    ----------
    seen, absent, unsure : sequence of str
        Signs: `white_spots`, "pine cone".
    facts : Facts
        The facts.
    history : str
        "new fish 10 days ago; filter cleaned".
    animals : sequence of Stock
        Who lives there.
    onset, share : str
        hours, days, weeks; one, some, most; "" where it is not known.

    Returns
    -------
    Evidence
        A sign that is named as seen and as not seen counts as not known.

    Raises
    ------
    BadInput
        For a word that is no sign, that may be several, or a past that is not known here.
    """
    there = [find_sign(facts, s, "seen") for s in seen]
    gone = [find_sign(facts, s, "not-seen") for s in absent]
    both = set(there) & set(gone)
    happened, vent = history_of(history, facts)
    return Evidence(
        seen=tuple(dict.fromkeys(s for s in there if s not in both)),
        absent=tuple(dict.fromkeys(s for s in gone if s not in both)),
        unsure=(*(find_sign(facts, s) for s in unsure), *sorted(both)),
        onset=onset,
        share=share,
        hosts=hosts(animals, facts),
        happened=(*happened, *of_stock(animals, facts)),
        vent_looked_at=vent,
        gravid_livebearers=gravid_livebearers(animals, facts),
        sex_unknown=sex_unknown(animals, facts),
        told_twice=tuple(sorted(both)),
    )


def with_water(evidence: Evidence, state: WaterState, found: Sequence[Finding], facts: Facts) -> Evidence:
    """The same evidence with what the water says: readings as tests, warmth, softness, salt and crowding."""
    known = {h.context for h in evidence.happened}
    more: tuple[Happened, ...] = tuple(h for h in of_water(state, found) if h.context not in known)
    return msgspec.structs.replace(
        evidence,
        happened=(*evidence.happened, *more),
        tests=(*evidence.tests, *readings_as_tests(found, network_of(facts))),
    )
