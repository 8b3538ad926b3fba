"""A small picture: the model's band, its middle, the published points."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from .verdict import Picture

WIDE, HIGH = 360, 200
LEFT, RIGHT, TOP, BOTTOM = 46, 18, 24, 34
HEAD = (
    f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE}" height="{HIGH}" viewBox="0 0 {WIDE} {HIGH}" '
    'font-family="sans-serif" font-size="11" role="img">'
)


def drawn(picture: Picture, title: str) -> str:
    """As SVG."""
    at_x = _scale(
        [b[0] for b in picture.band] + [p[0] for p in picture.points], LEFT, WIDE - RIGHT, log=False
    )
    heights = [v for b in picture.band for v in b[1:]] + [p[1] for p in picture.points]
    at_y = _scale([*heights, 0.0], HIGH - BOTTOM, TOP, log=picture.log)
    up = [f"{at_x(x):.1f},{at_y(high):.1f}" for x, _, _, high in picture.band]
    down = [f"{at_x(x):.1f},{at_y(low):.1f}" for x, low, _, _ in reversed(picture.band)]
    middle = " ".join(f"{at_x(x):.1f},{at_y(m):.1f}" for x, _, m, _ in picture.band)
    parts = [
        HEAD,
        f"<title>{title}</title>",
        f'<rect width="{WIDE}" height="{HIGH}" fill="#fff"/>',
        f'<polygon points="{" ".join(up + down)}" fill="#cfd8d3" stroke="none"/>',
        f'<polyline points="{middle}" fill="none" stroke="#2f5d50" stroke-width="1.5"/>',
        *(
            f'<circle cx="{at_x(x):.1f}" cy="{at_y(y):.1f}" r="2.5" fill="none" stroke="#a33"/>'
            for x, y in picture.points
        ),
        f'<path d="M{LEFT} {TOP}V{HIGH - BOTTOM}H{WIDE - RIGHT}" fill="none" stroke="#333"/>',
        *_ticks(picture, at_x, at_y, heights),
        f'<text x="{WIDE / 2:.0f}" y="{HIGH - 4}" text-anchor="middle" fill="#333">{picture.x}</text>',
        f'<text x="{LEFT}" y="{TOP - 9}" fill="#333">{picture.y}</text>',
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _scale(values: list[float], begin: float, end: float, *, log: bool) -> Callable[[float], float]:
    told = np.log1p(values) if log else np.array(values, dtype=float)
    low, wide = float(told.min()), float(np.ptp(told)) or 1.0
    return lambda v: begin + (end - begin) * ((float(np.log1p(v)) if log else float(v)) - low) / wide


def _ticks(
    picture: Picture, at_x: Callable[[float], float], at_y: Callable[[float], float], heights: list[float]
) -> list[str]:
    xs = [b[0] for b in picture.band]
    top = max(heights)
    ys = (
        [0, *(10**k for k in range(int(np.log10(max(top, 10))) + 1))]
        if picture.log
        else [0, _round(top / 2), _round(top)]
    )
    return [
        *(
            f'<text x="{at_x(x):.0f}" y="{HIGH - BOTTOM + 13}" text-anchor="middle" fill="#333">{x:g}</text>'
            for x in sorted({min(xs), xs[len(xs) // 2], max(xs)})
        ),
        *(
            f'<text x="{LEFT - 5}" y="{at_y(y) + 4:.0f}" text-anchor="end" fill="#333">{y:g}</text>'
            for y in ys
            if y <= top
        ),
    ]


def _round(value: float) -> float:
    return float(f"{value:.1g}")
