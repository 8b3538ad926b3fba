"""A tank described in one go: its sizes, who lives there, its filter and warmth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from tankward.quantities.faults import BadInput, BadInputs, gathered
from tankward.room.entries.base import Entry
from tankward.room.entries.tanks import TankAdded

from .border import Border, Written
from .several import after, next_place

Texts = Mapping[str, str]


class Grouped(BadInput):
    """A fault in one of several groups of animals; `group` says in which, from 0."""

    def __init__(self, fault: BadInput, group: int) -> None:
        super().__init__(fault.field, fault.given, fault.accepted)
        self.group = group


def described(border: Border, texts: Texts, groups: Sequence[Texts] = ()) -> Written:
    """The entries of a new tank and of everybody who lives in it: all, or none.

    Parameters
    ----------
    border : Border
        Reads what was typed.
    texts : mapping
        The tank's own fields.
    groups : sequence of mappings
        Kind, number and length of each group of animals or plants.

    Raises
    ------
    BadInput
        For every field that can't be used; a fault of a group is `Grouped`.
    """
    texts = {"place": str(next_place(border.room)), **texts}
    faults: list[BadInput] = []
    entries: list[Entry] = []
    says: list[str] = []
    tank = ""
    try:
        written = border.tank(texts)
        tank = written.entry.tank
        entries += written.entries
        says += written.says
        border = after(border, written.entries)
    except BadInput as fault:
        faults += _each(fault)
        # Who lives there is read all the same, so that every fault is told at once.
        border, tank = _stand_in(border)
    for group, told in enumerate(groups):
        try:
            written = border.stock(tank, told)
            entries += written.entries
            border = after(border, written.entries)
        except BadInput as fault:
            faults += [Grouped(one, group) for one in _each(fault)]
    gathered(faults)
    return Written(entries=tuple(entries), says=tuple(says))


def _each(fault: BadInput) -> tuple[BadInput, ...]:
    return fault.faults if isinstance(fault, BadInputs) else (fault,)


def _stand_in(border: Border) -> tuple[Border, str]:
    """A tank that nobody keeps, for animals to be read against."""
    name = "stand-in"
    while name in border.room.tanks:
        name += "-"
    room = border.tank({"name": name}).entry.effect(border.room)
    return msgspec.structs.replace(border, room=room), next(
        t.id for t in room.tanks.values() if t.name == name
    )


def tank_of(written: Written) -> TankAdded:
    """The tank among the entries."""
    entry = written.entry
    assert isinstance(entry, TankAdded)
    return entry
