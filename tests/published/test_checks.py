"""Every printed figure that can be computed here, one test each; the source stands in the test's name."""

from __future__ import annotations

import numpy as np
import pytest

from tests.published import dose_map, husbandry_map, water_map
from tests.published.checks import FILES, Check, load, not_run, off_by

MAPS = {"water": water_map.MAP, "dose": dose_map.MAP, "husbandry": husbandry_map.MAP}
KEY = {"water": "quantity", "dose": "quantity", "husbandry": "id"}
REASONS = not_run()
ALL = [check for file in FILES for check in load(file)]
RUN = [check for check in ALL if check.id not in REASONS]
LEAST_RUN = 360


def found(check: Check) -> float:
    """What we make of the inputs of a check."""
    return MAPS[check.file][getattr(check, KEY[check.file])](check.inputs)


@pytest.mark.parametrize("check", [c for c in RUN if not c.differs], ids=lambda c: c.name)
def test_the_printed_figure_comes_out(check: Check):
    ours = found(check)
    assert off_by(check, ours) <= 1.0, f"{ours} instead of {check.expected} {check.unit} ({check.where})"


def test_what_is_said_to_differ_does():
    for check in (c for c in RUN if c.differs):
        assert off_by(check, found(check)) > 1.0, f"{check.id} comes out: take its differs away"


def test_enough_of_them_are_run():
    assert len(RUN) >= LEAST_RUN


def test_every_reason_belongs_to_a_check_that_nothing_answers():
    ids = {check.id: check for check in ALL}
    assert set(REASONS) <= set(ids)
    answered = {c.id for c in ALL if getattr(c, KEY[c.file]) in MAPS[c.file]}
    assert not answered & set(REASONS)


def test_a_wrong_function_would_be_seen():
    """Three per cent off, and most figures fail: the tolerances can't hide a slip."""
    seen = [off_by(c, np.asarray(found(c)) * 1.03) > 1.0 for c in RUN]
    assert sum(seen) > 0.7 * len(RUN)
