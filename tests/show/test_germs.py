"""Germs under the microscope and the drawings of the guides: sound, named, and to scale."""

import re

import pytest

from tankward.knowledge.loader import load
from tankward.show.drawings.hands import HANDS, hand
from tankward.show.drawings.lens import FIELD, GERMS, Bar, bar_of, close_up, field
from tankward.show.words.guides import GUIDES
from tankward.show.words.microscope import TIMES, fields_of, size_um
from tests.show.test_pictures_are_sound import BOTH_SHEETS, SMALLEST_PX, SVG, classes, read, rule_for, texts

FACTS = load()
VIEWS = {v.id: v for v in FACTS.hygiene.view}
ACROSS_UM = {40: 4500.0, 100: 1800.0, 400: 450.0}  # a field number of 18 mm over the objective
DRAWN = {
    **{f"{name} close up": close_up(name, size_um(v), v.name) for name, v in VIEWS.items()},
    **{
        f"{name} at {t}": field(name, size_um(v), a, v.name)
        for name, v in VIEWS.items() for t, a in ACROSS_UM.items()
    },
    **{f"{a.id} alike": close_up(a.id, None, a.name) for a in FACTS.hygiene.look_alike},
    **{f"{what} by hand": hand(what) for what in HANDS},
}  # fmt: skip


def bar_px(root):
    d = next(e.get("d") for e in root.iter() if e.get("class") == "g-bar")
    start, end = re.match(r"M([\d.]+) [\d.]+H([\d.]+)", d).groups()
    return float(end) - float(start)


def bar_um(root):
    said = next(e.text for e, _ in texts(root) if re.fullmatch(r"[\d.]+ (mm|µm)", e.text))
    number, unit = said.split()
    return float(number) * (1000.0 if unit == "mm" else 1.0)


def scale_of(root):
    """Pixels to one unit of the first germ drawn."""
    moved = next(e.get("transform") for e in root.iter() if "scale(" in e.get("transform", ""))
    return float(re.search(r"scale\(([\d.]+)\)", moved)[1])


@pytest.mark.parametrize("name", DRAWN)
def test_each_drawing_is_sound_named_and_styled_by_classes(name):
    root = read(DRAWN[name])
    title = root.find(f"{SVG}title")
    assert root.get("role") == "img"
    assert title.text
    assert root.get("aria-labelledby") == title.get("id")
    assert [e for e in root.iter() if e.get("style") or e.tag == f"{SVG}style"] == []
    assert {c for c in classes(root) if not re.search(rf"\.{c}\b", BOTH_SHEETS)} == set()
    assert all((rule_for(e, up) or SMALLEST_PX) >= SMALLEST_PX for e, up in texts(root))


@pytest.mark.parametrize("name", VIEWS)
def test_a_close_up_has_the_size_of_the_facts(name):
    """What the facts measure is so many pixels long as its bar says."""
    root = read(DRAWN[f"{name} close up"])
    px_per_um = bar_px(root) / bar_um(root)
    assert scale_of(root) * GERMS[name].unit == pytest.approx(size_um(VIEWS[name]) * px_per_um, rel=0.01)


@pytest.mark.parametrize("name", VIEWS)
@pytest.mark.parametrize("times", TIMES)
def test_a_field_is_as_wide_as_the_eyepiece_shows(name, times):
    """18 mm of field number over the objective: 4.5, 1.8 and 0.45 mm across [calc]."""
    told = next(f for f in fields_of(VIEWS[name], FACTS, 1.0) if f.times == times)
    root = read(DRAWN[f"{name} at {times}"])
    assert told.across_um == pytest.approx(ACROSS_UM[times])
    assert bar_px(root) / bar_um(root) == pytest.approx(FIELD / ACROSS_UM[times], rel=0.01)


def test_what_has_no_size_says_so_and_has_no_bar():
    root = read(close_up("air_bubble", None, "air bubble"))
    assert "not to scale" in [e.text for e, _ in texts(root)]
    assert not [e for e in root.iter() if e.get("class") == "g-bar"]


@pytest.mark.parametrize(
    ("px_per_um", "most", "um"),
    [(0.0373, 54.0, 1000.0), (0.0933, 54.0, 500.0), (0.373, 54.0, 100.0), (7.0, 100.0, 10.0)],
)  # fmt: skip
def test_a_bar_is_a_round_length_that_fits(px_per_um, most, um):
    bar = bar_of(px_per_um, most)
    assert bar == Bar(um=um, px=pytest.approx(um * px_per_um))
    assert bar.px <= most


def test_everything_of_the_facts_is_drawn_and_every_guide_has_its_drawing():
    assert {*VIEWS, *(a.id for a in FACTS.hygiene.look_alike)} == set(GERMS)
    assert set(GUIDES) == set(HANDS)


def test_a_costia_is_a_dot_at_40_and_white_spot_is_more_than_the_field_at_400():
    said = {t: next(f.says for f in fields_of(VIEWS["costia"], FACTS, 1.0) if f.times == t) for t in TIMES}
    assert said[40] == "too small to see"
    spot = next(f for f in fields_of(VIEWS["white_spot"], FACTS, 1.0) if f.times == 400)
    assert spot.says == "larger than the field"
