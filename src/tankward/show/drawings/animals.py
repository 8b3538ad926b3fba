"""What an outline is made of, and how it is put on paper."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path

import msgspec

from .svg import Svg, new_id, num, ornament, picture, tag

Point = tuple[float, float]


class Form(msgspec.Struct, frozen=True, kw_only=True):
    """An animal in one stroke, facing left, in a box of 300 by 160."""

    name: str
    says: str
    outside: tuple[str, ...]  # closed or open paths, drawn 2 px
    inside: tuple[str, ...] = ()  # 1.25 px
    dotted: tuple[str, ...] = ()  # where zones meet
    eye: tuple[float, float, float] | None = None
    zones: Mapping[str, str] = {}  # zone: closed path, hatched when chosen
    leads: Mapping[str, Point] = {}  # zone: where its leader ends
    box: tuple[float, float, float, float] = (0, 0, 300, 160)


@cache
def forms() -> dict[str, Form]:
    """Every outline there is, by name."""
    text = Path(__file__).with_name("forms.toml").read_text(encoding="utf-8")
    drawn = msgspec.convert(tomllib.loads(text)["form"], tuple[Form, ...])
    return {form.name: form for form in drawn}


def strokes(form: Form, *, zones: bool = False) -> str:
    """The drawing itself, to stand inside another one."""
    body = "".join(tag("path", class_="o", d=d) for d in form.outside)
    body += "".join(tag("path", class_="i", d=d) for d in form.inside)
    if zones:
        body += "".join(tag("path", class_="meet", d=d) for d in form.dotted)
    return body + _eye(form)


def _eye(form: Form) -> str:
    if form.eye is None:
        return ""
    x, y, r = form.eye
    white = tag("circle", class_="o eye", cx=x, cy=y, r=r)
    return white + tag("circle", class_="pupil", cx=x, cy=y, r=max(1.6, 0.4 * r))


def hatch(form: Form, chosen: Iterable[str], pitch: float = 6.0) -> str:
    """The chosen zones under lines at 45 degrees."""
    paths = [form.zones[zone] for zone in chosen if zone in form.zones]
    if not paths:
        return ""
    name = new_id("h")
    x0, y0, w, h = form.box
    steps = int((w + h) / pitch) + 1
    d = "".join(f"M{num(x0 + i * pitch)} {num(y0)}l{num(-h)} {num(h)}" for i in range(steps))
    clip = tag("clipPath", "".join(tag("path", d=p) for p in paths), id=name)
    return clip + tag("path", class_="hatch", d=d, clip_path=f"url(#{name})")


def outline(form: Form, chosen: Sequence[str] = (), *, title: str = "") -> Svg:
    """The animal with its zones, the chosen ones hatched."""
    body = hatch(form, chosen) + strokes(form, zones=True)
    return picture(form.box[2], form.box[3], body, class_="form", title=title or form.says)


def small(form: Form) -> Svg:
    """The animal beside its name, without zones; ears skip it."""
    x, y, w, h = form.box
    inside = form.inside[:2]
    body = strokes(msgspec.structs.replace(form, inside=inside))
    scaled = tag("g", body, transform=f"translate({num(-x)} {num(-y)})")
    return ornament(w, h, scaled, class_="form small-form")
