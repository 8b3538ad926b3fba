"""What the pages about a course ask: another start or packet, the people near, the way from a refusal."""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import urlencode

import msgspec

from tankward.desk.courses import Wanted
from tankward.quantities.faults import BadInput, Reason
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.show.words.people import PEOPLE_ASKED

from .fields import Shown

YES_NO = (("", "Don't know"), ("yes", "Yes"), ("no", "No"))


class Change(msgspec.Struct, frozen=True, kw_only=True):
    """The small form that asks for the same course otherwise."""

    action: str
    hidden: list[tuple[str, str]]
    fields: list[Shown]
    button: str


def wanted_of(query: Mapping[str, str]) -> Wanted:
    """What an address or a form asks for; names that are not known are left out."""
    known = {n: str(query[n]) for n in Wanted.__struct_fields__ if query.get(n)}
    return Wanted(**({"substance": "", "route": ""} | known))


def pairs_of(wanted: Wanted, without: tuple[str, ...] = ()) -> list[tuple[str, str]]:
    """The same as names and values."""
    return [(k, v) for k, v in msgspec.structs.asdict(wanted).items() if v and k not in without]


OF_REMEDY = {
    "fish_out": (
        ("tub", "How much water in each tub?", "like 15 L; nothing: what so many fish want"),
        ("every", "How often can you move them?", "like 8 h or 12 h; never: they stay in one tub"),
        ("days", "For how long without fish?", "like 14 days; nothing: what it takes at this warmth"),
    ),
    "daily_siphon": (
        ("change", "How much of the water each day?", "like 20 %"),
        ("days", "For how many days?", "like 10 days"),
    ),
    "wait_and_count": (("days", "Count again after how long?", "like 7 days"),),
}


def change_form(
    tank: Tank,
    room: Room,
    wanted: Wanted,
    substances: set[str],
    fault: BadInput | None,
    *,
    remedy: str = "",
) -> Change:
    """Another start, another packet, the label's own rule; of a remedy without medicine its days and tub."""
    fields = [
        Shown(
            name="start",
            label="Start at another time",
            hint="like tomorrow 19:00, or in 2 hours; nothing: within your hours",
            value=wanted.start,
            error=str(fault) if fault is not None and fault.field == "start" else "",
        )
    ]
    fields += [
        Shown(
            name=name, label=label, hint=hint, value=getattr(wanted, name),
            error=str(fault) if fault is not None and fault.field == name else "",
        )
        for name, label, hint in OF_REMEDY.get(remedy, ())
    ]  # fmt: skip
    asked = [f.name for f in fields]
    shelf = [(s.id, s.name) for s in room.shelf.values() if {a.substance for a in s.actives} & substances]
    if shelf:
        fields.append(
            Shown(name="supply", label="From which packet?", value=wanted.supply,
                  choices=(("", "The one that fits best"), *shelf))
        )  # fmt: skip
        fields.append(
            Shown(name="label", label="By the label's own rule?", value=wanted.label,
                  choices=(("", "No, by what is published"), ("yes", "Yes, judged")))
        )  # fmt: skip
    return Change(
        action=f"/tanks/{tank.id}/course",
        hidden=pairs_of(wanted, (*asked, "supply", "label") if shelf else tuple(asked)),
        fields=fields,
        button="Work it out again",
    )


def people_form(tank: Tank, wanted: Wanted, reasons: tuple[Reason, ...]) -> Change | None:
    """The conditions that a hazard to people asks for."""
    if not any(r.kind.startswith("people-unknown") for r in reasons):
        return None
    fields = [
        Shown(name=name, label=says, value=getattr(wanted, name), choices=YES_NO)
        for name, says in PEOPLE_ASKED.items()
    ]
    return Change(
        action=f"/tanks/{tank.id}/course", hidden=pairs_of(wanted, tuple(PEOPLE_ASKED)), fields=fields,
        button="Ask again with this",
    )  # fmt: skip


def ways_of(tank: Tank, wanted: Wanted, reasons: tuple[Reason, ...]) -> list[tuple[str, str]]:
    """Where to go from a refusal."""
    ways = []
    if any("fry" in r.would_change for r in reasons):
        gone = msgspec.structs.replace(wanted, gone="fry")
        ways.append(("There are no fry in it", f"/tanks/{tank.id}/course?{urlencode(pairs_of(gone))}"))
    if any(r.kind == "use-vet" for r in reasons):
        ways.append(("Say on the shelf that you hold it lawfully", "/shelf"))
    if any("read" in r.would_change for r in reasons):
        ways.append(("Write down a reading", f"/tanks/{tank.id}/log/reading"))
    if any("tub" in r.would_change for r in reasons):
        ways.append(("Work out a tub for them, or for the sick", f"/tanks/{tank.id}/tub"))
    if wanted.cause:
        other = urlencode({"cause": wanted.cause})
        ways.append(("What else can be done", f"/tanks/{tank.id}/options?{other}"))
    return [*ways, ("Back to the tank", f"/tanks/{tank.id}")]
