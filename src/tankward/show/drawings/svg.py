"""Small pieces of SVG: escaped text, numbers short, one root with a title."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import count
from xml.sax.saxutils import escape, quoteattr

AS_WRITTEN = {"viewBox", "textLength"}
_ids = count(1)


class Svg(str):
    """Finished markup. Templates that escape what they print leave it as it is."""

    __slots__ = ()

    def __html__(self) -> str:
        return self


def num(x: float) -> str:
    """A coordinate to a tenth of a pixel, without a trailing zero."""
    text = f"{x:.1f}"
    return "0" if text in {"-0.0", "0.0"} else text.removesuffix(".0")


def tag(name: str, inside: str = "", **attributes: str | float) -> str:
    """One element; `class_` is written class, `text_anchor` text-anchor."""
    written = "".join(
        f" {key.rstrip('_').replace('_', '-') if key not in AS_WRITTEN else key}="
        f"{quoteattr(value if isinstance(value, str) else num(value))}"
        for key, value in attributes.items()
    )
    return f"<{name}{written}>{inside}</{name}>" if inside else f"<{name}{written}/>"


def words(x: float, y: float, text: str, class_: str, anchor: str = "") -> str:
    """A line of text, its baseline at y."""
    more = {"text_anchor": anchor} if anchor else {}
    return tag("text", escape(text), class_=class_, x=x, y=y, **more)


def line(x1: float, y1: float, x2: float, y2: float, class_: str) -> str:
    return tag("path", class_=class_, d=f"M{num(x1)} {num(y1)}L{num(x2)} {num(y2)}")


def polyline(points: Iterable[tuple[float, float]]) -> str:
    """Path data through the points."""
    return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points)


def new_id(stem: str) -> str:
    """An id that no other drawing of this process has; one page holds many drawings."""
    return f"{stem}-{next(_ids)}"


def picture(
    width: float, height: float, body: str, *, class_: str, title: str, style: str = "", role: str = "img"
) -> Svg:
    """A drawing that says what it shows. `style`: for files that stand alone; role "group": links inside."""
    name = new_id("d")
    sheet = f"<style>{escape(style)}</style>" if style else ""
    return Svg(
        f'<svg xmlns="http://www.w3.org/2000/svg" class={quoteattr(class_)} width="{num(width)}" '
        f'height="{num(height)}" viewBox="0 0 {num(width)} {num(height)}" role="{role}" '
        f'aria-labelledby="{name}">'
        f'<title id="{name}">{escape(title)}</title>{sheet}{body}</svg>'
    )


def ornament(width: float, height: float, body: str, *, class_: str, stretch: bool = False) -> Svg:
    """A drawing beside words that say the same; ears skip it."""
    ratio = ' preserveAspectRatio="none"' if stretch else ""
    return Svg(
        f'<svg xmlns="http://www.w3.org/2000/svg" class={quoteattr(class_)} width="{num(width)}" '
        f'height="{num(height)}" viewBox="0 0 {num(width)} {num(height)}"{ratio} aria-hidden="true" '
        f'focusable="false">{body}</svg>'
    )


def views(drawings: Iterable[tuple[float, Svg]], read: str = "") -> Svg:
    """One drawing for several widths; the style sheet shows the one that fits. `read`: for the script."""
    inside = "".join(f'<div class="view w{width:.0f}">{drawing}</div>' for width, drawing in drawings)
    data = f" data-read={quoteattr(read)}" if read else ""
    return Svg(f'<div class="views"{data}>{inside}</div>')
