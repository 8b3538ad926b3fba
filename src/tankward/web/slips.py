"""What is asked about a slip: choices, fields, and the fields of a dose that is not written down yet."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

import msgspec

from tankward.desk.slips import NEW, open_steps, recent_changes, recent_doses
from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.room.acts import Change
from tankward.room.entries.acts import Done
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.show.words.acts import step_head
from tankward.show.words.days import clock, day_said
from tankward.show.words.log import done_words

from .fields import Shown

SHOWN = 6  # recent doses to choose from
LIES = (("no", "No, it is out"), ("yes", "Yes"))
YES_NO = (("no", "No, it is still in"), ("yes", "Yes"))
OFF = (("all", "All of it"), ("filter", "The filter alone"), ("heater", "The heater alone"))
WHEN = ("when", "When? Nothing: now.", "like yesterday evening, 18:30, 2 hours ago")


class Choice(msgspec.Struct, frozen=True, kw_only=True):
    """A question with its answers one under another."""

    name: str
    title: str
    answers: tuple[tuple[str, str], ...]
    chosen: str


def dose_words(entry: Done, room: Room, now: datetime, zone: str, facts: Facts) -> str:
    """A dose to choose: "yesterday, 18:30: 1.5 sachets, metronidazole and praziquantel"."""
    head, soft = done_words(entry.act, room, facts)
    tank = room.tanks[entry.tank].name if entry.tank in room.tanks else ""
    told = [w for w in (head.removeprefix("Given: "), soft) if w]
    return f"{tank}, {day_said(entry.at, now, zone)} {clock(entry.at, zone)}: {', '.join(told)}"


class Asking(msgspec.Struct, frozen=True, kw_only=True):
    """What the questions of a slip are made of."""

    room: Room
    tank: Tank
    now: datetime
    zone: str
    typed: Mapping[str, str]
    faults: Mapping[str, str]

    def field(self, name: str, label: str, hint: str = "") -> Shown:
        return Shown(name=name, label=label, hint=hint, value=self.typed.get(name, ""),
                     error=self.faults.get(name, ""))  # fmt: skip

    def choose(self, name: str, label: str, choices: tuple[tuple[str, str], ...], first: str = "") -> Shown:
        return Shown(name=name, label=label, choices=choices, value=self.typed.get(name, first),
                     error=self.faults.get(name, ""))  # fmt: skip

    def choice(self, name: str, title: str, answers: tuple[tuple[str, str], ...], first: str = "") -> Choice:
        return Choice(name=name, title=title, answers=answers, chosen=self.typed.get(name, first))

    def doses(self, tanks: tuple[str, ...]) -> Choice:
        facts = load()
        found = [e for t in tanks for e in recent_doses(self.room, t, self.now, facts)]
        found = sorted(found, key=lambda e: e.at, reverse=True)[:SHOWN]
        rows = tuple((e.id, dose_words(e, self.room, self.now, self.zone, facts)) for e in found)
        first = rows[0][0] if len(rows) == 1 else "" if rows else NEW
        return self.choice("dose", "Which dose?", (*rows, (NEW, "One that is not written down yet")), first)

    def unwritten(self) -> list[Shown]:
        shelf = tuple((s.id, s.name) for s in self.room.shelf.values())
        return [
            self.choose("supply", "From which packet?", (("", "From none"), *shelf)),
            self.field("units", "How many of its units?", "like 1.5; nothing: not known"),
            self.field("substance", "Or which substance?", "like salt, praziquantel"),
            self.field("mass", "How much of it?", "like 200 mg, 3 g"),
        ]


Asked = tuple[list[Choice], list[Shown], list[Shown]]


def asked(slip: str, ask: Asking) -> Asked:
    """Choices, fields, and the fields of a dose that is not written down yet."""
    when = ask.field(*WHEN)
    if slip in ("too-much", "too-little"):
        return _amount(slip, ask, when)
    if slip == "wrong-tank":
        every = tuple((t.id, t.name) for t in ask.room.tanks.values())
        into = ask.choose("into", "Into which tank did it really go?", every, ask.tank.id)
        return [ask.doses(tuple(ask.room.tanks))], [into, when], ask.unwritten()
    if slip in ("forgot-one", "no-change"):
        return _forgotten(slip, ask), [when], []
    if slip == "carbon-in":
        return _carbon(ask)
    if slip == "no-flow":
        long = ask.field("hours", "For how long?", "like 6 h, or still off. Nothing: not known")
        return [ask.choice("off", "What was off?", OFF, "all")], [long, when], []
    if slip == "little-water":
        return [], [ask.field("share", "How much of the water went?", "like 80 %, a half, 20 L"), when], []
    if slip in ("untreated-tap", "big-change"):
        return _change(slip, ask, when)
    return [], [*_around(slip, ask), when], []


def _amount(slip: str, ask: Asking, when: Shown) -> Asked:
    """Which dose, and how much of it really went in."""
    doses = ask.doses((ask.tank.id,))
    if slip == "too-little":
        much = ask.field(
            "amount", "How much really went in?", "like half a sachet, 0.5 times, 100 mg, nothing"
        )
        return [doses], [much, when], ask.unwritten()
    how = (("twice", "It went in twice"), ("more", "More went in than it says"))
    much = ask.field("amount", "How much really went in, if it was more?", "like 2 times, 2 sachets, 200 mg")
    return [doses, ask.choice("how", "What about it?", how)], [much, when], ask.unwritten()


def _around(slip: str, ask: Asking) -> list[Shown]:
    """The fields of what is no dose and no change."""
    if slip in ("too-warm", "too-cold"):
        return [ask.field("temp", "What does the thermometer show?", "like 31 C, 88 F. Nothing: not known")]
    if slip == "newcomer":
        kind = ask.field("kind", "Which animal is it?", "like 2 guppies, amano shrimp, unknown")
        return [kind, ask.field("name", "What do you call it?", "nothing: as the kind is called")]
    if slip == "not-eaten":
        eaten = ask.field("eaten", "How much of it did they eat?", "like a third, 20 %. Nothing: none of it")
        return [eaten, ask.choose("left", "Does the rest still lie there?", LIES, "no")]
    return [ask.field("text", "In your own words", "like heater stuck, two hours without air")]


def _forgotten(slip: str, ask: Asking) -> list[Choice]:
    steps = open_steps(ask.room, ask.tank.id, ask.now, ask.zone, load())
    steps = tuple(s for s in steps if slip != "no-change" or isinstance(s.act, Change))
    if not steps:
        return []
    rows = tuple(
        (s.id, f"{day_said(s.at, ask.now, ask.zone)} {clock(s.at, ask.zone)}: {step_head(s, load())}")
        for s in steps
    )
    how = (
        ("not-yet", "Not given yet"),
        ("late", "Given late, at the time below"),
        ("leave", "It is left out"),
    )
    return [
        ask.choice("step", "Which one?", rows, rows[0][0] if len(rows) == 1 else ""),
        ask.choice("how", "And now?", how),
    ]


def _carbon(ask: Asking) -> tuple[list[Choice], list[Shown], list[Shown]]:
    media = tuple((s.id, s.names[0]) for s in load().substances.values() if s.kind == "filter medium")
    which = ask.choose("medium", "What was in?", media, "activated_carbon")
    since = ask.field("since", "Since when?", "like Tuesday 18:30, 2 days ago. Nothing: now")
    out = ask.field("when", "When did it come out? Nothing: just now.")
    return [ask.choice("out", "Is it out again?", YES_NO)], [which, since, out], []


def _change(slip: str, ask: Asking, when: Shown) -> Asked:
    """Which change, and how much of the water."""
    changes = recent_changes(ask.room, ask.tank.id, ask.now)[:SHOWN]
    rows = tuple((e.id, dose_words(e, ask.room, ask.now, ask.zone, load())) for e in changes)
    choices = [ask.choice("change", "Which change?", (*rows, (NEW, "One that is not written down yet")), "")]
    hint = "like 30 %, a half" if slip == "untreated-tap" else "like 80 %, three quarters, 30 L"
    label = (
        "How much of the water, if it is not written down?" if slip == "untreated-tap" else "How much of it?"
    )
    return choices if rows else [], [ask.field("share", label, hint), when], []
