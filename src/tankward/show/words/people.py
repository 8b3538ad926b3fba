"""What is asked of the people near before formalin (rule 30), the answers as stated; a sore (rule 31)."""

from __future__ import annotations

from collections.abc import Iterable

from tankward.judge.conditions import People
from tankward.knowledge.known import Facts

from .acts import listed

PEOPLE_ASKED = {
    "expert": "Have you handled formalin before?",
    "sensitised": "Does anybody here react to formaldehyde?",
    "pregnant_or_children": "Are pregnant people or children near?",
    "window": "Is there a window that opens?",
    "goggles": "Do you have goggles and gloves?",
}
SORE = (
    "A sore on you that does not heal, weeks after hands in a tank: see a doctor and tell them that you keep "
    "fish. Nothing here says what it is."
)
HANDS = "For this tank gloves over any cut, and never suck a hose to start it."
STATED = {
    ("expert", True): "you have handled it before",
    ("sensitised", False): "nobody here reacts to formaldehyde",
    ("pregnant_or_children", False): "no pregnant people or children are near",
    ("window", True): "a window opens",
    ("goggles", True): "goggles and gloves are there",
}


def sore_lines(causes: Iterable[str], facts: Facts) -> list[str]:
    """What protects the keeper where a cause asked about may reach people: never a diagnosis (rule 31)."""
    hits = any(facts.causes[c].human_hazard.startswith("yes") for c in causes if c in facts.causes)
    return [SORE, HANDS] if hits else []


def people_lines(people: People | None) -> list[str]:
    """The answers under which it was let through, as one line; none where nothing was asked."""
    told = [says for (field, answer), says in STATED.items() if getattr(people, field, None) is answer]
    return [f"Formalin: as you stated, {listed(told)}."] if told else []
