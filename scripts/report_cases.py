"""Writes docs/cases.md: published case reports against the list of causes and the options. `make cases`."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from scripts.reports.evidence import MISSED
from scripts.reports.page import all_told, page
from tankward.judge.network_of import network_of
from tankward.knowledge.loader import load

PAGE = Path(__file__).parents[1] / "docs" / "cases.md"


def main() -> None:
    facts = load()
    PAGE.write_text(page(all_told(network_of(facts), facts), MISSED))
    print(PAGE.relative_to(Path.cwd()) if PAGE.is_relative_to(Path.cwd()) else PAGE)


if __name__ == "__main__":
    main()
