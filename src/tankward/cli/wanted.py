"""The options that name a course, as commands take them."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from cyclopts import Parameter

from tankward.desk.courses import Wanted
from tankward.quantities.faults import BadInput


@Parameter(name="*")
@dataclass(frozen=True)
class CourseOptions:
    """A course that is not begun; without any of these, the one that runs is meant."""

    substance: str = ""
    "What: one of tankward facts."
    route: str = ""
    "By which way: water_long, water_bath, dip, feed, heat."
    remedy: str = ""
    "Without medicine: fish_out, daily_siphon, wait_and_count. Then no substance."
    days: str = ""
    "Of such a remedy: for how long in all."
    every: str = ""
    "Fish out: between two moves to a clean tub, like 12h; never: they stay in one."
    moved: str = ""
    "Fish out: for how long they are moved."
    change: str = ""
    "Daily siphon: how much of the water each day."
    siphon: str = ""
    "Daily siphon: how much of the floor each day."
    regimen: str = ""
    "One of its known ways of use."
    supply: str = ""
    "The packet of the shelf."
    start: str = ""
    'The first step: "today 18:30", "tomorrow 19:00".'
    cause: str = ""
    "Against what."
    level: str = ""
    "How strong, if you want another than the published."
    units: str = ""
    "Packets for a dose, if you want another number."
    stock: str = ""
    "Who goes into a bath."
    tub: str = ""
    "Water of the tub, like 10 L."
    place: str = ""
    "tub: the fish apart."
    food: str = ""
    "Which food takes it: gel, flakes, granules, frozen."
    label: str = ""
    "yes: follow the label's own rule."
    gone: str = ""
    '"fry", "eggs": said not to be there.'
    sensitised: str = ""
    "yes, no or dont-know, where a substance is a hazard to people."
    pregnant_or_children: str = ""
    "Likewise."
    window: str = ""
    "Likewise."
    goggles: str = ""
    "Likewise."
    expert: str = ""
    "Likewise."

    @property
    def wanted(self) -> Wanted | None:
        """What is asked for; None where nothing was named.

        Raises
        ------
        BadInput
            If only a part of it was named.
        """
        given = asdict(self)
        if not any(given.values()):
            return None
        for name in () if given["remedy"].strip() else ("substance", "route"):
            if not given[name].strip():
                raise BadInput(name, "", "is missing. A course needs --substance and --route.")
        return Wanted(**given)
