"""Against the packet: no course that is shown is worse in all; what the letter of a label breaks is said.

All packets in all tanks: docs/plan.md (`make plans`).
"""

import re
import tomllib
from functools import cache
from pathlib import Path

import pytest

from scripts.planning import cases, page
from scripts.planning.asked import ENUMERATED, FRESH
from scripts.planning.measure import NAMES
from scripts.planning.packets import beaten, compared
from tankward.model.run import warm
from tankward.treat.planner.front import measures
from tests.treat.planner.test_enumerated import score
from tests.treat.tanks import FACTS

ROOT = Path(__file__).parents[3]


@cache
def told(name, cause):
    warm(wait=True)
    case, room = next(c for c in cases.cases(FACTS) if (c[0].name, c[0].problem.name) == (name, cause))
    return compared(case, FACTS, room)


CHOSEN = [("story, T7", "hexamita"), ("story, T8", "gill_flukes"), ("label, D", "camallanus")]


@pytest.mark.slow
@pytest.mark.parametrize("case", CHOSEN, ids=lambda c: ", ".join(c))
def test_no_course_that_is_shown_is_worse_than_the_packet(case):
    found = told(*case)
    assert found.shown
    assert found.packets
    assert found.worse == 0
    assert all(s.sound for s in found.shown)
    for n in range(len(NAMES)):
        best = min(measures(s)[n] for s in found.shown)
        sound = [measures(s)[n] for s in found.packets if s.sound]
        assert n != 0 or all(best <= left + 0.01 for left in sound)


@pytest.mark.slow
def test_the_sachet_by_its_letter_climbs_over_what_shrimp_bear():
    """Story 3: 200 mg a sachet, put in whole every 48 h after half a change, tends to twice the dose."""
    letter = told("story, T7", "hexamita").letter
    assert any(not x.holds and x.about == "metronidazole" for x in letter.lines)


def test_worse_in_all_is_noticed():
    good = score(0.2, days=10, minutes=100)
    assert beaten(score(0.3, days=11, minutes=120), good)
    assert not beaten(score(0.3, days=9, minutes=120), good)
    assert not beaten(good, good)
    assert not beaten(score(0.2001, days=10, minutes=100), good)


def test_every_invented_label_is_compared_or_its_reason_is_there():
    rows = tomllib.loads((ROOT / "tests" / "data" / "labels.toml").read_text(encoding="utf-8"))["label"]
    assert {r["id"] for r in rows} == {*cases.LABELS, *cases.NOT_COMPARED}


def written():
    return page.PAGE.read_text(encoding="utf-8")


def test_the_page_is_of_this_planner():
    assert page.stamp() in written(), "run make plans"


def test_the_page_says_what_was_found():
    near, of, fresh, of_fresh, more, worse = re.search(
        r"front on (\d+) of (\d+) problems, and on (\d+) of (\d+) fresh ones"
        r".*?at most ([\d.]+)% more.*?packets (\d+) are worse",
        written(),
        re.DOTALL,
    ).groups()
    assert near == of == str(len(ENUMERATED))
    assert fresh == of_fresh == str(len(FRESH))
    assert float(more) < 100 * page.BEATEN
    assert worse == "0"
    for case, _ in cases.cases(FACTS):
        assert f"| {case.name} | {case.problem.name.replace('_', ' ')} | {case.supply} |" in written()
