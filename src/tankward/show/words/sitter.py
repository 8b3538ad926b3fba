"""The sitter's sheet in words: what is done each day, what waits for the keeper, what to do if late."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from tankward.room.acts import Apart, Bath, Change, Dose, Heat, Media, Siphon, Transfer
from tankward.treat.course.for_sitter import SitterStep

from .acts import ended, listed, upper

RULES = (
    "Only the bag with today's date. No more, even if they beg.",
    "This tank's own net and hose. Then wash hands.",
    "Put nothing else into the tank.",
)
WHYS = {
    "timed": "fish are handled by the clock",
    "first": "the first dose is given by somebody who knows them, and watches",
    "soon": "what follows comes within a day, and can't be late",
    "people": "it is dangerous to people",
    "warmth": "the heater stays as it is",
    "reading": "it hangs on a test of the water",
    "with": "it belongs to a dose that waits",
    "ours": "we judge it",
}
BAG = "This day's bag, into the tank"
BAGS = {
    "dose": BAG,
    "put-back": BAG,
    "dechlorinate": "Dechlorinator: this day's, into the bucket",
}
BAGS_HEAD = "Before you go: measure and mark"
BAG_OF = "For {day}, {at}"
WAIT_HEAD = "Not for the sitter: wait for us"
EVERY_DAY = (
    ("Bubbles, and the heater is on", ""),
    ("Food: the bag with today's date", ""),
)
LATE_ANY = "Late? All but a bag of medicine: do it when you come."
GASPING = "Gasping, or on its side"
GASP_DO = "Its air full open: splash. Nothing more goes in."
NO_AIR = ("No bubbles", "Blower plugged in? Else stir the water by hand.", "at once")
DEAD = ("A dead one", "Own net. Bag, label, fridge: not the freezer.", "by evening")
TWICE = ("A bag went in twice", "Nothing more goes in. Its air full open.", "at once")
FORGOT = ("You forgot a day", "Food: nothing extra. Medicine: as it says above.", "by evening")


def count_head(groups: Sequence[str]) -> str:
    """How many there are, to be counted."""
    return f"Count them: {listed(groups)}" if groups else "Look at them for a minute"


def row_head(steps: Sequence[SitterStep]) -> str:
    """One kind of step over all its days."""
    first = steps[0]
    if isinstance(first.step.act, Dose) and first.kind in BAGS:
        return BAGS[first.kind]
    said = {s.step.says for s in steps}
    return ended(first.step.says).removesuffix(".") if len(said) == 1 else upper(first.kind.replace("-", " "))


def late_words(steps: Sequence[SitterStep]) -> str:
    """How late it may be."""
    if not isinstance(steps[0].step.act, Dose) or steps[0].kind == "dechlorinate":
        return ""
    spans = [s.late_until - s.step.at for s in steps if s.late_until is not None]
    if not spans:
        return "Late: give it when you come. Never two."
    hours = int(min(spans) / timedelta(hours=1))
    return f"Up to {hours} hours late: give it. Later: leave it out and ring us. Never two."


def wait_words(whys: Iterable[str]) -> str:
    """The mark of a step that is not a sitter's, on a sheet that has every step."""
    own = [w for w in whys if w != "with"] or list(whys)
    return f"Not for a sitter: wait for us. {why_words(own)}"


def why_words(whys: Iterable[str]) -> str:
    """Why a step waits for the keeper."""
    return f"{upper(listed([WHYS[w] for w in dict.fromkeys(whys)]))}."


PARTS = (
    (Bath, "the bath"), (Change, "the change of water"), (Dose, "the medicine"), (Heat, "the heater"),
    (Apart, "moving fish"), (Transfer, "moving fish"), (Siphon, "the floor"), (Media, "carbon"),
)  # fmt: skip


def wait_head(steps: Sequence[SitterStep]) -> str:
    """What waits, without amounts: nobody is to measure it from this sheet."""
    acts = [s.step.act for s in steps]
    named = [word for kind, word in PARTS if any(isinstance(a, kind) for a in acts)]
    return upper(listed(named) or "looking, and judging what is seen")


def days_said(days: Sequence[date]) -> str:
    """Thu 3, Sun 6 December."""
    days = sorted(set(days))
    last = days[-1]
    return ", ".join([*(f"{d:%a} {d.day}" for d in days[:-1]), day_said(last)])


def day_said(day: date) -> str:
    """Fri 15 May."""
    return f"{day:%a} {day.day} {day:%B}"


def span_said(first: date, last: date) -> str:
    return day_said(first) if first == last else f"{day_said(first)} to {day_said(last)}"


def ticks_head(many: int) -> str:
    """Five ticks a day."""
    words = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten")
    count = words[many] if many < len(words) else str(many)
    return f"{count} tick{'' if many == 1 else 's'} a day at most"
