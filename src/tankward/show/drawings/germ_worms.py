"""Worms, threads and rods, and what is mistaken for a germ: worms 100 units long, the head at the left."""

from __future__ import annotations

from math import cos, pi, sin

from .germs import Germ, ellipse, scattered
from .svg import num


def _rods() -> tuple[str, ...]:
    """A pile of rods that lean against each other, and some that slide away; each 100 units long."""
    rods = []
    for k in range(44):
        a = -pi / 2 + (k % 11 - 5) * 0.2 + (k // 11) * 0.05
        x, y = 150 + (k % 11) * 26 - (k // 11) * 4, 330 - (k // 11) * 44
        bend = 6 * (-1) ** k
        dx, dy = 100 * cos(a), 100 * sin(a)
        rods.append(f"M{num(x)} {num(y)}q{num(dx / 2 + bend)} {num(dy / 2)} {num(dx)} {num(dy)}")
    for x, y, a in ((20, 250, -0.3), (40, 330, 0.1), (470, 300, -0.5), (500, 220, 0.4), (60, 150, 0.6)):
        rods.append(f"M{x} {y}l{num(100 * cos(a))} {num(100 * sin(a))}")
    return tuple(rods)


WORMS = (
    Germ(
        id="skin_fluke",
        box=(-1, -1, 103, 31),
        outside=(
            "M3 9C5 5 9 6 12 8C30 2 58 1 76 8C82 10 84 6 88 4C96 0 102 8 102 14S96 28 88 24C84 22 82 18 76 20"
            "C58 27 30 26 12 20C9 22 5 23 3 19C1 17 5 15 6 14C5 13 1 11 3 9Z",
        ),
        inside=(
            "M38 9C46 5 58 6 66 10C68 14 66 18 62 19C54 22 44 22 38 18C34 15 34 12 38 9Z",
            "M54 11C58 10 60 12 57 14M54 17C58 18 60 16 57 14",
            "M88 8C94 8 97 11 94 13M88 20C94 20 97 17 94 15M86 14H91",
        ),
        threads=("M18 14C24 12 28 12 32 14", "M92 4l1.5 2M98 9l-2 1M99 19l-2 -1M92 24l1.5 -2M100 14h-2"),
    ),
    Germ(
        id="gill_fluke",
        box=(-1, -1, 103, 29),
        outside=(
            "M1 9C2 5 5 5 7 8C7 4 11 3 13 7C28 2 60 1 78 8C82 9 84 6 88 5C96 2 102 8 101 13S94 25 88 21"
            "C84 20 82 17 78 18C60 25 28 24 13 19C11 23 7 22 7 18C5 21 2 21 1 17C0 15 3 14 4 13C3 12 "
            "0 11 1 9Z",
        ),
        inside=(
            "M40 13C46 9 56 9 60 13C56 17 46 17 40 13Z",
            "M86 8C93 7 97 10 94 12.5M86 18C93 19 97 16 94 13.5M84 13H91",
            "M22 10C30 8 34 9 36 12M22 16C30 18 34 17 36 14",
        ),
        threads=("M92 4l1 2M98 8l-2 1M98 18l-2 -1M92 22l1 -2",),
        grains=((14, 10, 1.3), (14, 16, 1.3), (18, 11, 1.1), (18, 15, 1.1)),
    ),
    Germ(
        id="camallanus_larva",
        box=(-2, -2, 106, 32),
        outside=(
            "M1 15C1 12 3 11 6 12C20 16 28 24 40 23C52 22 58 8 70 6C82 4 92 12 102 22"
            "C92 14 82 8 71 10C60 12 54 27 40 28C26 29 16 20 5 18C2 18 1 17 1 15Z",
        ),
        inside=("M5 15C18 18 26 26 40 25.5C50 25 56 14 66 9",),
    ),
    Germ(id="columnaris", box=(10, 70, 600, 280), outside=_rods()),
    Germ(
        id="fungus",
        box=(-20, -10, 340, 240),
        outside=(
            "M-20 180C60 170 90 120 150 110C210 100 250 60 320 54M-20 192C64 182 96 134 152 122C214 "
            "110 254 72 320 66",
            "M120 116C130 80 160 50 160 6C160 -6 176 -6 176 6C176 56 142 84 134 112",
            "M60 158C90 190 150 190 190 226M72 150C100 178 158 180 206 218",
            "M210 96C236 130 280 130 320 150M222 92C246 118 286 120 320 138",
        ),
        grains=(
            *scattered(168, 12, 6, 12, 8, 1.6),
            *((-10 + 14 * k, 186 - 3.2 * k, 1.4) for k in range(10)),
            *((160 + 15 * k, 114 - 5 * k, 1.4) for k in range(10)),
        ),
        unit=12.0,  # the breadth of a thread
    ),
)

ALIKE = (
    Germ(
        id="air_bubble",
        box=(-4, -4, 108, 108),
        outside=(ellipse(50, 50, 50, 50), ellipse(50, 50, 47, 47), ellipse(50, 50, 44, 44)),
        inside=("M30 30C36 22 46 18 56 19",),
    ),
    Germ(
        id="algae",
        box=(-4, -4, 238, 108),
        outside=(ellipse(50, 36, 50, 34), ellipse(170, 50, 50, 34), ellipse(104, 80, 26, 20)),
        inside=(ellipse(34, 36, 12, 10), ellipse(158, 48, 12, 10)),
        grains=(
            *scattered(58, 36, 34, 24, 26, 3),
            *scattered(176, 50, 34, 24, 26, 3),
            *scattered(104, 80, 16, 12, 10, 3),
        ),
    ),
    Germ(
        id="scale",
        box=(-4, -4, 108, 100),
        outside=("M8 30C20 4 60 -4 90 12L98 20L90 26L100 34L90 42L100 50L90 58L98 66L88 74C60 96 20 88 "
                 "8 62C2 50 2 42 8 30Z",),
        inside=tuple(
            f"M{20 + 6 * k} {32 + 2 * k}C{30 + 5 * k} {14 + 5 * k} 64 {10 + 5 * k} 88 {24 + 3 * k}"
            f"M{20 + 6 * k} {60 - 2 * k}C{30 + 5 * k} {78 - 5 * k} 64 {82 - 5 * k} 88 {68 - 3 * k}"
            for k in range(4)
        ),
        threads=("M8 46H88",),
    ),
    Germ(
        id="plant_hair",
        box=(-2, -4, 204, 74),
        outside=("M0 56C60 50 100 4 200 2M0 66C66 62 110 14 200 10",),
        threads=("M36 51l6 10M74 36l8 10M110 19l7 11M150 7l4 9",),
    ),
    Germ(
        id="starch",
        box=(-4, -4, 108, 82),
        outside=("M2 40C0 14 30 0 62 4C90 8 104 24 98 44C92 66 62 78 34 70C14 64 2 54 2 40Z",),
        inside=(
            ellipse(30, 40, 7, 6), ellipse(36, 40, 18, 15), ellipse(42, 39, 29, 23),
            ellipse(47, 38, 40, 29),
        ),
    ),
    Germ(
        id="blood_cell",
        box=(-4, -4, 108, 78),
        outside=(ellipse(50, 35, 50, 34),),
        inside=(ellipse(50, 35, 15, 10),),
        grains=scattered(50, 35, 10, 6, 6, 1.4),
    ),
)  # fmt: skip
