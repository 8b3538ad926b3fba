"""A harmful substance wears the filter down within hours, and so does standing without flow; once either is
over the filter comes back in days.
"""

from __future__ import annotations

from tankward.model.maths import maximum, where
from tankward.model.rows import At, Rows

STATE = ("filter_fit",)
DRAWN = {
    "harm_half_h": "filter_harm",
    "back_half_d": "filter_comes_back",
    "stood_half_h": "filter_stood_half",
}
PACE = ("harm_1_h", "back_1_h", "stood_1_h")
LN2 = 0.6931471805599453


def pace(e: Rows, th: Rows, p: Rows, i: At) -> None:
    """Rates of harm, of coming back, and of dying off without flow. [1/h]"""
    p.harm_1_h[i] = LN2 / th.harm_half_h[i]
    p.back_1_h[i] = where(e.flows, LN2 / (24.0 * th.back_half_d[i]), 0.0)
    p.stood_1_h[i] = where(e.flows, 0.0, LN2 / th.stood_half_h[i])


def rates(y: Rows, x: Rows, p: Rows, th: Rows, dy: Rows, i: At) -> None:
    """The share of the filter that works moves towards what the substances leave of it."""
    short = x.filter[i] - y.filter_fit[i]
    dy.filter_fit[i] += p.back_1_h[i] * maximum(short, 0.0) - p.harm_1_h[i] * maximum(-short, 0.0)
    dy.filter_fit[i] -= p.stood_1_h[i] * y.filter_fit[i]
