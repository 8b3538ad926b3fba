"""One touch that tells a slip to the end, in words; and the groups in which the touches stand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, shown
from tankward.room.acts import Dose
from tankward.room.entries.acts import Done
from tankward.room.replay import Room
from tankward.treat.amounts.dosing import product_shown
from tankward.treat.mend.touch import Touch

from .acts import ended, listed, part_words, step_head
from .days import clock, day_said


class TouchSaid(msgspec.Struct, frozen=True, kw_only=True):
    """A button: its words, and a line under them."""

    words: str
    soft: str = ""


class Group(msgspec.Struct, frozen=True, kw_only=True):
    """Touches that answer one question; `slip` leads to its form."""

    slip: str
    head: str
    soft: str
    touches: tuple[Touch, ...]


class Told(msgspec.Struct, frozen=True, kw_only=True):
    """What the words are made with."""

    room: Room
    facts: Facts
    now: datetime
    zone: str

    def when(self, at: datetime) -> str:
        return f"{day_said(at, self.now, self.zone)} {clock(at, self.zone)}"


SHARES = {0.25: "A quarter", 0.5: "Half", 0.66: "Two thirds", 0.75: "Three quarters", 0.95: "Nearly all"}
CUTS = {"still": "Still off", "1 h": "1 hour", "3 h": "3 hours", "8 h": "8 hours"}
STEPS = {"not-yet": "Not given yet", "late": "Given, just now", "leave": "Leave it out"}
CHANGES = {"not-yet": "Still to do", "late": "Done, just now", "leave": "Leave it out"}
DOSES = {
    "twice": "It went in twice",
    "as-written": "As it is written down",
    "ten": "Ten times as much",
    "tablespoon": "A tablespoon for a teaspoon",
    "teaspoon-ml": "A teaspoon for a millilitre",
    "imperial": "For imperial gallons, not US",
    "gram": "Grams for milligrams",
    "half": "About half of it went in",
    "quarter": "A quarter of it went in",
    "tenth": "A tenth of it went in",
    "teaspoon": "A teaspoon for a tablespoon",
    "us": "For US gallons, not imperial",
    "nothing": "None of it went in",
}
MEALS = {
    "all": "All of it; it is out",
    "half": "About half; the rest is out",
    "lies-there": "It still lies there",
    "note": "They spat it out",
}


def touch_said(t: Touch, c: Told) -> TouchSaid:
    """The words of a touch."""
    words = SLIPS.get(t.slip)
    return words(t, c) if words is not None else TouchSaid(words=t.kind)


def _dose(t: Touch, c: Told) -> TouchSaid:
    """Twice, more or less of the last dose, with what that comes to."""
    assert t.dose is not None
    if t.kind == "whole":
        unit = _unit(t.dose, c)
        return TouchSaid(words=f"A whole {unit}", soft="one for so many litres, taken as one for the tank")
    factor = {"twice": 2.0, "as-written": 1.0}.get(t.kind, t.value or 0.0)
    soft = f"{amount_said(t.dose, c, factor)}{' in all' if t.kind == 'twice' else ''}" if factor else ""
    return TouchSaid(words=DOSES[t.kind], soft=soft)


def _unit(dose: Done, c: Told) -> str:
    act = dose.act
    assert isinstance(act, Dose)
    packet = c.room.shelf.get(act.supply)
    return packet.unit if packet is not None else "packet"


def amount_said(dose: Done, c: Told, factor: float = 1.0) -> str:
    """So many times a dose: in packets where it came from one, else of its actives."""
    act = dose.act
    assert isinstance(act, Dose)
    packet = c.room.shelf.get(act.supply)
    if packet is not None and act.units:
        return packets_said(act.units * factor, packet.unit)
    return listed([f"{shown(mg * factor, 'mg')} {_name(s, c)}" for s, mg in act.actives.items()])


def packets_said(count: float, unit: str) -> str:
    """So many of a packet's own unit: 1.5 sachets, 90 mg of what is counted in grams."""
    if unit == "g":
        return shown(count * 1000.0, "mg")
    return shown(count / 1000.0, "L") if unit in ("mL", "ml") else product_shown(count, unit)


def _name(substance: str, c: Told) -> str:
    known = c.facts.substances.get(substance)
    return known.names[0] if known else substance.replace("_", " ")


def dose_line(dose: Done, c: Told) -> str:
    """ "T7, today 18:30: 1.5 sachets, metronidazole"."""
    act = dose.act
    assert isinstance(act, Dose)
    tank = c.room.tanks[dose.tank].name if dose.tank in c.room.tanks else dose.tank
    names = listed([_name(s, c) for s in act.actives])
    packet = bool(act.units and act.supply in c.room.shelf)
    amount = f"{amount_said(dose, c)}, {names}" if packet else amount_said(dose, c)
    return f"{tank}, {c.when(dose.at)}: {amount}"


def _wrong_tank(t: Touch, c: Told) -> TouchSaid:
    name = c.room.tanks[t.tank].name
    if t.kind == "went-there" or t.dose is None:
        return TouchSaid(words=name)
    return TouchSaid(words=f"{name}'s, of {c.when(t.dose.at)}", soft=amount_said(t.dose, c))


def _share(t: Touch, c: Told) -> TouchSaid:
    if t.kind == "that-change" and t.change is not None:
        share = getattr(t.change.act, "share", 0.0)
        return TouchSaid(words=f"The one of {c.when(t.change.at)}", soft=f"{part_words(share)} of the water")
    return TouchSaid(words=SHARES.get(t.value or 0.0, plain_number(t.value or 0.0)))


def _degrees(t: Touch, c: Told) -> TouchSaid:
    value = t.value or 0.0
    if t.kind == "new-water":
        return TouchSaid(words=f"{value:g} °C")
    if t.kind == "not-known":
        return TouchSaid(words="I don't know how " + ("warm" if t.slip == "too-warm" else "cold"))
    return TouchSaid(words=f"{value:g} °C")


def _newcomer(t: Touch, c: Told) -> TouchSaid:
    return TouchSaid(words=f"One of the {t.stock.name}") if t.stock else TouchSaid(words="Another kind")


def _carbon(t: Touch, c: Told) -> TouchSaid:
    return TouchSaid(words="It is out, just now" if t.kind == "out-yes" else "It is still in")


SLIPS: dict[str, Callable[[Touch, Told], TouchSaid]] = {
    "too-much": _dose, "too-little": _dose, "wrong-tank": _wrong_tank,
    "forgot-one": lambda t, c: TouchSaid(words=STEPS[t.kind]),
    "no-change": lambda t, c: TouchSaid(words=CHANGES[t.kind]),
    "carbon-in": _carbon, "untreated-tap": _share, "little-water": _share, "big-change": _share,
    "no-flow": lambda t, c: TouchSaid(words=CUTS[t.texts["hours"]]),
    "too-warm": _degrees, "too-cold": _degrees, "newcomer": _newcomer,
    "not-eaten": lambda t, c: TouchSaid(words=MEALS[t.kind]),
}  # fmt: skip

# Under "Something else", what harms soonest first: slip, the kinds of its touches, head, the line below.
ELSE: tuple[tuple[str, tuple[str, ...], str, str], ...] = (
    ("untreated-tap", ("that-change", "share"), "Tap water without dechlorinator", "how much of the water?"),
    ("no-flow", ("all",), "Power cut", "since when, or how long was it?"),
    ("no-flow", ("filter",), "The filter stood still", "since when, or how long was it?"),
    ("little-water", ("share",), "Water ran out", "how much of it?"),
    ("too-warm", ("heater", "not-known"), "The heater stuck", "how warm is it now, about?"),
    ("too-cold", ("heater", "not-known"), "The heater gave up", "how cold is it now, about?"),
    ("big-change", ("share",), "Water change too large", "how much of the water?"),
    ("too-cold", ("new-water",), "The new water was too cold", "by how much, against the tank?"),
    ("too-warm", ("new-water",), "The new water was too warm", "by how much, against the tank?"),
    ("no-change", ("not-yet", "late", "leave"), "Water change forgotten", ""),
    ("newcomer", ("same", "other"), "A new animal came in", "which one?"),
    ("not-eaten", ("all", "half", "lies-there", "note"), "They spat out the food", "how much of it?"),
)


def groups_of(slip: str, found: Sequence[Touch], c: Told) -> list[Group]:
    """The touches of the page of a slip, in groups; of "something else", of all that stand behind it."""
    if slip == "something-else":
        made = [
            Group(
                slip=s,
                head=head,
                soft=soft,
                touches=tuple(t for t in found if (t.slip, t.kind) in {(s, k) for k in kinds}),
            )
            for s, kinds, head, soft in ELSE
        ]
        return [_with_change(g, c) for g in made if g.touches]
    if slip in GROUPED:
        return GROUPED[slip](found, c)
    return [_with_change(g, c) for g in _plain(slip, found)]


def _of_kinds(found: Sequence[Touch], slip: str, kinds: Sequence[str]) -> tuple[Touch, ...]:
    return tuple(t for t in found if t.slip == slip and t.kind in kinds)


def _plain(slip: str, found: Sequence[Touch]) -> list[Group]:
    """As under "Something else", one slip alone."""
    made = [(head, soft, _of_kinds(found, s, kinds)) for s, kinds, head, soft in ELSE if s == slip]
    return [Group(slip=slip, head=head, soft=soft, touches=t) for head, soft, t in made if t]


def _with_change(g: Group, c: Told) -> Group:
    """Of a change that is written down: which one it is."""
    change = next((t.change for t in g.touches if t.change and t.kind != "that-change"), None)
    step = next((t.step for t in g.touches if t.step), None)
    if change is not None:
        return msgspec.structs.replace(g, soft=f"the one of {c.when(change.at)}: {g.soft}")
    if step is not None:
        return msgspec.structs.replace(g, soft=f"planned for {c.when(step.at)}")
    return g


def _of_dose(found: Sequence[Touch], c: Told) -> list[Group]:
    more = tuple(t for t in found if t.slip == "too-much")
    less = tuple(t for t in found if t.slip == "too-little")
    if not more or more[0].dose is None:
        return []
    line = dose_line(more[0].dose, c)
    return [
        Group(slip="too-much", head="Too much", soft=f"{line}.", touches=more),
        Group(slip="too-little", head="Too little", soft="of the same dose", touches=less),
    ]


def _of_steps(found: Sequence[Touch], c: Told) -> list[Group]:
    mine = [t for t in found if t.slip == "forgot-one" and t.step is not None]
    steps = {t.step.id: t.step for t in mine if t.step}
    return [
        Group(
            slip="forgot-one",
            head=ended(step_head(step, c.facts)),
            soft=f"planned for {c.when(step.at)}",
            touches=tuple(t for t in mine if t.step and t.step.id == step.id),
        )
        for step in steps.values()
    ]


def _of_tanks(found: Sequence[Touch], c: Told) -> list[Group]:
    went = tuple(t for t in found if t.slip == "wrong-tank" and t.kind == "went-there")
    came = tuple(t for t in found if t.slip == "wrong-tank" and t.kind == "came-here")
    groups = []
    if went and went[0].dose is not None:
        line = dose_line(went[0].dose, c)
        groups.append(Group(slip="wrong-tank", head="It really went into", soft=f"{line}.", touches=went))
    if came:
        soft = "a dose that is written down for another tank"
        groups.append(
            Group(slip="wrong-tank", head="Another tank's dose came in here", soft=soft, touches=came)
        )
    return groups


def _of_carbon(found: Sequence[Touch], c: Told) -> list[Group]:
    mine = tuple(t for t in found if t.slip == "carbon-in")
    one = mine[0]
    since = "counted from now on"
    if one.since is not None:
        since = f"in since {c.when(one.since)}, as the log has it"
    elif one.dose is not None:
        since = f"counted from the last dose on, {c.when(one.dose.at)}"
    return [Group(slip="carbon-in", head="Carbon", soft=since, touches=mine)]


GROUPED: dict[str, Callable[[Sequence[Touch], Told], list[Group]]] = {
    "too-much": _of_dose, "too-little": _of_dose, "forgot-one": _of_steps, "wrong-tank": _of_tanks,
    "carbon-in": _of_carbon,
}  # fmt: skip
