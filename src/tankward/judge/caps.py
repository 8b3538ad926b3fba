"""Caps that a rule of the trade sets for a kind of fish, whatever was recommended for others."""

from __future__ import annotations

import re

from tankward.knowledge.known import Facts

from .figures import level_in

CONDITION = "condition:"
ALSO_CALLED = {"characins": "tetra", "labyrinth fish": "labyrinth", "suckermouth catfish": "loricariid"}


def groups_in(condition: str, facts: Facts) -> set[str]:
    """Groups of animals that a condition names: "condition:characins, corydoras, loaches, killifish"."""
    words = {w.strip() for w in re.split(r",| and | or ", condition.removeprefix(CONDITION).lower())}
    named = {g.id for g in facts.groups.values() if g.id in words or g.name.lower() in words}
    return named | {group for word, group in ALSO_CALLED.items() if word in words}


def group_cap(substance: str, group: str, facts: Facts) -> float | None:
    """Highest level for a group that a rule names together with a level, in the substance's own unit."""
    for pair in facts.tables.pair:
        if pair.a != substance or not pair.b.startswith(CONDITION) or group not in groups_in(pair.b, facts):
            continue
        found = re.search(r"(\d+(?:\.\d+)?) (mg/L|g/L|uL/L)", pair.order)
        if found:
            return level_in(float(found[1]), found[2], "", facts.substances[substance])
        if pair.rule == "never":
            return 0.0
    return None
