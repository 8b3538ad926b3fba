"""What to do now in a tank of the room: slips taken as they happened, then the acts with their amounts."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime, timedelta

import msgspec

from tankward.judge.slips import DANGEROUS, each_once
from tankward.judge.urgent import (
    AFTER_A_SLIP,
    AFTERWARDS,
    LOOK_AGAIN,
    LOOK_CALMLY,
    NEVER,
    Told,
    Urgent,
    UrgentStep,
    urgent,
)
from tankward.judge.waterstate import water_state
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.room.acts import Air, Clean, Dose, Heat, Media
from tankward.room.entries.acts import Done
from tankward.room.entries.base import Entry
from tankward.room.entries.corrections import Corrected, Undone
from tankward.room.replay import Room, replay
from tankward.treat.mend.ground import Ground
from tankward.treat.mend.inside import InIt
from tankward.treat.mend.steps import steps_after

from .border import Border
from .examine import told_of
from .running import running
from .slip_said import Told as Said
from .slips import happened

CARBON = "activated_carbon"
JUST_NOW = timedelta(hours=1)  # what was done within that is not told again [our own choice]
LATELY = timedelta(days=2)  # a dose that was put right longer ago is not the slip of tonight


class Now(msgspec.Struct, frozen=True, kw_only=True):
    """The acts in order, what is in the water, and whether all of it is within what everybody bears."""

    urgent: Urgent
    inside: tuple[InIt, ...]
    calm: bool
    told: Told


class Slip(msgspec.Struct, frozen=True, kw_only=True):
    """One slip that is written down: which step was meant, which tank went without."""

    slip: str
    step: str = ""
    other: str = ""


def what_now_in(
    room: Room,
    tank: str,
    slips: Sequence[Slip],
    now: datetime,
    zone: str,
    facts: Facts,
    *,
    seen: Collection[str] = (),
    entries: Sequence[Entry] = (),
) -> Now:
    """What to do now.

    Parameters
    ----------
    room : Room
        With the slips in its logbook.
    tank : str
        Its id.
    slips : sequence of Slip
        What happened, in the order in which it was told.
    now : datetime
        With zone.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        The facts.
    seen : collection of str
        Signs seen now: where animals gasp or lie down, the steps of rule 17 come first.
    entries : sequence of Entry
        The whole logbook with what was taken back: there stands how much a spilled dose was meant to be.
    """
    state = water_state(room, tank, now, facts)
    told = told_of(room, tank, state, now)
    run = running(room, tank, now, zone, facts)
    open_steps = tuple(s.step for s in run.open) if run else ()
    first = urgent(seen, told, facts)
    steps: list[UrgentStep] = [*(first.steps if first else ())]
    ground = Ground(room, tank, now, zone, facts, told)
    for slip in slips:
        ground.open, ground.step, ground.other = open_steps, slip.step, slip.other
        ground.meant = meant_dose(entries, room, tank, now) if slip.slip == "too-little" else None
        steps += steps_after(slip.slip, ground)
    done = (*done_already(room, tank, now), *(["dechlorinate"] if told.untreated_tap is False else []))
    danger = first is not None or bool(ground.over) or any(s.slip in DANGEROUS for s in slips)
    look = LOOK_AGAIN if danger else LOOK_CALMLY
    return Now(
        urgent=Urgent(
            because=(*(first.because if first else ()), *(s.slip for s in slips)),
            steps=tuple(s for s in each_once(steps, look) if s.act not in done),
            ask=AFTERWARDS if danger else AFTER_A_SLIP,
            tells=first.tells if first else (),
            never=NEVER if danger else (),
        ),
        inside=ground.inside,
        calm=bool(ground.inside) and not ground.over and all(x.safe.level is not None for x in ground.inside),
        told=told,
    )


def done_already(room: Room, tank: str, now: datetime) -> tuple[str, ...]:
    """Acts that the log says are done: a medium that came out is not taken out again."""
    acts = [(at, act) for at, act in room.acts(tank) if at <= now]
    lately = [act for at, act in acts if now - JUST_NOW <= at]
    media = [act for _, act in acts if isinstance(act, Media) and act.medium == CARBON]
    heat = [act for _, act in acts if isinstance(act, Heat)]
    stands = {
        "carbon-out": bool(media) and not media[-1].into,
        "carbon": any(isinstance(act, Media) and act.medium == CARBON and act.into for act in lately),
        "air": any(isinstance(act, Air) and act.more for act in lately),
        "heater-off": bool(heat) and heat[-1].temp_c is None,
        "rinse-filter": any(isinstance(act, Clean) and act.what == "filter" for act in lately),
    }
    return tuple(act for act, done in stands.items() if done)


def meant_dose(entries: Sequence[Entry], room: Room, tank: str, now: datetime) -> Dose | None:
    """The last dose as it was meant, where less of it went in, or nothing."""
    every = {e.id: e for e in entries}
    pointers = [e for e in room.log if isinstance(e, Corrected | Undone) and e.tank == tank]
    pointers = [e for e in pointers if now - LATELY <= e.at <= now]
    for pointer in reversed(pointers):
        old = every.get(pointer.entry)
        if isinstance(old, Done) and isinstance(old.act, Dose):
            return old.act
    return None


class AsIf(msgspec.Struct, frozen=True, kw_only=True):
    """A room in which what was said has happened: the entries that would be kept, the slips, and why
    something that was said is no entry. `tank`: the one that it happened to.
    """

    room: Room
    tank: str
    entries: tuple[Entry, ...]
    slips: tuple[Slip, ...]
    faults: tuple[BadInput, ...]


def as_if(border: Border, tank: str, said: Sequence[Said]) -> AsIf:
    """What was said, taken as it happened one after the other, without a word being kept.

    What went into the wrong tank is looked at there.
    """
    made: list[Entry] = []
    slips, faults, at, there = list[Slip](), list[BadInput](), border, tank
    for one in said:
        written = None
        try:
            written = happened(at, one.slip, tank, one.texts)
        except BadInput as fault:
            faults.append(fault)
        moved = written is not None and one.slip == "wrong-tank" and written.entry.tank != tank
        slips.append(Slip(slip=one.slip, step=one.texts.get("step", ""), other=tank if moved else ""))
        if written is not None:
            there = written.entry.tank if moved else there
            made += written.entries
            every = (*border.entries, *made)
            at = msgspec.structs.replace(at, room=replay(every), entries=every)
    return AsIf(room=at.room, tank=there, entries=tuple(made), slips=tuple(slips), faults=tuple(faults))
