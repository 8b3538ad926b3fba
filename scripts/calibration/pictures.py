"""A small picture of ranks: how far the share below each place is off, and how far it may be."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from .statistic import PLACES, band, counts

WIDE, HIGH = 360, 200
LEFT, RIGHT, TOP, BOTTOM = 46, 18, 24, 34
MOST = 0.3  # of the axis
LINES = ("#2f5d50", "#a33", "#2a5caa")
DASHES = ("none", "6 3", "2 3")


def drawn(title: str, ranks: Mapping[str, np.ndarray], limit: float) -> str:
    """As SVG; the first way is the one that has to stay inside."""
    of = len(next(iter(ranks.values())))
    low, high = band(of, limit)
    up = [f"{_x(p):.1f},{_y(h - p):.1f}" for p, h in zip(PLACES, high, strict=True)]
    down = [f"{_x(p):.1f},{_y(v - p):.1f}" for p, v in reversed(list(zip(PLACES, low, strict=True)))]
    lines = [
        f'<polyline points="{_line(r)}" fill="none" stroke="{colour}" stroke-width="1.5"'
        f' stroke-dasharray="{dash}"/>'
        for r, colour, dash in zip(ranks.values(), LINES, DASHES, strict=False)
    ]
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE}" height="{HIGH}" viewBox="0 0 {WIDE} {HIGH}" '
        'font-family="sans-serif" font-size="11" role="img">',
        f"<title>{title}</title>",
        f'<rect width="{WIDE}" height="{HIGH}" fill="#fff"/>',
        f'<polygon points="{" ".join(up + down)}" fill="#cfd8d3" stroke="none"/>',
        f'<path d="M{LEFT} {_y(0):.1f}H{WIDE - RIGHT}" stroke="#999" stroke-width="0.5"/>',
        *lines,
        f'<path d="M{LEFT} {TOP}V{HIGH - BOTTOM}H{WIDE - RIGHT}" fill="none" stroke="#333"/>',
        *(
            f'<text x="{_x(p):.0f}" y="{HIGH - BOTTOM + 13}" text-anchor="middle" fill="#333">{p:g}</text>'
            for p in (0, 0.5, 1)
        ),
        *(
            f'<text x="{LEFT - 5}" y="{_y(d) + 4:.0f}" text-anchor="end" fill="#333">{d:+.1f}</text>'
            for d in (-0.2, 0, 0.2)
        ),
        f'<text x="{WIDE / 2:.0f}" y="{HIGH - 4}" text-anchor="middle" fill="#333">rank of the truth</text>',
        f'<text x="{LEFT}" y="14" fill="#333">{title}</text>',
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _line(ranks: np.ndarray) -> str:
    off = counts(ranks) / len(ranks) - PLACES
    inner = [f"{_x(p):.1f},{_y(d):.1f}" for p, d in zip(PLACES, off, strict=True)]
    return " ".join([f"{_x(0):.1f},{_y(0):.1f}", *inner, f"{_x(1):.1f},{_y(0):.1f}"])


def _x(place: float) -> float:
    return LEFT + (WIDE - LEFT - RIGHT) * place


def _y(off: float) -> float:
    middle, half = (TOP + HIGH - BOTTOM) / 2, (HIGH - BOTTOM - TOP) / 2
    return middle - half * max(min(off / MOST, 1.0), -1.0)
