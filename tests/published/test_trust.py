"""The page "Should you trust it?" says what the figures say today."""

from __future__ import annotations

from scripts import trust


def test_the_page_is_made_from_the_figures():
    assert trust.PAGE.read_text(encoding="utf-8") == trust.page(), "run python scripts/trust.py"


def test_a_figure_that_drifts_changes_the_page(monkeypatch):
    monkeypatch.setitem(trust.MAPS["water"], "water_density", lambda i: 990.0)
    assert trust.page() != trust.PAGE.read_text(encoding="utf-8")
