"""How it is done: drawings for the guides, with their words in them."""

from __future__ import annotations

from collections.abc import Callable

from .animals import forms, strokes
from .svg import Svg, line, num, picture, tag, words

WIDE, HIGH = 340.0, 236.0


def _o(*paths: str) -> str:
    return "".join(tag("path", class_="o", d=d) for d in paths)


def _i(*paths: str) -> str:
    return "".join(tag("path", class_="i", d=d) for d in paths)


def _fish(x: float, y: float, scale: float = 1.0) -> str:
    return tag("g", strokes(forms()["torpedo"]), transform=f"translate({num(x)} {num(y)}) scale({scale:g})")


def _arrow(x1: float, y1: float, x2: float, y2: float) -> str:
    """A line with a head; drawn along the longer axis."""
    back = -9 if x2 > x1 else 9
    return _o(f"M{num(x1)} {num(y1)}L{num(x2)} {num(y2)}m{back} -6l{-back} 6l{back} 6")


def _label(x: float, y: float, text: str, to: tuple[float, float] | None = None, anchor: str = "") -> str:
    """Words, and a thin line from them to what they name."""
    lead = ""
    if to is not None:
        from_y = y + 6 if to[1] > y else y - 17
        lead = line(x if not anchor else x - 4, from_y, *to, "lead")
        lead += tag("circle", class_="ring", cx=to[0], cy=to[1], r=3.5)
    return lead + words(x, y, text, "", anchor)


def _number(x: float, y: float, n: int) -> str:
    return tag("circle", class_="disc", cx=x, cy=y, r=12) + words(x, y + 5.5, str(n), "strong", "middle")


SLIDE = "M30 150H310V166H30Z"


def _faeces() -> str:
    body = _o(SLIDE, "M150 150C152 138 188 138 190 150", "M196 150L262 96", "M203 150L266 99")
    body += _i("M160 147C164 142 170 148 176 144S184 146 184 147")
    body += _o("M132 30L146 90C149 96 155 95 156 89L150 28", "M126 30C124 12 156 10 156 27Z")
    body += _i("M152 98V106M152 112V120M152 126V132")
    body += _label(10, 66, "dropper", (139, 62)) + _label(226, 84, "cover glass", (254, 102))
    body += _label(30, 196, "dropping in a drop of tank water", (170, 148))
    return body + words(30, 222, "glass slide", "soft")


def _scrape() -> str:
    body = _fish(20, 40)
    body += _o("M108 112L120 62L132 64L126 114Z") + _arrow(140, 104, 206, 108)
    body += _label(170, 30, "edge of a cover glass", (126, 70))
    body += _label(24, 216, "from head to tail, beside a fin", (172, 106))
    return body


def _gill_clip() -> str:
    head = (
        "M20 128C54 92 108 60 176 52C226 48 280 52 330 60M20 128C18 132 19 136 24 138C70 168 130 192 196 198"
        "C250 202 296 198 330 190M20 132C30 132 38 136 44 142"
    )
    body = _o(head) + tag("circle", class_="o eye", cx=84, cy=112, r=15)
    body += tag("circle", class_="pupil", cx=84, cy=112, r=6)
    body += _o(
        "M150 66C186 92 188 152 146 182",
        "M150 66C176 52 214 50 226 62C238 78 236 92 232 100C210 88 184 86 168 92",
    )
    arches = [
        f"M{152 + 12 * k} {100 + 6 * k}C{164 + 12 * k} {120 + 2 * k} {162 + 12 * k} {150 - 2 * k} "
        f"{146 + 10 * k} {172 - 4 * k}"
        for k in range(4)
    ]
    body += _o(*arches)
    body += _i(*(f"M{190 + (k % 2)} {122 + 8 * k}l{18 - abs(k - 2) * 2} {3}" for k in range(5)))
    body += _o("M204 134L300 118M204 138L300 152") + tag("circle", class_="o", cx=311, cy=114, r=11)
    body += tag("circle", class_="o", cx=311, cy=157, r=11)
    body += _label(214, 34, "lift the cover", (206, 60)) + _label(196, 226, "only the tips", (206, 138))
    return body


def _post_mortem() -> str:
    body = _fish(20, 36)
    body += tag("path", class_="cut-line", d="M166 168C150 172 120 172 92 150")
    body += tag("path", class_="cut-line", d="M166 168C186 140 168 104 110 104")
    body += _number(170, 186, 1) + _number(196, 122, 2)
    body += _i(
        "M100 138C106 122 128 118 134 128C136 138 118 146 100 138Z",
        "M134 118C148 104 182 106 190 116C176 124 150 124 134 118Z",
    )
    body += _i("M110 148C130 142 132 160 150 152S160 164 168 160", "M106 106C140 98 180 100 210 104")
    body += _label(10, 216, "liver", (112, 136)) + _label(64, 216, "gut", (136, 152))
    body += _label(222, 34, "swim bladder", (168, 114)) + _label(110, 24, "kidney", (150, 102))
    return body


def _sample() -> str:
    body = _o(
        "M34 70H74V88L84 104V190H24V104L34 88Z",
        "M30 58H78V70H30Z",
        "M124 70H164V88L174 104V190H114V104L124 88Z",
        "M120 58H168V70H120Z",
    )
    body += tag("path", class_="water", d="M36 76H72M126 76H162")
    body += _o(
        "M214 92C214 78 318 78 318 92V190H214Z", "M214 92C236 104 296 104 318 92", "M250 82L244 62H288L282 82"
    )
    body += tag("path", class_="water", d="M214 132H318")
    body += tag("g", strokes(forms()["torpedo"]), transform="translate(226 138) scale(0.27)")
    body += words(54, 150, "tank", "", "middle") + words(144, 150, "tap", "", "middle")
    body += words(266, 124, "air", "soft", "middle")
    body += words(54, 214, "full", "soft", "middle") + words(144, 214, "full", "soft", "middle")
    return body + words(266, 214, "one third water", "soft", "middle")


def _cold() -> str:
    body = _o("M30 76H240V196H30Z", "M22 58H248V76H22Z")
    body += _o("M42 160H106V188H42Z", "M164 160H228V188H164Z")
    body += _i(
        "M46 152C66 146 82 156 102 150S140 146 164 152S208 148 226 152",
        "M46 144C70 138 90 148 120 142S190 140 226 144",
    )
    body += _o("M96 92H176V136H96Z")
    body += tag("g", strokes(forms()["torpedo"]), transform="translate(106 98) scale(0.2)")
    body += _label(256, 112, "bagged,", (176, 112)) + words(256, 132, "labelled", "")
    body += _label(256, 160, "paper", (226, 148)) + words(
        10, 222, "cold packs below, never against the bag", ""
    )
    return body


# What each drawing shows, for ears, and how it is drawn.
DRAWN: dict[str, tuple[str, Callable[[], str]]] = {
    "faeces": ("A dropping in a drop of tank water on a glass slide, the cover glass let "
               "down over it", _faeces),
    "scrape": ("A fish from its left side; an edge of glass drawn from head to tail beside a fin", _scrape),
    "gill-clip": ("The gill cover of a dead fish lifted, scissors at the tips of one gill", _gill_clip),
    "post-mortem": ("A fish with two cuts: one along the belly, two up over the side; the "
                    "organs named", _post_mortem),
    "sample": ("A full bottle of tank water, one of tap water, and a bag with a fish, a "
               "third water", _sample),
    "cold": ("A box with cold packs below, paper over them, the bagged fish on top", _cold),
}  # fmt: skip


def hand(what: str) -> Svg:
    """The drawing of a guide.

    Parameters
    ----------
    what
        faeces, scrape, gill-clip, post-mortem, sample or cold.
    """
    says, draw = DRAWN[what]
    return picture(WIDE, HIGH, draw(), class_="form hand", title=says)


HANDS = tuple(DRAWN)
