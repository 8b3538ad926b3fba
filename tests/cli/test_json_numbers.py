"""The walker itself: what it lets through and what it finds."""

import pytest

from tests.cli.json_numbers import bare_numbers

STEP = {"step": "missing", "inputs": {"share": 0.3}, "value": 74.0, "source": "none", "status": "computed"}


@pytest.mark.parametrize(
    "answer",
    [
        {"says": "2 tanks.", "refused": False, "value": None},
        {"value": 74.0, "low": 70.0, "high": 78.0, "how": [STEP]},
        {"value": 74.0, "how": [STEP], "also": [{"name": "as Cu", "value": 0.1}]},
        {"findings": [{"value": 0.02, "limit": 0.05, "source": "EPA13", "status": "published-read"}]},
        {"findings": [{"value": 0.02, "source": "none", "status": "memory"}]},
        {"tanks": [{"name": "T1", "water": {"value": 46.0, "how": [STEP]}}]},
        {"steps": [{"source": "A", "amount": {"value": 2.0, "range": {"low": 1.0}}}]},
        {"times": [0.0, 1.0], "series": [{"low": [0.1, 0.2], "source": "none", "status": "computed"}]},
    ],
)
def test_a_number_with_its_working_passes(answer):
    assert bare_numbers(answer) == []


@pytest.mark.parametrize(
    ("answer", "where"),
    [
        ({"value": 74.0, "how": []}, "value"),
        ({"value": 74.0, "sources": [{"key": "EPA13"}]}, "value"),
        ({"days": 3, "how": [STEP]}, "days"),
        ({"how": [STEP], "value": 1.0, "rows": [{"value": 2.0}]}, "rows[0].value"),
        ({"sources": [{"key": "A"}], "rows": [{"n": 2}]}, "rows[0].n"),
        ({"findings": [{"value": 0.02, "source": "none", "status": ""}]}, "findings[0].value"),
        ({"steps": [{"at": "", "amount": {"value": 2.0}}]}, "steps[0].amount.value"),
        ({"rows": [{"source": "A", "doses": [{"mg": 1.0}]}]}, "rows[0].doses[0].mg"),
        ({"series": [{"low": [0.1]}]}, "series[0].low[0]"),
        ({"value": 1.0, "how": [{"step": "x", "value": 1.0}]}, "how[0].value"),
    ],
)
def test_a_planted_bare_number_is_found(answer, where):
    assert where in bare_numbers(answer)
