"""The page of the next ten minutes: short commands, the act in hand, its amount, its question."""

from __future__ import annotations

from collections.abc import Mapping

from tankward.judge.urgent import Ask, Urgent, UrgentStep
from tankward.room.things import Kit

from .acts import ended, listed, upper
from .judge import step_head
from .kit import hose_said
from .lowering import lowering_says, share_words
from .mend_around import plain_said

AIRLESS = frozenset({"gasping_surface", "low_oxygen", "on_side"})
HEADS: Mapping[str, str] = {
    "air": "Air, full on.",
    "stop": "Nothing more goes in.",
    "carbon": "Fresh carbon into the filter.",
    "dim": "Lights down.",
}
SOFT: Mapping[str, str] = {
    "air": "Lift the outlet: it should splash.",
    "stop": "No medicine, no food, no salt.",
    "dim": "Calm fish need less oxygen.",
}
QUESTIONS: Mapping[str, str] = {
    "untreated_tap": "Fresh tap water today, perhaps without dechlorinator?",
    "old_tank": "Last big change over two months ago?",
}
COMMANDS = "Air now. Nothing more goes in."


def flag(urgent: Urgent, name: str) -> str:
    """What is wrong, beside the mark."""
    who = name or "They"
    short = "are short of air" if not name else "is short of air"
    needs = "need you now" if not name else "needs you now"
    return f"{who} {short if AIRLESS & set(urgent.because) or not urgent.because else needs}"


def act_head(step: UrgentStep) -> str:
    """One act, verb first, with its amount."""
    amount = step.amount
    if step.act == "change" and amount is not None and "every" not in amount.says:
        return f"{amount.shown} out, {amount.shown} in."
    if step.act == "fill" and amount is not None:
        return f"{amount.shown} in, slowly."
    return HEADS.get(step.act) or ended(step_head(step))


def act_soft(step: UrgentStep, temp_shown: str = "", kit: Kit | None = None) -> str:
    """How, and what to mind; new water in minutes of the keeper's hose where it was timed."""
    plain = plain_said(step)
    if plain or step.act in SOFT:
        return plain.soft if plain else SOFT[step.act]
    parts = [step.why, step.caution]
    if step.act == "change":
        warm = f"The tank has {temp_shown}" if temp_shown else ""
        again = f"again every {step.again_h[0]:g} to {step.again_h[1]:g} hours" if step.again_h else ""
        hose = hose_of(step, kit) if kit else ""
        parts = [part_of(step), hose, step.caution, warm, again, step.why]
    if step.unless:
        parts.append(f"not if {listed([u.replace('_', ' ') for u in step.unless], 'or')} went in")
    return " ".join(ended(upper(p)) for p in parts if p)


def act_below(step: UrgentStep) -> str:
    """What stands in a line of its own: what to mind where half of the water goes (safety rule 21)."""
    return lowering_says(step.share) if step.act == "change" else ""


def hose_of(step: UrgentStep, kit: Kit) -> str:
    """The new water of a change as time of the keeper's hose; "" where either is not known."""
    return hose_said(_litres(step), kit) if step.act == "change" else ""


def _litres(step: UrgentStep) -> float:
    """New water of a change; 0 where the tank's litres are not known."""
    known = step.amount is not None and "every" not in step.amount.says
    return (step.amount.value or 0.0) if known and step.amount is not None else 0.0


def part_of(step: UrgentStep) -> str:
    """How much of the water is changed; "" where the head says it."""
    amount = step.amount
    in_head = amount is None or "every" in amount.says or step.share is None
    return "" if in_head else f"{share_words(step.share or 0.0)} of the water"


def question(ask: Ask) -> str:
    """A question of one touch."""
    return QUESTIONS.get(ask.id, ask.says)


def never_line(urgent: Urgent) -> str:
    """What must not be done now, once."""
    return f"Not now: {', '.join(urgent.never)}." if urgent.never else ""
