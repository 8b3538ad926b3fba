"""Germs of one cell, and the eggs and spores: each 100 units long, its front at the left."""

from __future__ import annotations

from math import pi

from .germs import Germ, band, ellipse, hairs, scattered, spokes

PEAR = "M2 32C6 12 34 2 64 4C90 6 100 20 100 32C100 44 90 58 64 60C34 62 6 52 2 32Z"
DROP = "M0 22C6 6 32 0 56 4C78 8 92 16 100 22C92 28 78 36 56 40C32 44 6 38 0 22Z"
LEAF = (
    "M4 44C-2 20 26 2 62 4C78 5 90 10 98 18C92 26 90 32 92 38C94 46 98 54 96 62"
    "C84 76 66 80 54 80C28 80 10 68 4 44Z"
)
PACKET = ((0, 60), (118, 20), (232, 62), (58, 126), (176, 118), (14, 190), (130, 190), (240, 172))

CELLS = (
    Germ(
        id="white_spot",
        box=(-6, -6, 112, 112),
        outside=(ellipse(50, 50, 50, 50),),
        inside=(band(50, 52, 21, 6, -0.35 * pi, 1.15 * pi),),
        threads=(hairs(50, 50, 50, 50, 72, 5),),
        grains=scattered(50, 50, 44, 44, 46, 1.1),
    ),
    Germ(
        id="white_spot_swimmer",
        box=(-6, -6, 112, 76),
        outside=(PEAR,),
        inside=(ellipse(58, 32, 13, 11),),
        threads=(hairs(51, 32, 50, 29, 48, 6), "M12 32H40M78 32H96M16 24C30 16 60 12 90 22M16 40C30 48 "
                                               "60 52 90 42"),
    ),
    Germ(
        id="velvet",
        box=(-14, 0, 116, 64),
        outside=("M4 32C20 30 28 4 62 4C90 4 101 18 101 32C101 46 90 60 62 60C28 60 20 34 4 32Z",),
        inside=(ellipse(66, 32, 12, 11),),
        threads=("M4 32L-12 22M4 32L-14 28M4 32L-14 35M4 32L-12 42",),
        grains=scattered(64, 32, 34, 24, 60, 1.8),
    ),
    Germ(
        id="costia",
        box=(-6, -8, 150, 96),
        outside=("M0 26C8 4 56 -4 86 10C104 20 104 44 86 50C66 56 48 40 26 42C10 44 -4 40 0 26Z",),
        inside=(ellipse(64, 24, 10, 9), "M22 41C34 32 44 30 52 34"),
        threads=("M30 42C46 66 70 52 92 70S128 78 142 66", "M26 42C36 70 62 74 84 84"),
        grains=((30, 22, 2), (44, 16, 2), (84, 34, 2)),
    ),
    Germ(
        id="trichodina",
        box=(-7, -7, 114, 114),
        outside=(ellipse(50, 50, 50, 50),),
        inside=(
            ellipse(50, 50, 34, 34),
            ellipse(50, 50, 20, 20),
            spokes(50, 50, 20, 31, 22, 0.22),
            spokes(50, 50, 8, 17, 22, -0.12),
        ),
        threads=(hairs(50, 50, 50, 50, 80, 6), spokes(50, 50, 38, 48, 60)),
    ),
    Germ(
        id="chilodonella",
        box=(-6, -4, 110, 92),
        outside=(LEAF,),
        inside=(ellipse(40, 46, 13, 11), "M76 30L84 40M76 44L84 42"),
        threads=(
            "M10 36C26 16 60 12 88 20M8 46C24 26 58 22 84 28M12 58C30 70 62 72 90 62M10 52C26 60 60 62 88 54",
            "M14 24l-6 -6M30 10l-4 -7M52 4l-1 -7M20 70l-6 5M40 79l-3 7M62 79l1 7",
        ),
    ),
    Germ(
        id="tetrahymena",
        box=(-6, -6, 112, 76),
        outside=(PEAR,),
        inside=(ellipse(60, 32, 12, 10), "M14 26C20 24 24 30 18 36"),
        threads=(
            hairs(51, 32, 50, 29, 60, 5),
            "M10 32C30 10 70 8 96 24M8 34C30 24 40 22 46 24M10 36C30 54 70 56 96 40M76 26C84 26 92 28 98 32",
        ),
    ),
    Germ(
        id="spironucleus",
        box=(-92, -30, 290, 104),
        outside=(DROP,),
        inside=(ellipse(18, 17, 7, 4), ellipse(18, 27, 7, 4)),
        threads=(
            "M4 14C-20 4 -40 -16 -66 -12S-84 -28 -90 -26M3 18C-24 14 -44 2 -66 6S-86 -2 -92 2",
            "M2 21C-24 22 -46 16 -64 20S-84 14 -90 18M2 24C-24 28 -46 28 -64 28S-84 34 -90 32",
            "M3 27C-24 34 -44 44 -66 40S-86 50 -92 46M4 30C-20 42 -40 60 -66 56S-84 72 -90 70",
            "M96 20C120 12 140 22 160 14S186 20 196 12M96 24C120 34 140 22 160 32S186 26 196 36",
        ),
    ),
    Germ(
        id="cryptobia",
        box=(-70, -16, 250, 76),
        outside=("M0 22C10 8 40 4 66 10C84 14 96 20 102 26C94 32 72 36 48 36C22 36 4 32 0 22Z",),
        inside=(ellipse(56, 22, 9, 7), "M10 18C18 14 26 14 32 16"),
        threads=("M2 20C-16 6 -30 24 -44 12S-62 -6 -68 2", "M2 24C20 44 40 28 60 40S98 30 120 44S160 "
                                                           "36 178 48"),
    ),
    Germ(
        id="capillaria_egg",
        box=(-2, -2, 104, 56),
        outside=("M8 14C24 -4 76 -4 92 14C96 20 96 32 92 38C76 56 24 56 8 38C4 32 4 20 8 14Z",),
        inside=(
            "M14 16C28 2 72 2 86 16V36C72 50 28 50 14 36Z",
            "M8 16C2 18 0 22 0 26S2 34 8 36M92 16C98 18 100 22 100 26S98 34 92 36",
        ),
        grains=scattered(50, 26, 30, 17, 40, 1.3),
    ),
    Germ(
        id="spores",
        box=(-12, -34, 360, 262),
        outside=tuple(
            f"M{x} {y}C{x} {y - 22} {x + 30} {y - 34} {x + 62} {y - 28}C{x + 90} {y - 22} {x + 100} {y - 10} "
            f"{x + 100} {y}C{x + 100} {y + 12} {x + 88} {y + 26} {x + 60} {y + 30}C{x + 28} {y + 34} "
            f"{x} {y + 22} {x} {y}Z"
            for x, y in PACKET
        ),
        inside=tuple(
            ellipse(x + 72, y, 18, 15)
            for x, y in PACKET
        ),
    ),
    Germ(
        id="lymphocystis",
        box=(-6, -6, 188, 172),
        outside=(ellipse(50, 50, 50, 50), ellipse(134, 92, 42, 42), ellipse(60, 132, 28, 28)),
        inside=(
            ellipse(50, 50, 43, 43), ellipse(134, 92, 36, 36), ellipse(60, 132, 23, 23),
            ellipse(46, 50, 14, 12), ellipse(136, 94, 12, 10), ellipse(60, 132, 7, 6),
        ),
        grains=scattered(50, 50, 34, 34, 26, 1.6),
    ),
)  # fmt: skip
