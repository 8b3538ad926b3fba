"""The colours of the style sheet against the contrasts that were promised (WCAG 2 relative luminance)."""

import re
from pathlib import Path

import pytest

from tankward.show.charts.style import PRINT

SHEET = (Path(__file__).parents[2] / "src/tankward/web/static/colours.css").read_text(encoding="utf-8")
TEXT, LINE = 7.0, 3.0

# role: contrast on paper, band90, band50, as the design table prints them (one decimal); None: none promised.
DAY = {
    "ink": (15.0, 12.9, 10.1), "soft": (8.1, 7.0, 5.5), "line": (3.5, None, None), "hair": (1.3, None, None),
    "reed": (7.8, None, None), "reedline": (4.7, 4.1, 3.2), "ochre": (7.9, None, None),
    "ochreline": (4.1, None, 2.7), "rust": (8.0, None, None), "rustline": (5.4, None, None),
}  # fmt: skip
NIGHT = {
    "ink": (13.6, 9.7, 6.1), "soft": (8.6, 6.1, 3.8), "line": (4.1, None, None), "hair": (1.5, None, None),
    "reed": (10.3, None, None), "reedline": (7.4, 5.3, 3.3), "ochre": (9.9, None, None),
    "ochreline": (7.3, None, None), "rust": (9.3, None, None), "rustline": (6.6, None, None),
}  # fmt: skip
PAPER = {
    "ink": (21.0, None, None),
    "soft": (15.9, None, None),
    "line": (7.5, None, None),
    "hair": (2.8, None, None),
}


def block(selector):
    """The roles that one rule of the sheet sets."""
    start = SHEET.index(selector)
    return dict(re.findall(r"--(\w+): (#[0-9A-F]{6});", SHEET[start : SHEET.index("}", start)]))


SETS = {
    "day": (block(":root {"), DAY),
    "night": (block(':root[data-theme="night"]'), NIGHT),
    "print": (block(':root, :root:not([data-theme="day"]), :root[data-theme]'), PAPER),
}


def luminance(colour):
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(a, b):
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_black_on_white_is_21():
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)


@pytest.mark.parametrize(
    ("name", "role", "ground", "promised"),
    [
        (name, role, ground, promised)
        for name, (_, table) in SETS.items()
        for role, row in table.items()
        for ground, promised in zip(("paper", "band90", "band50"), row, strict=True)
        if promised is not None
    ],
)
def test_pairs_are_as_the_table_prints_them(name, role, ground, promised):
    colours = SETS[name][0]
    assert contrast(colours[role], colours[ground]) == pytest.approx(promised, abs=0.051)


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize("role", ["ink", "soft", "reed", "ochre", "rust"])
def test_text_on_paper(name, role):
    colours = SETS[name][0]
    assert contrast(colours[role], colours["paper"]) >= TEXT


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize("role", ["line", "reedline", "ochreline", "rustline"])
def test_lines_on_paper(name, role):
    colours = SETS[name][0]
    assert contrast(colours[role], colours["paper"]) >= LINE


def test_the_night_is_the_same_by_device_and_by_choice():
    assert block(':root:not([data-theme="day"]) {') == block(':root[data-theme="night"]')


def test_every_set_has_every_role():
    assert {frozenset(colours) for colours, _ in SETS.values()} == {frozenset(SETS["day"][0])}


def test_a_chart_that_stands_alone_prints_in_the_same_colours():
    assert {role: SETS["print"][0][role] for role in PRINT} == PRINT


def test_colour_is_written_in_one_place():
    sheets = Path(__file__).parents[2].glob("src/tankward/web/static/*.css")
    others = {
        p.name: re.findall(r"#[0-9A-Fa-f]{3,8}\b", p.read_text()) for p in sheets if p.name != "colours.css"
    }
    assert len(others) >= 4
    assert not any(others.values()), others
