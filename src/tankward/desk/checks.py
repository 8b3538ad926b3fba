"""What must fit together before it is kept: names, sizes, numbers, what was seen."""

from __future__ import annotations

from datetime import datetime

from tankward.quantities.faults import BadInput, gathered
from tankward.room.acts import Apart, Dose, Move, Remove
from tankward.room.entries.acts import Done
from tankward.room.entries.animals import Death, JarTrial, NetfulWeighed
from tankward.room.entries.base import Entry
from tankward.room.entries.ends import CourseClosed
from tankward.room.entries.looks import Look
from tankward.room.entries.missing import NotFound
from tankward.room.entries.shelf import SupplyAdded
from tankward.room.entries.tanks import TankAdded
from tankward.room.entries.water import BY_QUANTITY, ReadingTaken
from tankward.room.fields import CONTROL, TEXT_LENGTH
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.room.volume import porosity, volume_of

APART = {
    "tank": "tank add", "stock": "stock add", "supply": "shelf add", "kit": "kit", "spoon": "kit spoon",
    "hose": "kit hose", "undone": "undo",
    "corrected": "correct", "course": "course --begin", "course_stopped": "course-stop",
    "course_closed": "course-close",
    "photo": "photo add", "photo_removed": "photo remove", "used_up": "shelf used-up",
    "bought": "shelf bought", "thrown_away": "shelf thrown-away",
}  # fmt: skip
OF_PACKETS = ("used_up", "bought", "thrown_away")
FLOOR = ("length_cm", "width_cm", "diameter_cm", "side_cm", "bow_cm")


def short(field: str, text: str, length: int = TEXT_LENGTH) -> str:
    """A text that isn't too long and holds nothing unseen."""
    if len(text) > length:
        raise BadInput(field, text, f"is {len(text):,} characters long. Write at most {length:,}.")
    if CONTROL.search(text):
        raise BadInput(field, CONTROL.sub("?", text), "holds signs that can't be seen. Write letters.")
    return text.strip()


def tank(entry: Entry, room: Room) -> None:
    """A tank's name is its own, and its sizes can be those of a tank.

    Raises
    ------
    BadInput
        One, or several together.
    """
    assert isinstance(entry, TankAdded)
    faults = [*_taken(entry.thing, room), *_sizes(entry.thing)]
    gathered(faults)


def _taken(thing: Tank, room: Room) -> list[BadInput]:
    same = [t for t in room.tanks.values() if t.name.casefold() == thing.name.casefold() and t.id != thing.id]
    return [BadInput("name", thing.name, "is the name of a tank already. Write another.")] if same else []


def _sizes(thing: Tank) -> list[BadInput]:
    faults = []
    sized = any(getattr(thing, name) is not None for name in FLOOR)
    if sized and thing.fill_cm is None and thing.volume_l is None:
        told = "is missing: how high is the water over the inside floor? Or write volume, if you know it."
        faults.append(BadInput("fill", "", told))
    if thing.fill_cm is not None and thing.height_cm is not None and thing.fill_cm > thing.height_cm:
        told = f"can't be right: the tank is {thing.height_cm:g} cm high."
        faults.append(BadInput("fill", f"{thing.fill_cm:g} cm", told))
    try:
        porosity(thing.grain)
        if sized:
            volume_of(thing)
    except BadInput as fault:
        faults.append(fault)
    return faults


def supply(entry: Entry, room: Room) -> None:
    """A packet's name is its own.

    Raises
    ------
    BadInput
        If another is called so.
    """
    assert isinstance(entry, SupplyAdded)
    thing = entry.thing
    if any(s.name.casefold() == thing.name.casefold() and s.id != thing.id for s in room.shelf.values()):
        raise BadInput("name", thing.name, "is on the shelf already. Write another name.")


def packet(word: str, supply: str, room: Room) -> None:
    """What became of a packet can have become of it.

    Raises
    ------
    BadInput
        If it is used up or thrown away already.
    """
    gone = room.shelf[supply].gone
    if gone and word != "bought":
        name = room.shelf[supply].name
        raise BadInput(
            "supply", name, f"is {gone.replace('_', ' ')} already. Write that you bought it again."
        )


def course_closed(entry: Entry, begun: datetime, when: str = "") -> None:
    """How a course ended can have been so.

    Raises
    ------
    BadInput
        If it ended before it began, or is told as cleared while signs of it are told too.
    """
    assert isinstance(entry, CourseClosed)
    if entry.at < begun:
        raise BadInput("when", when, "lies before this course was begun.")
    if entry.outcome == "cleared" and entry.seen:
        told = "can't be while signs are still seen. Write better, or leave the signs out."
        raise BadInput("outcome", "cleared", told)


def corrected(entry: Entry, room: Room) -> None:
    """What was put right fits together as if it were written now.

    Raises
    ------
    BadInput
        One, or several together.
    """
    if isinstance(entry, TankAdded):
        tank(entry, room)
    elif isinstance(entry, SupplyAdded):
        supply(entry, room)
    elif isinstance(entry, CourseClosed):
        begun = next((e.at for e in room.log if e.id == entry.course), entry.at)
        course_closed(entry, begun)
    else:
        happened(entry, room)


# What hardly any tank with animals in it shows: a slip of the pen is likelier [our own choice].
HARDLY: dict[str, tuple[float, float, str]] = {
    "ph": (3.5, 10.5, ""), "temp_c": (4.0, 38.0, " °C"), "ammonia_n": (0.0, 20.0, " mg/L"),
    "nitrite_n": (0.0, 50.0, " mg/L"), "nitrate_n": (0.0, 1000.0, " mg/L"), "oxygen": (0.0, 25.0, " mg/L"),
}  # fmt: skip


def hardly(entry: Entry) -> None:
    """A reading that can hardly be is asked back: it is kept once a note says how it is known.

    Raises
    ------
    BadInput
        One, or several together.
    """
    if not isinstance(entry, ReadingTaken) or entry.where != "tank" or entry.note:
        return
    faults = []
    for r in entry.values:
        low, high, unit = HARDLY.get(r.quantity, (r.value, r.value, ""))
        if not low <= r.value <= high:
            accepted = (
                f"can hardly be in a tank: {low:g} to {high:g}{unit} is the most that is seen. "
                "Read it again; if it is so, say in the note how you know."
            )
            faults.append(BadInput(BY_QUANTITY[r.quantity], f"{r.value:g}{unit}", accepted))
    gathered(faults)


def happened(entry: Entry, room: Room) -> None:
    """What was logged can have happened.

    Raises
    ------
    BadInput
        If it says nothing, or contradicts itself or the room.
    """
    if isinstance(entry, Look):
        _look(entry)
    elif isinstance(entry, ReadingTaken) and not entry.values:
        raise BadInput("reading", "", "says nothing. Write what you read, like ammonia=0.25mg/L ph=7.4.")
    elif isinstance(entry, JarTrial) and not entry.conc_mg_l:
        raise BadInput("jar", "", "does not say what was in the water. Write it like copper=0.15mg/L.")
    elif isinstance(entry, NetfulWeighed):
        _netful(entry, room)
    elif isinstance(entry, Done):
        _done(entry, room)


def gone(entry: Entry, room: Room) -> None:
    """No more have died or left than live there; the dead that were told of before may come out too.

    Raises
    ------
    BadInput
        Asking back: the number of the dead, or the count before, is not right.
    """
    taken = entry.act if isinstance(entry, Done) and isinstance(entry.act, Remove) else entry
    if not isinstance(taken, Death | Remove | NotFound):
        return
    group = room.stock.get(taken.stock)
    bodies = room.bodies.get(taken.stock, 0) if isinstance(taken, Remove) else 0
    if group and taken.number > group.number.high + bodies:
        told = (
            f"is more than the {group.number.value + bodies:g} {group.name} written down here. If there were "
            "more, write down how many there were first (counted), then this."
        )
        raise BadInput("number", f"{taken.number:g}", told)


def _netful(entry: NetfulWeighed, room: Room) -> None:
    group = room.stock.get(entry.stock)
    if group and entry.number > group.number.high:
        told = f"is more than live there: {group.number.value:g}. Count them first."
        raise BadInput("number", f"{entry.number:g}", told)


def _look(entry: Look) -> None:
    twice = (set(entry.seen) & set(entry.absent)) | (set(entry.unsure) & {*entry.seen, *entry.absent})
    if twice:
        raise BadInput("seen", ", ".join(sorted(twice)), "is told in two ways. Write it once.")
    blank = Look(**{f: getattr(entry, f) for f in Entry.__struct_fields__})
    if entry == blank and not entry.note:
        raise BadInput("look", "", "says nothing. Write seen=…, not-seen=… or well=yes.")


def _done(entry: Done, room: Room) -> None:
    act = entry.act
    if isinstance(act, Apart):
        group = room.stock.get(act.stock)
        if group and not act.out and act.stock not in room.apart and not entry.step:
            raise BadInput("out", "no", f"can't be: {group.name} is in no tub that is written down.")
    if isinstance(act, Move):
        group = room.stock.get(act.stock)
        if act.to == entry.tank:
            raise BadInput("to", act.to, "is where they are. Write another tank.")
        if group and act.number is not None and act.number > group.number.high:
            told = f"is more than live there: {group.number.value:g}. Count them first."
            raise BadInput("number", f"{act.number:g}", told)
    if isinstance(act, Dose) and act.supply and act.units is None and not act.actives and not entry.note:
        told = "is missing: how many? If nobody knows, write units=dont-know and a note."
        raise BadInput("units", "", told)
