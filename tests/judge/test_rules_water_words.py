"""Rule 7: where a fish was caught is told, and nobody is told to keep to it."""

from tankward.judge.finding import Finding
from tankward.show.words.judge import finding_says

RANGE = "outside the range in which they were found; such a range is no limit"


def test_rule_7_a_range_of_where_it_was_found_is_no_order():
    found = Finding(
        kind="ph",
        severity="caution",
        value=7.0,
        low=6.7,
        high=7.3,
        limit=6.5,
        because=RANGE,
        who=("loaches",),
    )
    assert "keep under" not in finding_says(found)
    assert "no limit" in finding_says(found)


def test_a_limit_is_still_said_as_one():
    found = Finding(
        kind="nitrite", severity="danger", value=1.0, low=0.9, high=1.1, limit=0.5, unit="mg/L as N"
    )
    assert "keep under 0.5 mg/L as N" in finding_says(found)


def test_ph_keeps_its_small_letter():
    assert finding_says(Finding(kind="ph-unknown", severity="unknown")).startswith("pH was not read")
