"""The copies of a run into levels, and how high and low each goes between them too; compiled.

As `record.recorded` and `between.both`, block by block of draws, so that a block's levels stay at hand and
nothing is kept that nobody asks for. Loops run over lanes.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numba import njit

from .compile import CALLED, PLAIN, cached_in
from .processes.carbonate import LEAST_ALKALINITY_MG_L, LEAST_CO2_MG_L
from .rows import Array
from .vector import logarithm

AMMONIA, NH3, NITRITE, NITRATE, OXYGEN, PH, ALKALINITY = range(7)  # after the substances
NAMES = ("ammonia_n", "nh3_n", "nitrite_n", "nitrate_n", "oxygen", "ph", "alkalinity")
FIELDS = ("tan_mg", "nitrite_mg", "nitrate_mg", "oxygen_mg", "alkalinity_mg", "co2_mg")
LN10 = 2.302585092994046
FURTHEST = 3.4e38  # of a number of 32 bits


class Copies(NamedTuple):
    """What a run kept, blocks × copies × rows × lanes; the rows of `FIELDS` in this order come first."""

    fields: Any
    amounts: Any
    at: Any  # minutes
    corners: Any  # whether the line may have a corner there
    warmth: Any  # of each copy which row of `Warm`


class Warm(NamedTuple):
    """What the warmth makes of acids: warmths × draws."""

    first: Any
    second: Any
    ammonium: Any


class Of(NamedTuple):
    """Of each draw."""

    per_l: Any
    acid: Any  # where pH stays
    left: Any  # copies × draws: water there is; 0 copies: all of it
    moves: bool  # pH does


@njit(**PLAIN)
def levels(c: Any, w: Any, o: Any, b: Any, out: Any, per_l: Any, acid: Any) -> None:
    """Of a block: copies × names × lanes."""
    copies, lanes, many = c.fields.shape[1], c.fields.shape[3], c.amounts.shape[2]
    for n in range(copies):
        at, first = c.warmth[n], b * lanes
        for i in range(lanes):
            per_l[i] = o.per_l[first + i]
        if o.left.shape[0] > 0:
            for i in range(lanes):
                per_l[i] /= o.left[n, first + i]
        for s in range(many):
            for i in range(lanes):
                out[n, s, i] = c.amounts[b, n, s, i] * per_l[i]
        if o.moves:
            for i in range(lanes):
                alkalinity = c.fields[b, n, 4, i] * per_l[i]
                out[n, many + ALKALINITY, i] = alkalinity
                co2 = max(c.fields[b, n, 5, i] * per_l[i], LEAST_CO2_MG_L)
                plain = w.first[at, first + i] * (co2 / max(alkalinity, LEAST_ALKALINITY_MG_L))
                acid[i] = 0.5 * (plain + np.sqrt(plain * (plain + w.second[at, first + i])))
            for i in range(lanes):
                out[n, many + PH, i] = -logarithm(acid[i]) / LN10
        else:
            for i in range(lanes):
                acid[i] = o.acid[first + i]
        for i in range(lanes):
            ammonia, bound = c.fields[b, n, 0, i] * per_l[i], w.ammonium[at, first + i]
            out[n, many + AMMONIA, i] = ammonia
            out[n, many + NH3, i] = ammonia * (bound / (bound + acid[i]))
            out[n, many + NITRITE, i] = c.fields[b, n, 1, i] * per_l[i]
            out[n, many + NITRATE, i] = c.fields[b, n, 2, i] * per_l[i]
            out[n, many + OXYGEN, i] = c.fields[b, n, 3, i] * per_l[i]


@njit(**CALLED)
def crest(c: Any, told: Any, name: Any, i: Any, middle: Any, begin: Any, up: Any) -> Any:
    """between._crest of one line."""
    last = c.at.size - 1
    if middle < 1 or middle > last - 1 or begin < 0 or begin > last - 1 or c.corners[middle]:
        return -FURTHEST
    before, after = c.at[middle] - c.at[middle - 1], c.at[middle + 1] - c.at[middle]
    if before <= 0.0 or after <= 0.0:
        return -FURTHEST
    y0, y1, y2 = (
        up * float(told[middle - 1, name, i]), up * float(told[middle, name, i]),
        up * float(told[middle + 1, name, i]),
    )  # fmt: skip
    rise, fall = (y1 - y0) / before, (y2 - y1) / after
    bend = (fall - rise) / (before + after)
    if bend >= 0.0:
        return -FURTHEST
    slope = rise + bend * before
    reach = -slope / (2.0 * bend)
    if c.at[middle] + reach < c.at[begin] or c.at[middle] + reach > c.at[begin + 1]:
        return -FURTHEST
    return y1 + 0.5 * slope * reach


@njit(**CALLED)
def beyond(c: Any, told: Any, name: Any, i: Any, top: Any, up: Any) -> Any:
    """between._beyond of one line, from its furthest record."""
    most = up * float(told[top, name, i])
    for begin in range(top - 1, top + 1):
        with_before = crest(c, told, name, i, begin, begin, up)
        with_after = crest(c, told, name, i, begin + 1, begin, up)
        if c.corners[max(begin, 0)]:
            most = max(most, with_after)
        elif with_before > -FURTHEST and with_after > -FURTHEST:
            most = max(most, (with_before + with_after) / 2)
    return up * most


def _ends(c: Any, w: Any, o: Any, asked: Any, out: Any, high: Any, low: Any) -> None:
    """The ends of every name, and the levels of those asked for: asked × copies × draws."""
    blocks, copies, lanes = c.fields.shape[0], c.fields.shape[1], c.fields.shape[3]
    names = c.amounts.shape[2] + ALKALINITY + 1
    told = np.zeros((copies, names, lanes), np.float32)
    per_l, acid = np.empty(lanes), np.empty(lanes)
    most, least = np.empty(lanes, np.float32), np.empty(lanes, np.float32)
    top, bottom = np.empty(lanes, np.int32), np.empty(lanes, np.int32)
    for b in range(blocks):
        levels(c, w, o, b, told, per_l, acid)
        for name in range(names):
            for i in range(lanes):
                most[i], least[i], top[i], bottom[i] = told[0, name, i], told[0, name, i], 0, 0
            for n in range(1, copies):
                for i in range(lanes):
                    here = told[n, name, i]
                    more, fewer = here > most[i], here < least[i]
                    most[i] = here if more else most[i]
                    top[i] = n if more else top[i]
                    least[i] = here if fewer else least[i]
                    bottom[i] = n if fewer else bottom[i]
            for i in range(lanes):
                high[name, b * lanes + i] = beyond(c, told, name, i, top[i], 1.0)
                low[name, b * lanes + i] = beyond(c, told, name, i, bottom[i], -1.0)
        for k in range(asked.size):
            for n in range(copies):
                for i in range(lanes):
                    out[k, n, b * lanes + i] = told[n, asked[k], i]


with cached_in() as keep:
    ends_kernel = njit(nogil=True, error_model="numpy", cache=keep)(_ends)


def ends(copies: Copies, warm: Warm, of: Of, asked: Any) -> tuple[Array, Array, Array]:
    """The most and the least of every name, and the levels of those asked for."""
    blocks, many, _, lanes = copies.fields.shape
    names, draws = copies.amounts.shape[2] + len(NAMES), blocks * lanes
    high, low = np.empty((names, draws)), np.empty((names, draws))
    out = np.empty((len(asked), many, draws), np.float32)
    ends_kernel(copies, warm, of, np.array(asked, dtype=np.int64), out, high, low)
    return high, low, out


def compile_now() -> None:
    """Have the kernel ready, on numbers of no consequence."""
    one = np.ones((1, 32))
    copies = Copies(
        np.ones((1, 2, len(FIELDS), 32)), np.ones((1, 2, 0, 32)), np.arange(2.0), np.zeros(2, dtype=bool),
        np.zeros(2, dtype=np.int64),
    )  # fmt: skip
    ends(copies, Warm(one, one, one), Of(one[0], one[0], np.zeros((0, 32)), True), ())
