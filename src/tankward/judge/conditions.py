"""What the water and the people must be like before a substance goes in: copper, formalin, and
whatever has a rule.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import Reason

from .choices import COPPER_ALKALINITY, FORMALIN_OXYGEN, FORMALIN_TEMP, Choice
from .water_findings import fresh
from .waterstate import WaterState

GILL_SIGNS = frozenset({"swollen_gills", "brown_gills", "pale_gills", "gill_flare"})


class People(msgspec.Struct, frozen=True, kw_only=True):
    """Who handles it, and where. None: don't know, taken as the worse."""

    sensitised: bool | None = None
    pregnant_or_children: bool | None = None
    window: bool | None = None
    goggles: bool | None = None
    expert: bool | None = None


def conditions(
    substance: str,
    state: WaterState,
    facts: Facts,
    *,
    people: People | None = None,
    seen: Collection[str] = (),
    still_in: Collection[str] = (),
) -> tuple[Reason, ...]:
    """Conditions of a substance that this water and these people do not meet.

    Parameters
    ----------
    substance : str
        A substance; a combination must meet the conditions of each part.
    state : WaterState
        The water. What is not known does not meet a condition.
    facts : Facts
        The facts.
    people : People, optional
        Answers to what is asked before formalin.
    seen : collection of str
        Signs seen: damaged gills rule formalin out.
    still_in : collection of str
        What is still in the water.

    Returns
    -------
    tuple of Reason
        Empty: nothing stands in the way.
    """
    parts = {substance, *facts.substances[substance].parts}
    found: list[Reason] = []
    if "copper" in parts:
        found += _copper(state)
    if "formalin" in parts:
        found += _formalin(state, people or People(), seen, still_in)
    return tuple(found)


def asks_people(substance: str, facts: Facts) -> bool:
    """Whether the people near are asked about before it is given (rule 30)."""
    return "formalin" in {substance, *facts.substances[substance].parts}


def _copper(state: WaterState) -> Iterator[Reason]:
    kh = fresh(state.of("kh"))
    if kh is None:
        yield _asks(
            "copper", "the alkalinity is not known, and in soft water copper kills fish", "read the KH"
        )
    elif kh.value < COPPER_ALKALINITY.value:
        because = "below 50 mg/L alkalinity as CaCO3 copper kills fish"
        yield _no("copper", because, "another remedy", COPPER_ALKALINITY)


def _formalin(
    state: WaterState, people: People, seen: Collection[str], still_in: Collection[str]
) -> Iterator[Reason]:
    yield from _formalin_water(state)
    if GILL_SIGNS & set(seen):
        yield _no("formalin", "the gills are damaged", "another remedy", FORMALIN_OXYGEN)
    if "methylene_blue" in still_in:
        because = "methylene blue is still in the water"
        yield _no("formalin", because, "change it out first", FORMALIN_OXYGEN)
    yield from _people(people)


def _formalin_water(state: WaterState) -> Iterator[Reason]:
    oxygen, temp_c = fresh(state.of("oxygen")), fresh(state.of("temp_c"))
    if oxygen is None:
        yield _asks("formalin", "the oxygen is not known, and formalin takes oxygen", "read the oxygen")
    elif oxygen.value < FORMALIN_OXYGEN.value:
        because = "formalin takes oxygen: at least 6 mg/L must be there"
        yield _no("formalin", because, "aerate and read again", FORMALIN_OXYGEN)
    if temp_c is None:
        yield _asks("formalin", "the temperature is not known", "read the temperature")
    elif temp_c.value > FORMALIN_TEMP.value:
        because = "over 25 °C formalin is more poisonous"
        yield _no("formalin", because, "let it cool slowly, or another remedy", FORMALIN_TEMP)


# What is asked before formalin: the field, the answer that lets it pass, why.
ASKED: tuple[tuple[str, bool, str, str], ...] = (
    ("expert", True, "formalin is for those who know it", "another remedy"),
    ("sensitised", False, "whoever reacts to formaldehyde must not handle it", "let somebody else do it"),
    ("pregnant_or_children", False, "not near pregnant people or children", "another remedy"),
    ("window", True, "its vapour needs an open window", "open a window"),
    ("goggles", True, "it burns eyes and skin: goggles and gloves", "put goggles and gloves on"),
)


def _people(people: People) -> Iterator[Reason]:
    for field, wanted, because, change in ASKED:
        given = getattr(people, field)
        if given is not wanted:
            kind = "people-unknown" if given is None else "people"
            yield Reason(kind=f"{kind}-{field}", because=because, would_change=change, who=("people",))


def _asks(substance: str, because: str, change: str) -> Reason:
    return Reason(kind=f"{substance}-water-unknown", because=because, would_change=change)


def _no(substance: str, because: str, change: str, choice: Choice) -> Reason:
    return Reason(
        kind=f"{substance}-condition",
        because=because,
        would_change=change,
        source=choice.source,
        status=choice.status,
    )
