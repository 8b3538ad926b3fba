"""Every drawing: well-formed, named, styled by classes alone, its text large enough, its marks with words."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from tankward.show.charts import bedside, bedside_views
from tankward.show.charts.bedside import WIDTHS
from tankward.show.drawings import drawn
from tankward.show.drawings.marks import MEANS
from tankward.show.drawings.plate import WIDTHS as PLATE_WIDTHS
from tankward.show.drawings.plate import Target, plate
from tests.show.pictures import TANKS, chart

STATIC = Path(__file__).parents[2] / "src/tankward/web/static"
SHEET = (STATIC / "drawings.css").read_text(encoding="utf-8")
BOTH_SHEETS = SHEET + (STATIC / "parts.css").read_text(encoding="utf-8")
SVG = "{http://www.w3.org/2000/svg}"
SMALLEST_PX = 15.0

NAMED = {
    **{f"chart {w:.0f}": bedside(chart(), w) for w in WIDTHS},
    **{f"rack {w}": drawn.rack(TANKS, width=w) for w in (280, 350, 984)},
    **{f"plate {w:.0f}": plate("torpedo", chosen=("belly",), width=w) for w in PLATE_WIDTHS},
    "plate that submits": plate("deep", chosen=("eye",), target=Target(submit="zone")),
    **{f"outline {name}": drawn.outline(name, ("belly",)) for name in drawn.forms()},
}
BESIDE_WORDS = {
    **{f"mark {kind}": drawn.mark(kind) for kind in MEANS},
    **{
        f"belly {of}{cut.score}": cut.drawing
        for of in ("", "male ", "female ")
        for cut in drawn.belly_cuts(of.strip())
    },
    **{f"small {name}": drawn.small(name) for name in drawn.forms()},
    "range": drawn.range_bar(0.3, 0.7),
    "ticks": drawn.range_ticks(),
    "box": drawn.tick_box(),
    "empty": drawn.empty_tank(),
}
ALL = {**NAMED, **BESIDE_WORDS}


def read(svg):
    return ElementTree.fromstring(svg)


def classes(root):
    return {name for e in root.iter() for name in e.get("class", "").split()}


def rule_for(element, ancestors):
    """The font size that the sheet gives to a text: the last rule whose classes all lie on its way up."""
    lineage = [set(e.get("class", "").split()) | {e.tag.removeprefix(SVG)} for e in (*ancestors, element)]
    size = None
    for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", SHEET):
        found = re.search(r"font-size: ([\d.]+)px", body)
        if found and any(reaches(s.strip(), lineage) for s in selectors.split(",")):
            size = float(found[1])
    return size


def reaches(selector, lineage):
    parts = [set(re.findall(r"[\w-]+", part)) for part in selector.split()]
    if not parts or not parts[-1] <= lineage[-1]:
        return False
    return all(any(part <= names for names in lineage) for part in parts)


def texts(root):
    def walk(element, ancestors):
        if element.tag == f"{SVG}text":
            yield element, ancestors
        for child in element:
            yield from walk(child, (*ancestors, element))

    return list(walk(root, ()))


@pytest.mark.parametrize("name", NAMED)
def test_named_pictures_say_what_they_show(name):
    root = read(NAMED[name])
    title = root.find(f"{SVG}title")
    assert root.get("role") in {"img", "group"}
    assert title.text
    assert root.get("aria-labelledby") == title.get("id")


@pytest.mark.parametrize("name", BESIDE_WORDS)
def test_pictures_beside_words_are_silent(name):
    root = read(BESIDE_WORDS[name])
    assert root.get("aria-hidden") == "true"
    assert root.find(f"{SVG}title") is None


@pytest.mark.parametrize("name", ALL)
def test_styled_by_classes_alone(name):
    root = read(ALL[name])
    assert [e for e in root.iter() if e.get("style") or e.tag in {f"{SVG}style", f"{SVG}script"}] == []
    assert [key for e in root.iter() for key in e.attrib if key.startswith("on")] == []
    unstyled = {c for c in classes(root) if not re.search(rf"\.{c}\b", BOTH_SHEETS)}
    assert unstyled <= {"strip", "past", "act-words", "square", "word", "plot", "range-now"}, (
        "said for the reader of the file only"
    )


@pytest.mark.parametrize("name", NAMED)
def test_text_is_never_smaller_than_15_px(name):
    root = read(NAMED[name])
    assert float(root.get("width")) == float(root.get("viewBox").split()[2])
    for element, ancestors in texts(root):
        size = rule_for(element, ancestors) or SMALLEST_PX
        assert size >= SMALLEST_PX, (element.text, size)


def test_a_picture_is_shown_in_its_own_size_only():
    """Nothing in the sheet shrinks a chart, a rack or a plate: their width stays what they carry."""
    for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", SHEET):
        if re.search(r"\.(bedside|rack|plate|view)(?![\w-])", selectors):
            assert not re.search(r"(?<![\w-])(max-)?width: (?!none)", body), selectors


def test_ids_are_never_used_twice_on_a_page():
    page = bedside_views(chart()) + drawn.plate_views("torpedo", chosen=("belly",)) + drawn.rack_views(TANKS)
    ids = re.findall(r' id="([^"]+)"', page)
    assert len(ids) > 10
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("width", WIDTHS)
def test_every_mark_in_a_chart_has_its_words(width):
    """As many marks as limits, and the words of each limit are written."""
    root = read(bedside(chart(), width))
    written = [e.text for e, _ in texts(root)]
    limits = [limit for strip in chart().strips for limit in strip.limits]
    marks = [e for e in root.iter() if e.get("class") in {"m-danger", "m-caution", "m-unknown"}]
    assert len(marks) == len(limits) == 4
    assert [limit.words for limit in limits if limit.words not in written] == []


def test_every_mark_in_the_room_has_its_words_for_ears():
    root = read(drawn.rack(TANKS, width=350))
    links = [[t.text for t in e.iter(f"{SVG}text")] for e in root.iter(f"{SVG}a")]
    assert links == [["T1", "14 rainbowfish", "well"], ["T2", "10", "10 shrimp, sick"]]


def test_every_mark_means_something():
    assert set(MEANS) == {"danger", "caution", "unknown", "done", "out"}
    shapes = {kind: tuple((e.tag, e.get("d")) for e in read(drawn.mark(kind)).iter()) for kind in MEANS}
    assert len(set(shapes.values())) == len(MEANS), "two marks of one shape"


def test_names_are_shown_as_typed():
    root = read(drawn.rack(TANKS, width=350))
    assert "T3 <b>" in [e.text for e, _ in texts(root)]


@pytest.mark.parametrize("name", ["torpedo", "deep", "bottom", "livebearer female", "livebearer male"])
def test_every_zone_of_a_fish_can_be_touched(name):
    root = read(plate(name, target=Target(href="?zone={zone}")))
    hrefs = [e.get("href") for e in root.iter(f"{SVG}a")]
    zones = drawn.forms()[name].zones
    assert set(hrefs) == {f"?zone={zone}" for zone in zones}
    assert len(hrefs) == 2 * len(zones), "the word and the place"
    assert {e.text for e, _ in texts(root)} >= {"Mouth", "Belly", "Vent", "Gills", "Side"}


def test_words_of_the_plate_leave_48_px():
    for width in PLATE_WIDTHS:
        root = read(plate("torpedo", width=width))
        touched = [e for e in root.iter(f"{SVG}rect") if e.get("class") == "touch"]
        assert len(touched) == 10
        assert all(float(e.get("height")) >= 48 and float(e.get("width")) >= 36 for e in touched)


def test_only_chosen_zones_are_hatched():
    assert "hatch" not in plate("torpedo")
    root = read(plate("torpedo", chosen=("belly", "vent")))
    assert sum(e.get("class") == "hatch" for e in root.iter()) == 1
    assert sum(e.get("class") == "chosen-box" for e in root.iter()) == 2


@pytest.mark.parametrize(("low", "high"), [(0.0, 0.0), (1.0, 1.0), (0.2, 0.9), (0.9, 0.2), (-1.0, 2.0)])
def test_a_range_stays_on_its_track_and_can_be_seen(low, high):
    bar = next(e for e in read(drawn.range_bar(low, high)).iter() if e.get("class") == "bar")
    left, wide = float(bar.get("x")), float(bar.get("width"))
    assert left >= 0
    assert left + wide <= 1000
    assert wide >= 20


def test_tanks_are_in_their_true_proportions():
    """Wide to high of T1 as typed in: 60 to 30 cm."""
    root = read(drawn.rack(TANKS[:1], width=350))
    touch = next(e for e in root.iter(f"{SVG}rect") if e.get("class") == "touch")
    caption_px = 22
    assert float(touch.get("width")) / (float(touch.get("height")) - caption_px) == pytest.approx(
        2.0, rel=0.01
    )
