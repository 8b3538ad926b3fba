"""Writes docs/thin.md: the judged numbers that the forecast rests on, and how far each moves what it says.

`python scripts/thin.py` works it out anew (two or three minutes). Each number goes from its 5th to its 95th
centile while all others stay in the middle.
"""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from scripts.thinness import looks, organisms, waters  # noqa: E402
from scripts.thinness.lanes import judged  # noqa: E402
from tankward.knowledge.known import Facts  # noqa: E402
from tankward.knowledge.loader import load  # noqa: E402

PAGE = ROOT / "docs" / "thin.md"
HEAD = """# What the forecast rests on, and how thinly

This page is made by `scripts/thin.py`. Most numbers about organisms, and many about tanks, were judged by the
compiler of the facts and not measured (`memory`). Here each of them goes alone from its 5th to its 95th
centile, all others in the middle, in a tank of 60 L with 24 fish of a gram at 25 °C. What moves much is worth
measuring first.

**{rows} judged numbers of organisms, {kills} substances against them, {water} numbers of tanks and effect
words, {losses} of how fast substances go, {kits} of kits.** "Gone" is the chance that the organism is gone by
day 28 with the usual course that its file names (for what lives in every tank: that no fish is ill); "left"
is how many times as many are left then at the high end as at the low one. Another substance is given on the
days of the usual course, at the level of its row. What hardly moves either is listed below each table.

"""


def counted(facts: Facts) -> dict[str, int]:
    """How many numbers were judged."""
    words = (*facts.filter_effects.values(), *facts.oxygen_effects.values())
    losses = [getattr(s.loss, part) for s in facts.substances.values() if s.loss for part in waters.PARTS]
    kits = [row for kit in facts.kits.values() for row in (kit.error, kit.lot)]
    every = facts.organisms.values()
    return {
        "rows": sum(len(organisms.numbers_of(o)) + len(organisms.seen_of(o)) for o in every),
        "kills": sum(len(organisms.kills_of(o)) for o in every),
        "water": sum(map(judged, (*facts.tank.values(), *words))),
        "losses": sum(map(judged, losses)),
        "kits": sum(map(judged, kits)),
    }


def main() -> int:
    """Write the page."""
    facts = load()
    parts = [HEAD.format(**counted(facts)), *waters.tank_section(facts)]
    parts += [*waters.loss_section(facts), *waters.kit_section(facts)]
    parts += looks.look_section(facts)
    for organism in sorted(facts.organisms.values(), key=lambda o: o.id):
        parts += organisms.section(facts, organism)
    PAGE.write_text("\n".join(parts).rstrip() + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
