"""Sentences of a sheet for a sitter, who knows neither the fish nor the words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from tankward.judge.urgent import Urgent, UrgentStep
from tankward.room.time import local

from .acts import ended, upper
from .judge import step_head
from .lowering import lowering_short
from .steps import PLAIN, STOP_SIGNS

RULES = (
    "Only what stands here, at its time. Tick it when it is done.",
    "Put nothing else into the tank. No extra food.",
    "Never give a dose twice, and never two at once.",
)
STOP = f"{STOP_SIGNS} Then nothing more goes in. Ring us."
SHEET_OF = ("Sheet", "of")
RING = ("Ring first:", "Then:")
GASPING = "Gasping at the surface, lying on its side, or several dead"
TWICE = "A dose went in twice, or more than stands here"
DEAD = "A dead one"
FORGOTTEN = "A step was forgotten"
FORGOTTEN_DO = (
    "A dose: give it now, unless the next one is nearer than the last. Then leave it out. "
    "Never two at once. Anything else: do it now."
)
DEAD_DO = f"Out at once with this tank's own net. {PLAIN['dead-out'][0]}"
NOT_BACK = "Nothing is put back in this course. Had you to change water: write down how much, and ring us."
TAP = "If tap water went in today without dechlorinator, or you don't know:"
OLD = "If the last big change is over two months ago: only 15 to 20 %, and again every 2 to 3 hours."


def sheet_title(tank: str, course: str) -> str:
    """T1: praziquantel in the tank."""
    return f"{tank}: {course}"


def date_said(at: datetime, zone: str) -> str:
    """Thu 14 May: with the day of the week, without the year."""
    there = local(at, zone)
    return f"{there:%a} {there.day} {there:%B}"


def period(first: datetime, last: datetime, zone: str) -> str:
    """From the first to the last step."""
    ends = date_said(first, zone), date_said(last, zone)
    return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"


def urgent_do(urgent: Urgent) -> tuple[str, ...]:
    """The acts in their order, each with what decides whether it is done."""
    return tuple(_do(step) for step in urgent.steps if step.act != "look")


def _do(step: UrgentStep) -> str:
    asks = step.ask.id if step.ask is not None else ""
    told = [TAP] if asks == "untreated_tap" else []
    told.append(ended(step_head(step)))
    if step.act == "change" and step.caution:
        told.append(ended(step.caution))
    if step.act == "change":
        told += [short] if (short := lowering_short(step.share)) else []
    if step.again_h:
        told.append(f"Again every {step.again_h[0]:g} to {step.again_h[1]:g} hours.")
    elif asks == "old_tank":
        told.append(OLD)
    return " ".join(told)


def never_words(urgent: Urgent) -> str:
    """What must not be done, whatever is seen."""
    return f"Never: {', '.join(urgent.never)}." if urgent.never else ""


def printed_line(about: str, now: datetime, zone: str, entries: int, state: str) -> str:
    """What it is about, when it was printed, from which state of the logbook."""
    there = local(now, zone)
    when = f"{there:%a} {there.day} {there:%b %Y}, {there:%H:%M}"
    return f"{ended(about)} Printed {when}. Logbook: {entries} entries, state {state}."


def version_line(program: str, facts: str, invented: str) -> str:
    """Which program and which facts."""
    return " ".join(t for t in (f"Tankward {program}, facts {facts}.", ended(invented)) if t)


def for_what(causes: Sequence[str]) -> str:
    """What it is against, as far as it was said."""
    return upper("; ".join(causes)) if causes else "Not written down"
