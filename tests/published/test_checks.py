"""Every printed figure that can be computed here, one test each; the source stands in the test's name."""

from __future__ import annotations

import pytest

from tests.published import dose_map, husbandry_map, water_map
from tests.published.checks import FILES, Check, load, not_run, off_by

MAPS = {"water": water_map.MAP, "dose": dose_map.MAP, "husbandry": husbandry_map.MAP}
REASONS = not_run()
ALL = [c for f in FILES for c in load(f)]
KEY = {"water": "quantity", "dose": "quantity", "husbandry": "id"}
RUN = [c for c in ALL if c.id not in REASONS and getattr(c, KEY[c.file]) in MAPS[c.file]]


@pytest.mark.parametrize("check", [c for c in RUN if not c.differs], ids=lambda c: c.name)
def test_the_printed_figure_comes_out(check: Check):
    found = MAPS[check.file][getattr(check, KEY[check.file])](check.inputs)
    assert off_by(check, found) <= 1.0, f"{found} instead of {check.expected} {check.unit} ({check.where})"
