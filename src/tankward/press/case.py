"""The case for a veterinarian."""

from __future__ import annotations

from tankward.desk.case import WEEKS, Case, case_of, is_medicine
from tankward.room.entries.acts import Done
from tankward.room.entries.animals import Death
from tankward.room.entries.looks import Look
from tankward.show.sheets.case import case_sheet
from tankward.show.sheets.records import CaseSheet

from .sheet import Asked, Sheet


def gathered(asked: Asked) -> Case:
    """The case of the tank that is asked about."""
    assert asked.tank is not None  # the press and the page ask for it
    return case_of(
        asked.desk.room(),
        asked.tank.id,
        asked.now,
        asked.facts,
        entries=tuple(asked.desk.entries()),
        asked=asked.typed.get("asked", ""),
    )


def record(asked: Asked) -> CaseSheet:
    return case_sheet(
        gathered(asked), asked.desk.room(), asked.facts, now=asked.now, zone=asked.zone, foot=asked.foot()
    )


def ill(asked: Asked) -> bool:
    """Whether something was seen, given or found dead in the tank lately."""
    if asked.tank is None:
        return False
    entries = [e for e in asked.desk.room().of_tank(asked.tank.id) if asked.now - WEEKS <= e.at <= asked.now]
    return any(
        isinstance(e, Death)
        or (isinstance(e, Look) and bool(e.seen))
        or (isinstance(e, Done) and is_medicine(e))
        for e in entries
    )


SHEET = Sheet(
    name="case",
    title="Case for a veterinarian",
    use="to take along or send: signs with dates, the dead, what was given, the water, what is asked",
    about="tank",
    layout="case",
    record=record,
    asks=(("asked", "what you want to know, in your own words"),),
    fits=ill,
)
