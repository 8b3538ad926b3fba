"""What is asked of the people near before formalin (rule 30), and the answers as a statement."""

from __future__ import annotations

from tankward.judge.conditions import People

from .acts import listed

PEOPLE_ASKED = {
    "expert": "Have you handled formalin before?",
    "sensitised": "Does anybody here react to formaldehyde?",
    "pregnant_or_children": "Are pregnant people or children near?",
    "window": "Is there a window that opens?",
    "goggles": "Do you have goggles and gloves?",
}
STATED = {
    ("expert", True): "you have handled it before",
    ("sensitised", False): "nobody here reacts to formaldehyde",
    ("pregnant_or_children", False): "no pregnant people or children are near",
    ("window", True): "a window opens",
    ("goggles", True): "goggles and gloves are there",
}


def people_lines(people: People | None) -> list[str]:
    """The answers under which it was let through, as one line; none where nothing was asked."""
    told = [says for (field, answer), says in STATED.items() if getattr(people, field, None) is answer]
    return [f"Formalin: as you stated, {listed(told)}."] if told else []
