"""Levels as they are told: no digits of what nobody could measure."""

import re

import pytest

from tankward.quantities.parse import Estimate
from tankward.show.words.measured import level_range
from tankward.show.words.mend_parts import level_of


@pytest.mark.parametrize(
    ("low", "high", "unit", "said"),
    [
        (8.3e-7, 0.12, "mg/L", "under 0.12 mg/L"),
        (0.03, 0.12, "mg/L", "0.03 to 0.12 mg/L"),
        (2e-7, 8e-7, "mg/L", "under 0.001 mg/L"),
        (1e-9, 5e-4, "mg/L as N", "under 0.001 mg/L as N"),
        (0.0, 0.12, "mg/L", "0 to 0.12 mg/L"),
        (0.2, 1500.0, "mg/L", "under 1.5 g/L"),
        (800.0, 1500.0, "mg/L", "0.8 to 1.5 g/L"),
    ],
)
def test_what_cannot_be_measured_is_under(low, high, unit, said):
    assert level_range(low, high, unit) == said


@pytest.mark.parametrize("low", [1e-9, 1e-6, 1e-4, 1e-3])
def test_no_range_prints_a_tail_of_noughts(low):
    for high in (low * 2, low * 50, low * 1e4, 1.0):
        assert not re.search(r"0\.0000", level_range(low, high, "mg/L"))
        assert not re.search(r"0\.0000", level_of(Estimate(high, low, high), "mg/L").partition("(")[2])
