"""Five cuts behind the head, seen from the front: how thin or how swollen."""

from __future__ import annotations

import msgspec

from .svg import Svg, num, ornament, tag


class Cut(msgspec.Struct, frozen=True, kw_only=True):
    """One score with its drawing."""

    score: int
    name: str
    words: str
    drawing: Svg


# Score, name, what is seen, half widths in px at nine heights from the back (top) to the belly (bottom).
SHAPES = (
    (1, "Hollow", "The back is a blade, the belly drawn in", (0, 3, 5, 10, 14, 15, 14, 10, 0)),
    (2, "Thin", "Flat behind the head", (0, 9, 13, 16, 17, 17, 16, 12, 0)),
    (3, "Right", "A smooth even line", (0, 14, 19, 20, 20, 20, 20, 17, 0)),
    (4, "Full", "Rounded, scales lie flat", (0, 14, 19, 20, 22, 26, 28, 24, 0)),
    (5, "Swollen", "Wider than the head. Do scales stand off?", (0, 14, 22, 28, 33, 37, 37, 28, 0)),
)  # fmt: skip
# A male is slim by nature; a female with young or eggs is round below whatever she weighs: her back tells.
MALE = (
    (1, "Hollow", "Bent like a bow, the belly a fold", (0, 2, 4, 7, 9, 10, 9, 5, 0)),
    (2, "Thin", "The belly line runs inward", (0, 7, 11, 13, 13, 13, 11, 8, 0)),
    (3, "Right", "Slim, the belly line straight", (0, 12, 16, 17, 17, 17, 16, 13, 0)),
    (4, "Full", "Rounded: fed, or swelling", (0, 12, 17, 19, 21, 23, 23, 19, 0)),
    (5, "Swollen", "No male is round: look at the scales", (0, 13, 21, 27, 32, 35, 34, 26, 0)),
)
FEMALE = (
    (1, "Hollow back", "Back a blade, belly round all the same", (0, 3, 5, 10, 19, 28, 31, 25, 0)),
    (2, "Thin back", "Flat behind the head over a round belly", (0, 8, 12, 16, 22, 29, 32, 26, 0)),
    (3, "Right", "Back full, belly even", (0, 14, 19, 21, 23, 25, 24, 19, 0)),
    (4, "Full of young", "Back full, belly deep, its corner square", (0, 14, 20, 23, 27, 32, 35, 33, 0)),
    (5, "Swollen", "Round to the back: not young alone", (0, 16, 25, 32, 36, 39, 39, 30, 0)),
)
SETS = {"": SHAPES, "male": MALE, "female": FEMALE}
WIDE, TALL, MIDDLE, TOP = 96.0, 130.0, 48.0, 26.0
LENGTH = {1: 72.0, 2: 80.0, 3: 88.0, 4: 92.0, 5: 98.0}


def belly_cuts(of: str = "") -> tuple[Cut, ...]:
    """The five scores, thinnest first; of "male", or of "female" with young or eggs in her."""
    return tuple(
        Cut(score=score, name=name, words=f"{name}. {says}", drawing=_drawing(score, widths))
        for score, name, says, widths in SETS[of]
    )


def _drawing(score: int, widths: tuple[int, ...]) -> Svg:
    top = TOP + (98.0 - LENGTH[score]) / 3
    ring = [(MIDDLE + w, y) for w, y in _heights(widths, top, LENGTH[score])]
    ring += [(MIDDLE - w, y) for w, y in reversed(_heights(widths, top, LENGTH[score])[1:-1])]
    body = tag("path", class_="meet", d=f"M2 70H{num(WIDE - 2)}")
    body += tag("path", class_="o cut", d=_smooth(ring))
    body += tag("path", class_="i", d=f"M48 {num(top - 16)}V{num(top - 2)}M48 50V62")
    body += tag("circle", class_="pupil", cx=MIDDLE, cy=50, r=3)
    return ornament(WIDE, TALL, body, class_="form belly")


def _heights(widths: tuple[int, ...], top: float, length: float) -> list[tuple[float, float]]:
    return [(w, top + length * i / (len(widths) - 1)) for i, w in enumerate(widths)]


def _smooth(ring: list[tuple[float, float]]) -> str:
    """A closed curve through the points (Catmull-Rom, written as cubic Béziers)."""
    n = len(ring)
    d = f"M{num(ring[0][0])} {num(ring[0][1])}"
    for i in range(n):
        p0, p1, p2, p3 = (ring[(i + k) % n] for k in (-1, 0, 1, 2))
        a = p1[0] + (p2[0] - p0[0]) / 6, p1[1] + (p2[1] - p0[1]) / 6
        b = p2[0] - (p3[0] - p1[0]) / 6, p2[1] - (p3[1] - p1[1]) / 6
        d += f"C{num(a[0])} {num(a[1])} {num(b[0])} {num(b[1])} {num(p2[0])} {num(p2[1])}"
    return d + "Z"
