"""Writes docs/trust.md from the printed figures that the tests hold our functions against.

`python scripts/trust.py` writes the page; `--check` only says whether it is up to date.
"""

from __future__ import annotations

import ast
import sys
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from tankward.knowledge.loader import load as load_facts  # noqa: E402
from tests.published import dose_map, husbandry_map, water_map  # noqa: E402
from tests.published.checks import FILES, Check, load, not_run  # noqa: E402

PAGE = ROOT / "docs" / "trust.md"
LIBRARIES = ROOT / "tests" / "published" / "test_against_libraries.py"
MAPS = {"water": water_map.MAP, "dose": dose_map.MAP, "husbandry": husbandry_map.MAP}
KEY = {"water": "quantity", "dose": "quantity", "husbandry": "id"}
ABSOLUTE = {"ph_at_pco2", "ph_after_acid_closed", "pk1_carbonic"}  # logarithms: a share of them means nothing
PLAIN = {
    "nh3_fraction": "the poisonous share of ammonia",
    "do_saturation": "oxygen that water holds",
    "co2_from_alkalinity": "carbon dioxide from pH and alkalinity",
    "co2_from_bicarbonate": "carbon dioxide from pH and bicarbonate",
    "pk1_carbonic": "first constant of carbonic acid",
    "hardness_to_mg_l_caco3": "units of hardness",
    "ph_at_pco2": "pH of aerated water",
    "ph_after_acid_closed": "pH after acid without air",
    "f_to_c": "degrees",
    "conductivity_factor_to_25c": "conductivity at another warmth",
}
KINDS = {
    "published": "printed in a paper, a manual or a standard",
    "library": "computed by a program that others wrote",
    "arithmetic": "worked out by hand from the same equation, which guards against slips and proves no more",
}

HEAD = """# Should you trust it?

This page is made by `scripts/trust.py` from the figures in `tests/published/`; every run of the tests works
them out again and fails if one drifts. It says what agrees with what others have printed, how closely, what
does not, and what nobody has measured.

**{run} of {total} figures are run: {kinds}.**

A figure that comes out shows that the formula was taken over rightly. It does not show that the formula fits
*your* tank: a test kit is off by a fifth, a tape measure by two per cent, and a length tells a fish's weight
to a factor of two. Those ranges stand with every answer.

"Farthest off" is the greatest distance of ours from the printed figure, as a share of it. Much of it is the
rounding of the print.
"""


def evidence(check: Check) -> str:
    if check.evidence:
        return check.evidence
    return "published" if check.status == "published-read" else "arithmetic"


def distance(check: Check) -> float:
    """How far ours is from the printed figure: as a share of it, or in the unit for logarithms."""
    ours = np.asarray(MAPS[check.file][getattr(check, KEY[check.file])](check.inputs), dtype=float)
    printed = np.asarray(check.expected, dtype=float)
    off = np.abs(ours - printed)
    return float(np.max(off if check.quantity in ABSOLUTE else off / np.abs(printed)))


def shown(checks: list[Check]) -> str:
    worst = max(distance(c) for c in checks)
    if checks[0].quantity in ABSOLUTE:
        return f"{worst:.3f}"
    return f"{100 * worst:.2g} %" if worst >= 5e-6 else "nothing"


def grouped(checks: Iterable[Check]) -> dict[str, list[Check]]:
    groups: dict[str, list[Check]] = {}
    for check in checks:
        name = PLAIN.get(check.quantity, check.quantity.replace("_", " "))
        groups.setdefault(name, []).append(check)
    return groups


def table(title: str, checks: list[Check]) -> str:
    """What others confirm, row by row; what only our own arithmetic does, in one line."""
    outside = grouped(c for c in checks if evidence(c) != "arithmetic")
    rows = [
        f"| {name} | {len(group)} | {shown(group)} | {', '.join(sorted({c.source for c in group}))} |"
        for name, group in outside.items()
    ]
    own = ", ".join(name for name in grouped(checks) if name not in outside)
    head = ["| what | figures | farthest off | sources |", "| --- | ---: | ---: | --- |"]
    return "\n".join([f"### {title}", "", *head, *rows, "", f"By arithmetic alone: {own}."])


def libraries() -> str:
    """What is held against programs of others, in the words of the tests themselves."""
    tree = ast.parse(LIBRARIES.read_text(encoding="utf-8"))
    tests = [n for n in tree.body if isinstance(n, ast.FunctionDef) and n.name.startswith("test_")]
    told = [(t.name.removeprefix("test_").replace("_", " "), ast.get_docstring(t)) for t in tests]
    return "\n".join(f"- {name}" + (f". {words}" if words else "") for name, words in told)


def left_out(checks: list[Check]) -> str:
    reasons = not_run()
    lines = [f"- `{c.id}` ({c.source}): {reasons[c.id]}" for c in checks if c.id in reasons]
    return "\n".join(
        [*lines, *(f"- `{c.id}` ({c.source}) differs: {c.differs}" for c in checks if c.differs)]
    )


def disagreements() -> str:
    """Where sources contradict each other, and which is used."""
    water = load_facts().water
    return "\n".join(f"- {c.one}; against that: {c.other}. Used: {c.use}." for c in water.contradiction)


def gaps() -> str:
    return "\n".join(f"- {g.statement}" for g in load_facts().water.gap)


def page() -> str:
    checks = [c for file in FILES for c in load(file)]
    run = [c for c in checks if c.id not in not_run()]
    counted = Counter(evidence(c) for c in run)
    kinds = "; ".join(f"{counted[k]} {words}" for k, words in KINDS.items())
    titles = {"water": "Water and volume", "dose": "Doses", "husbandry": "Food, spoons and animals"}
    tables = [table(titles[file], [c for c in run if c.file == file]) for file in FILES]
    parts = [
        HEAD.format(run=len(run), total=len(checks), kinds=kinds),
        "## What agrees, and how closely\n",
        "\n\n".join(tables),
        "\n## Against programs of others\n",
        libraries(),
        "\n## What is not run, and what differs\n",
        left_out(checks),
        "\n## Where the sources contradict each other\n",
        disagreements(),
        "\n## What nobody has measured, or we could not read\n",
        gaps(),
    ]
    return "\n".join(parts) + "\n"


def main(words: list[str]) -> int:
    text = page()
    if "--check" in words:
        same = PAGE.exists() and PAGE.read_text(encoding="utf-8") == text
        sys.stdout.write("docs/trust.md is up to date\n" if same else "docs/trust.md: run scripts/trust.py\n")
        return 0 if same else 1
    PAGE.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
