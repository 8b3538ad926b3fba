"""The fish with words around it: both the word and the place can be touched."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from xml.sax.saxutils import escape, quoteattr

import msgspec

from .animals import Form, forms, hatch, strokes
from .svg import Svg, line, new_id, num, picture, tag, views

WORDS = {
    "mouth": "Mouth",
    "eye": "Eyes",
    "gills": "Gills",
    "back": "Back",
    "tail": "Tail",
    "head": "Head",
    "body": "Side",
    "belly": "Belly",
    "vent": "Vent",
    "fins": "Fins",
}
# Where a word stands: share of the width, row (1 and 2 over the fish, 3 and 4 under it, 0 on it).
SLOTS = {
    "mouth": (0.09, 2),
    "eye": (0.25, 1),
    "gills": (0.44, 2),
    "back": (0.63, 1),
    "tail": (0.89, 2),
    "body": (0.52, 0),
    "head": (0.10, 3),
    "belly": (0.30, 4),
    "vent": (0.50, 3),
    "fins": (0.72, 4),
}
ROW_PX, TOUCH_PX = 40.0, 48.0
WIDTHS = (280.0, 350.0, 450.0)


class Target(msgspec.Struct, frozen=True, kw_only=True):
    """What a touch does: follow an address with {zone} in it, or send the form around the plate."""

    href: str = "#{zone}"
    submit: str = ""  # name of the field that gets the zone


class _Word(msgspec.Struct, frozen=True, kw_only=True):
    zone: str
    text: str
    x: float
    y: float  # middle of the word
    size: float
    chosen: bool
    id: str

    @property
    def half(self) -> float:
        return 0.28 * self.size * len(self.text) + 9


def plate_views(
    form: str,
    *,
    chosen: Sequence[str] = (),
    zones: Mapping[str, str] | None = None,
    href: str = "#{zone}",
    submit: str = "",
) -> Svg:
    """The plate at all widths of a page; see `plate`."""
    target = Target(href=href, submit=submit)
    return views((w, plate(form, chosen=chosen, zones=zones, target=target, width=w)) for w in WIDTHS)


def plate(
    form: str,
    *,
    chosen: Sequence[str] = (),
    zones: Mapping[str, str] | None = None,
    target: Target | None = None,
    width: float = 350.0,
) -> Svg:
    """The outline with a word for each zone on a thin leader.

    Parameters
    ----------
    form
        Name of the outline; shrimp and snail have no zones and are drawn alone.
    chosen
        Zones to be hatched, their words filled.
    zones
        Zone and its word; all that the outline has if not given.
    """
    animal, target = forms()[form], target or Target()
    scale = (width - 16) / animal.box[2]
    top = 24 + 2 * ROW_PX
    bottom = top + animal.box[3] * scale
    said = {z: w for z, w in (zones or WORDS).items() if z in animal.zones}
    placed = [_place(animal, z, w, z in chosen, (width, top, bottom, scale)) for z, w in said.items()]
    fish = hatch(animal, chosen) + strokes(animal, zones=True)
    fish += "".join(_zone(animal, word, target) for word in placed)
    body = tag("g", fish, transform=f"translate(8 {num(top)}) scale({scale:.4f})")
    body += "".join(_leader(animal, word, top, scale) for word in placed)
    body += "".join(_word(word, target) for word in placed)
    return picture(
        width,
        bottom + 24 + 2 * ROW_PX,
        body,
        class_="plate",
        title=f"{animal.says}: where is it?",
        role="group",
    )


def _place(form: Form, zone: str, text: str, chosen: bool, sheet: tuple[float, float, float, float]) -> _Word:
    width, top, bottom, scale = sheet
    share, row = SLOTS[zone]
    size = 22.0 if width >= 400 else 18.0
    x, y = share * width, [0, 20, 20 + ROW_PX, bottom + 28, bottom + 28 + ROW_PX][row]
    if row == 0:
        x, y = 8 + form.leads[zone][0] * scale, top + form.leads[zone][1] * scale
    half = 0.28 * size * len(text) + 9
    x = min(max(x, half), width - half)
    return _Word(zone=zone, text=text, x=x, y=y, size=size, chosen=chosen, id=new_id("z"))


def _leader(form: Form, word: _Word, top: float, scale: float) -> str:
    if SLOTS[word.zone][1] == 0:
        return ""
    x, y = 8 + form.leads[word.zone][0] * scale, top + form.leads[word.zone][1] * scale
    edge = word.y + 15 if word.y < y else word.y - 16
    return line(word.x, edge, x, y, "leader") + tag("circle", class_="ring", cx=x, cy=y, r=4)


def _zone(form: Form, word: _Word, target: Target) -> str:
    """The place itself; keys and ears have the word."""
    if target.submit:
        return tag("path", class_="zone", d=form.zones[word.zone], data_for=word.id)
    path = tag("path", class_="zone", d=form.zones[word.zone])
    return tag("a", path, href=target.href.format(zone=word.zone), tabindex="-1", aria_hidden="true")


def _word(word: _Word, target: Target) -> str:
    left, wide = word.x - word.half, 2 * word.half
    if target.submit:
        pressed = "true" if word.chosen else "false"
        button = (
            f'<button xmlns="http://www.w3.org/1999/xhtml" type="submit" class="plate-word" id="{word.id}" '
            f'name={quoteattr(target.submit)} value={quoteattr(word.zone)} aria-pressed="{pressed}">'
            f"<span>{escape(word.text)}</span></button>"
        )
        y = word.y - TOUCH_PX / 2
        return tag("foreignObject", button, x=left, y=y, width=wide, height=TOUCH_PX)
    touch = tag("rect", class_="touch", x=left, y=word.y - TOUCH_PX / 2, width=wide, height=TOUCH_PX)
    box = tag("rect", class_="chosen-box", x=left, y=word.y - 17, width=wide, height=34, rx=3)
    text = tag(
        "text",
        escape(word.text),
        class_="zone-word" + (" big" if word.size > 18 else "") + (" chosen" if word.chosen else ""),
        x=word.x,
        y=word.y + 0.34 * word.size,
        text_anchor="middle",
    )
    current = {"aria_current": "true"} if word.chosen else {}
    inside = touch + (box if word.chosen else "") + text
    return tag("a", inside, href=target.href.format(zone=word.zone), class_="word", **current)
