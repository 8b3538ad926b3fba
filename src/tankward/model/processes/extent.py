"""How much water there is: it falls as water evaporates or is lost, and what is dissolved stands in what is
left (`water_line.py`).
"""

from __future__ import annotations

from tankward.model.rows import At, Rows

STATE: tuple[str, ...] = ()
DRAWN: dict[str, str] = {}
PACE = ("volume_l", "per_l")


def pace(e: Rows, th: Rows, p: Rows, i: At) -> None:
    """Water there is, and one over it: what turns an amount into a level. [L, 1/L]"""
    p.volume_l[i] = th.volume_l[i] * e.left[i]
    p.per_l[i] = 1.0 / p.volume_l[i]


def rates(y: Rows, x: Rows, p: Rows, th: Rows, dy: Rows, i: At) -> None:
    """None of its own: how far the line has fallen is known beforehand."""
