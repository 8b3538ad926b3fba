"""Whether a verdict on a course is as sure as it says, on few outbreaks; what the page must hold."""

import re
from pathlib import Path

import numpy as np
import pytest

from scripts.calibration_page import limit
from scripts.calibration_progress import (
    EARLY,
    KINDS,
    LATE,
    PAGE,
    PICTURE,
    askings,
    fast_truth,
    prior_of_page,
    truth_of,
    world_of,
)
from scripts.calibration_progress_page import (
    MOST_WRONG,
    Asking,
    bins,
    distances,
    drawn,
    failing,
    page,
    wilson,
    wrong_helping,
    wrong_not,
)
from tankward.judge.hypotheses import MOVED, SAID_HELPING, SAID_NOT
from tankward.model.run import warm
from tests.model.tanks import FACTS

FLUKES = KINDS[0]
MANY = 60
LOOSER = 0.12  # of 30 outbreaks; the page holds MOST_WRONG of some 500


@pytest.fixture(scope="module")
def world():
    warm(wait=True)
    return world_of(FLUKES, FACTS)


@pytest.mark.slow
def test_few_verdicts_are_wrong_and_counts_lie_where_they_were_expected(world):
    found = list(askings(world, truth_of(world, FACTS), FACTS, MANY))
    assert wrong_helping(found) <= LOOSER
    assert wrong_not(found) <= LOOSER
    far = distances(found)
    assert max(far.values()) <= limit(len(far))
    assert all(b.holds for b in bins(found))
    bites, not_ = ([a.helping for a in found if a.bites is so] for so in (True, False))
    assert np.mean(bites) > np.mean(not_) + 0.1  # it tells something


@pytest.mark.slow
def test_outbreaks_that_grow_far_faster_show(world):
    """Of those in which too little is done more is counted than was expected."""
    fast = list(askings(world, fast_truth(world, FACTS), FACTS, MANY))
    ranks = [a.rank for a in fast if a.truth in ("weak", "idle")]
    assert np.mean(ranks) > 0.55


def test_half_a_quarter_and_a_quarter():
    prior = prior_of_page(0.6)
    assert (prior.helping, prior.too_little, prior.other) == pytest.approx((0.5, 0.25, 0.25))
    assert prior.weak / prior.idle == pytest.approx(0.8 * 0.4 / 0.2)


def asking(truth, helping, rank, said=""):
    return Asking(kind="a", truth=truth, helping=helping, rank=rank, said=said)


def good(number=400):
    """Stated chances that hold, ranks that are even, no verdict wrong."""
    rows, rng = [], np.random.default_rng(3)
    for n in range(number):
        bites = n % 2 == 0
        chance = float(rng.choice([0.05, 0.5, 0.95], p=[0.05, 0.5, 0.45] if bites else [0.45, 0.5, 0.05]))
        truth = "bites" if bites else ("idle", "other")[n // 2 % 2]
        said = {0.95: "helping", 0.05: "not-helping"}.get(chance, "") if (chance > 0.5) is bites else ""
        rows.append(
            asking(truth, chance if chance == 0.5 else 0.1 if chance < 0.5 else 0.9, rng.random(), said)
        )
    return rows


def test_what_is_as_it_must_be_passes_and_each_fault_is_named():
    rows = good()
    assert failing(rows) == []
    lied = [asking(r.truth, r.helping, r.rank, "helping") for r in rows]
    assert "A" in failing(lied)
    assert "B" in failing([asking(r.truth, r.helping, r.rank, "not-helping") for r in rows])
    assert failing([asking(r.truth, min(r.helping + 0.3, 1.0), r.rank, r.said) for r in rows]) == ["C"]
    assert failing([asking(r.truth, r.helping, r.rank**3, r.said) for r in rows]) == ["D"]


def test_the_page_says_so_when_it_is_not_as_it_must_be():
    rows = good()
    wrong = [asking(r.truth, r.helping, r.rank**3, r.said) for r in rows]
    text, right = page(rows, wrong, rows[:20], PICTURE)
    assert right
    assert "**As it must be**: as it is, A to D hold; where it grows twice as fast, D fails." in text
    for as_it_is, fast in ((rows, rows), (wrong, wrong)):
        text, right = page(as_it_is, fast, [], PICTURE)
        assert not right
        assert "**NOT as it must be**" in text
    assert drawn(rows).count("<circle") == len(bins(rows))


def test_bounds_are_those_of_wilson():
    """Wilson (1927) at 95 %, 8 of 10: 0.490 to 0.943 (as printed by many; worked out anew by hand)."""
    low, high = wilson(8, 10, z=1.96)
    assert (low, high) == pytest.approx((0.4902, 0.9433), abs=5e-4)
    assert wilson(0, 5)[0] == pytest.approx(0.0, abs=1e-12)


def test_the_page_that_is_kept_was_made_of_these_choices_and_holds():
    text = PAGE.read_text(encoding="utf-8")
    assert "**As it must be**" in text
    number = int(re.search(r"([\d,]+) outbreaks were invented", text)[1].replace(",", ""))
    assert number > 1000
    for kind in KINDS:
        assert f"- {kind.name}" in text
    plain = " ".join(text.split())
    assert f"From {SAID_HELPING.value} up it says" in plain
    assert f'up to {SAID_NOT.value} "not helping"' in plain
    assert f"that way by {MOVED.value:g} times" in plain
    assert f"in at most {round(100 * MOST_WRONG)} %" in plain
    assert (Path(PAGE).parent / PICTURE).read_text(encoding="utf-8").startswith("<svg")
    assert len(EARLY) == 3
    assert len(LATE) == 4
