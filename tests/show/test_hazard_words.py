"""Hazards to people: codes of a safety sheet are never printed, and never left out."""

import re

from tankward.knowledge.loader import load
from tankward.show.words.hazard import plain_hazard
from tankward.show.words.steps import hazard_words


def test_codes_are_read_out() -> None:
    assert plain_hazard("H301 H351") == "toxic if swallowed; suspected of causing cancer"
    assert (
        plain_hazard("none at 3; H318 H302 above 8")
        == "none at 3; damages the eyes; harmful if swallowed above 8"
    )
    assert plain_hazard("H412 or not classed") == "harms life in water for long or not classed"


def test_rule_29_no_code_of_the_facts_reaches_a_screen() -> None:
    rows = load().hygiene.human_safety
    told = [hazard_words((row,)) for row in rows]
    assert len(rows) > 15
    assert not [text for text in told if re.search(r"H\d{3}", text)]
    hazardous = [row for row in rows if row.hazard not in ("", "none")]
    assert all(len(hazard_words((row,))) > len(row.protect) for row in hazardous)
