"""Substances in the water: exact between events, any number of them as rows of data.

dm/dt = −k m + s with k = ln 2 × (θ^(T−20)/dark + light/half-life in light + θ^(T−20)/filter +
carbon/half-life by carbon). Nothing else flows back into it, so it takes no step of its own and costs no
error.
"""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import numpy as np

from tankward.knowledge.beliefs import drawn, quantile
from tankward.model.draws import uniform
from tankward.model.known import SubstanceRows
from tankward.model.maths import exp, maximum, minimum, where
from tankward.model.rows import Array, Rows

LN2 = 0.6931471805599453
REFERENCE_C = 20.0
SLOTS = 4  # columns of their own; what comes after takes them again, turned
FULL_EFFECT = 0.5  # share of the usual level from which the whole effect is there
ROUND = 0.25  # of that level, to either side: no fact knows a sharp bend, and over one steps would be short
BELOW_ANY = 1e-12


def substance_parameters(
    rows: Sequence[SubstanceRows],
    draws: int,
    *,
    filtered: bool,
    dosed: dict[str, float],
    half_life_h: tuple[float, float] | None = None,
) -> Rows:
    """Losses and effects of each substance in each draw: arrays of rows × draws.

    Parameters
    ----------
    rows : sequence of SubstanceRows
        In the order in which they first come into the water, so that a later one leaves the earlier
        draws alone.
    draws : int
        How many.
    filtered : bool
        False: a bare tub, where nothing is taken up.
    dosed : dict
        Largest level [in the substance's unit] that is put in; stands for the usual one where none is known.
    half_life_h : pair, optional
        What is believed of the half-life all in all, in place of the facts; 5th and 95th centile.
    """
    th = SimpleNamespace()
    for name in ("dark", "light", "naive", "used", "carbon", "theta"):
        setattr(th, name, np.ones((len(rows), draws)))
    th.filter_left, th.plants_left = np.ones((len(rows), draws)), np.ones((len(rows), draws))
    th.oxygen_per_unit_l = np.zeros((len(rows), draws))
    th.usual = np.ones((len(rows), 1))
    for n, one in enumerate(rows):
        _losses(th, n, one, draws)
        _effects(th, n, one, draws, dosed.get(one.id, 0.0))
        if half_life_h is not None:
            _believed(th, n, half_life_h, draws)
    th.uptake = 1.0 if filtered else 0.0
    return th


def column(slot: int, part: str, draws: int) -> Array:
    """The numbers of one part of a substance."""
    return uniform(f"substance_{slot % SLOTS + 1}_{part}", draws, turn=slot // SLOTS)


def _losses(th: Rows, n: int, one: SubstanceRows, draws: int) -> None:
    loss = one.loss
    th.dark[n] = drawn(loss.dark, column(n, "dark", draws))
    th.light[n] = drawn(loss.light, column(n, "light", draws))
    th.naive[n] = drawn(loss.filter_naive, column(n, "filter", draws))
    th.used[n] = drawn(loss.filter_used, column(n, "filter", draws))
    th.carbon[n] = drawn(loss.carbon, column(n, "carbon", draws))
    th.theta[n] = drawn(loss.theta, column(n, "theta", draws))


def _believed(th: Rows, n: int, half_life_h: tuple[float, float], draws: int) -> None:
    th.dark[n] = quantile(*half_life_h, "h", column(n, "dark", draws))
    th.theta[n] = 1.0
    for name in ("light", "naive", "used"):
        getattr(th, name)[n] = np.inf


def _effects(th: Rows, n: int, one: SubstanceRows, draws: int, dosed: float) -> None:
    th.filter_left[n] = drawn(one.filter, column(n, "filter_effect", draws))
    th.plants_left[n] = drawn(one.plants, column(n, "plant_effect", draws))
    usual = one.usual or dosed or 1.0
    th.usual[n] = usual
    taken = drawn(one.oxygen, column(n, "oxygen", draws))
    th.oxygen_per_unit_l[n] = taken if one.oxygen_by == "amount" else taken / usual


def loss_rates(th: Rows, temp_c: Array, *, light: Array | float, carbon: float, used: Array) -> Array:
    """Rate at which each substance goes, but for changes. [1/h]

    Parameters
    ----------
    temp_c : array
        For each draw.
    light : array or number
        0 in the dark; 1 in the light of this tank.
    carbon : number
        1 fresh, 0.5 half spent, 0 none.
    used : array of bool
        For each substance: whether the filter met it before.
    """
    warm = th.theta ** (temp_c - REFERENCE_C)
    met = where(used[:, None], th.used, th.naive)
    rate: Array = LN2 * (warm * (1.0 / th.dark + th.uptake / met) + light / th.light + carbon / th.carbon)
    return rate


def gone(rate: Array, hours: Array | float) -> tuple[Array, Array]:
    """Share that is left after so long, and the hours that a steady inflow counts for. [-, h]"""
    spent = rate * hours
    left = exp(-spent)
    counts = where(spent > BELOW_ANY, -np.expm1(-spent) / where(rate > 0, rate, 1.0), hours)
    return left, counts


def effect(level: Any) -> Any:
    """How much of the whole effect there is at a level, told as a share of that from which it is whole. [-]

    Notes
    -----
    In proportion below 1, all of it above (memory), and between 1 - ROUND and 1 + ROUND the parabola that
    leads from one line into the other.
    """
    over = minimum(maximum(level - (1.0 - ROUND), 0.0), 2.0 * ROUND)
    return minimum(level, 1.0 - ROUND) + over * (1.0 - over / (4.0 * ROUND))


def seen(th: Rows, amounts: Array, per_l: Array) -> tuple[Array, Array]:
    """What the substances leave of the filter's and of the plants' work; several multiply (memory). [-]"""
    reached = effect(amounts * per_l / (FULL_EFFECT * th.usual))
    left = np.prod(1.0 - (1.0 - th.filter_left) * reached, axis=0)
    plants = np.prod(1.0 - (1.0 - th.plants_left) * reached, axis=0)
    return left, plants
