"""An entry of the logbook as a row: what happened, and the line under it."""

from __future__ import annotations

from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, share, shown
from tankward.room.acts import (
    AnyAct,
    Apart,
    Change,
    Clean,
    Dose,
    Media,
    Move,
    Remove,
    Siphon,
    Transfer,
)
from tankward.room.entries.acts import CourseBegun, CourseStopped, Done, StepSkipped
from tankward.room.entries.animals import Counted, Death, JarTrial, NetfulWeighed, StockAdded
from tankward.room.entries.base import Entry, title
from tankward.room.entries.ends import CourseClosed
from tankward.room.entries.looks import Look
from tankward.room.entries.missing import NotFound
from tankward.room.entries.notes import Note
from tankward.room.entries.packets import BoughtAgain, ThrownAway, UsedUp
from tankward.room.entries.photos import PhotoAdded, PhotoRemoved
from tankward.room.entries.shelf import HoseTimed, KitChanged, SpoonWeighed, SupplyAdded
from tankward.room.entries.tanks import TankAdded, WaterMeasured
from tankward.room.entries.water import BY_QUANTITY, MEASURED, ReadingTaken
from tankward.room.holds import water_of
from tankward.room.replay import Room
from tankward.room.things import Reading

from .acts import act_head, ended, listed, lowered, part_words, substance_words, upper
from .after import closed_row
from .breathing import beats_words
from .kit import kit_name, minutes_said, trial_words
from .room import count
from .signs import sign_words


def entry_row(entry: Entry, room: Room, facts: Facts) -> tuple[str, str]:
    """Head and soft line of an entry."""
    head, soft = _row(entry, room, facts)
    told = " ".join(t for t in (soft, "" if entry.sure == "sure" else f"({entry.sure})") if t)
    said = " ".join(t for t in (entry.note[:200], entry.who) if t)
    return head, f"{ended(told)} {said}" if told and said else told or said


def entry_words(entry: Entry, room: Room, facts: Facts) -> str:
    """An entry in one line: "half of the water changed, 25 °C, dechlorinated"."""
    head, soft = _row(entry, room, facts)
    return "; ".join(w.rstrip(".") for w in (head, soft[:1].lower() + soft[1:]) if w)


def _row(entry: Entry, room: Room, facts: Facts) -> tuple[str, str]:
    match entry:
        case ReadingTaken():
            where = "Tap water tested" if entry.where == "tap" else "Water tested"
            return where, listed([reading_words(r) for r in entry.values])
        case Look():
            return _look(entry, facts)
        case Done():
            head, soft = done_words(entry.act, room, facts)
            apart = entry.tub and not isinstance(entry.act, Apart | Transfer)
            return (f"In the tub: {lowered(head)}" if apart else head), soft
        case Death():
            who = room.stock[entry.stock].name if entry.stock in room.stock else ""
            out = {True: "taken out", False: "still in", None: ""}[entry.taken_out]
            return f"{entry.number} found dead", ", ".join(w for w in (who, out) if w)
        case NotFound():
            who = room.stock[entry.stock].name if entry.stock in room.stock else entry.stock
            return f"{entry.number} missing and not found", who
        case Counted():
            who = room.stock[entry.stock].name if entry.stock in room.stock else entry.stock
            return "Heads counted", f"{count(entry.number)} {who}"
        case StockAdded():
            return _stock(entry, room)
        case Note():
            return "Note", entry.text[:200]
        case WaterMeasured():
            return "Water measured", ", ".join(
                w for w in (shown(entry.volume_l.value, "L"), entry.measured) if w
            )
        case TankAdded():
            water = water_of(entry.thing, room)
            return f"Tank described: {entry.thing.name}", water.shown if water.value is not None else ""
        case SupplyAdded():
            return "Put on the shelf", entry.thing.name
        case UsedUp() | BoughtAgain() | ThrownAway():
            name = room.shelf[entry.supply].name if entry.supply in room.shelf else entry.supply
            number = getattr(entry, "number", None)
            what = {UsedUp: "Used up", BoughtAgain: "Bought again", ThrownAway: "Thrown away"}[type(entry)]
            return f"{what}: {name}", "" if number is None else plain_number(number)
        case KitChanged():
            return "What you measure with", ""
        case SpoonWeighed():
            powder = substance_words({entry.powder: 1.0}, facts)
            together = f"{plain_number(entry.spoons)} level: {shown(entry.mass_g, 'g')} of {powder}"
            return f"Spoon weighed: {entry.spoon}", together
        case HoseTimed():
            return "Hose timed", f"{shown(entry.volume_l, 'L')} in {minutes_said(entry.minutes)}"
        case NetfulWeighed():
            who = room.stock[entry.stock].name if entry.stock in room.stock else entry.stock
            return "A netful weighed", f"{plain_number(entry.number)} {who}: {shown(entry.mass_g, 'g')}"
        case JarTrial():
            return "Tried in a jar", trial_words(entry, facts)
        case CourseBegun():
            return "Course begun", entry.name
        case PhotoAdded():
            return "Photo", entry.shows
        case PhotoRemoved():
            return "A photo removed for good", ""
        case CourseClosed():
            return closed_row(entry, facts)
        case CourseStopped() | StepSkipped():
            return title(type(entry)), entry.why
    return title(type(entry)), ""


def reading_words(r: Reading) -> str:
    """One value as it was read: "nitrite 0 mg/L as N"."""
    key = BY_QUANTITY.get(r.quantity, r.quantity)
    row = MEASURED.get(key)
    if row is None:
        return f"{key} {plain_number(r.value)}"
    unit = f"{row.unit} as {row.of}" if row.of else row.unit or r.quantity
    value = shown(r.value, "pH" if unit == "ph" else unit)
    name = {"ph": "", "temp": ""}.get(key, f"{row.says} ")
    by = f" ({kit_name(r.kit)})" if r.kit and not r.kit.endswith("_drops") else ""
    if key == "ph":
        return f"pH {value.removesuffix(' pH')}{by}"
    return f"{name[:1].lower()}{name[1:]}{value}{by}"


def _stock(entry: StockAdded, room: Room) -> tuple[str, str]:
    """Newcomers; a group that was there before was described anew, mostly because it grew."""
    thing = entry.thing
    before = any(
        isinstance(e, StockAdded) and e.thing.id == thing.id and (e.at, e.id) < (entry.at, entry.id)
        for e in room.log
    )
    long = shown(thing.length_cm.value, "cm") if before and thing.length_cm else ""
    told = f"{count(thing.number)} {thing.name}"
    return "Described anew" if before else "Moved in", ", ".join(w for w in (told, long) if w)


EATING = {"yes": "Eating.", "less": "Eating less.", "no": "Not eating."}


def _counted(entry: Look, facts: Facts) -> str:
    """Parasites counted on them, and germs in a field of the microscope."""
    names = {v.id: v.name for v in facts.hygiene.view}
    on_them = [f"{plain_number(n)} {sign_words(s, facts)}" for s, n in entry.parasites.items()]
    in_field = [f"{plain_number(n)} {names.get(g, g)}" for g, n in entry.in_field.items()]
    return " ".join(
        x for x in (
            f"Counted on them: {listed(on_them)}." if on_them else "",
            f"In one field of the microscope: {listed(in_field)}." if in_field else "",
        ) if x
    )  # fmt: skip


def _look(entry: Look, facts: Facts) -> tuple[str, str]:
    seen = [
        sign_words(s, facts) + (f" ({plain_number(entry.counts[s])} counted)" if s in entry.counts else "")
        for s in entry.seen
    ]
    absent = [sign_words(s, facts) for s in entry.absent]
    told = " ".join(
        x for x in (
            f"Not there: {listed(absent)}." if absent else "",
            f"{plain_number(entry.looked_at)} looked at." if entry.looked_at else "",
            f"Belly {entry.belly} of 5." if entry.belly is not None else "",
            EATING.get(entry.eating, ""),
            beats_words(entry.gill_beats_per_min, entry.gill_beats_well_per_min),
            _counted(entry, facts),
        ) if x
    )  # fmt: skip
    if seen:
        return upper(listed(seen)), told
    odd = entry.well is False and not absent
    return ("All well" if entry.well else "Looks odd" if odd else "Looked at"), told


def done_words(act: AnyAct, room: Room, facts: Facts) -> tuple[str, str]:
    """An act that was done."""
    match act:
        case Dose():
            amounts = listed([shown(mg, "mg") for mg in act.actives.values()])
            return f"Given: {substance_words(act.actives, facts)}", act.measured or amounts
        case Change():
            told = {True: "dechlorinated", False: "not dechlorinated", None: ""}[act.dechlorinated]
            warm = shown(act.temp_c, "C") if act.temp_c is not None else ""
            part = upper(part_words(act.share))
            return f"{part} of the water changed", ", ".join(w for w in (warm, told) if w)
        case Siphon():
            return f"Siphoned: {share(act.floor_share)} of the floor", ""
        case Media():
            name = {"activated_carbon": "Carbon"}.get(act.medium, upper(act.medium.replace("_", " ")))
            return f"{name} {'put in' if act.into else 'taken out'}", ""
        case Clean():
            return f"Cleaned: {act.what}", act.how
        case Move():
            return "Moved", f"to {room.tanks[act.to].name if act.to in room.tanks else act.to}"
        case Apart():
            who = room.stock[act.stock].name if act.stock in room.stock else "Fish"
            return f"{upper(who)} {'into a tub' if act.out else 'out of the tub'}", ""
        case Transfer():
            return "Fish into a clean tub", shown(act.volume_l, "L") if act.volume_l else ""
        case Remove():
            return f"{plain_number(act.number)} taken out", act.why
    return act_head(act, facts), ""
