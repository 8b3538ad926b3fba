"""Writes docs/validation.md and its pictures: the organism model against published experiments.

`python scripts/validate.py` runs every experiment that the model can represent, a few minutes; `--check` only
says whether the page was made from the facts of today.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from scripts.validation import page as p
from scripts.validation.pictures import drawn
from scripts.validation.settings import AS_IT_IS, as_it_is
from scripts.validation.verdict import experiments


def main(words: list[str]) -> int:
    """Write the page, or say whether it is of today."""
    facts = p.facts_now()
    if "--check" in words:
        same = p.PAGE.exists() and p.stamp(facts) in p.PAGE.read_text(encoding="utf-8")
        sys.stdout.write(
            "docs/validation.md is up to date\n" if same else "docs/validation.md: run make validate\n"
        )
        return 0 if same else 1
    told = [run(as_it_is()) for run in p.RUNS.values()]
    wrong = p.others(told)
    p.PAGE.write_text(p.page(told, wrong, facts), encoding="utf-8")
    p.PICTURES.mkdir(exist_ok=True)
    for one in told:
        if one.picture:
            svg = drawn(one.picture, experiments()[one.id]["title"])
            (p.PICTURES / f"{one.id}.svg").write_text(svg, encoding="utf-8")
    inside, all_, whole, of = p.score(told)
    worse = ", ".join(f"{name} {p.score(made)[0]}" for name, made in wrong.items() if name != AS_IT_IS)
    sys.stdout.write(
        f"{inside} of {all_} independent findings inside; {whole} of {of} independent experiments "
        "in every finding. "
        f"Made wrong on purpose: {worse}.\n"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
