"""How fast a substance goes, and what its effect words stand for."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tankward.knowledge.beliefs import belief
from tankward.knowledge.known import Facts
from tankward.knowledge.normal import Array
from tankward.knowledge.records.base import Record
from tankward.knowledge.records.organism import Factor
from tankward.knowledge.records.substance import Loss

PROCESSES = ("dark", "light", "filter_naive", "filter_used", "carbon", "theta")
AT_C = 20.0  # temperature of the half-lives


class LossRates(Record, frozen=True, kw_only=True):
    """Rates at which a substance goes, each per h; they add."""

    dark: Array
    light: Array
    filter_naive: Array
    filter_used: Array
    carbon: Array


def loss_rates(loss: Loss, u: Mapping[str, Array], temp_c: Array | float) -> LossRates:
    """Rates of loss at a temperature, one uniform number for each process.

    Parameters
    ----------
    loss : Loss
        Half-lives at 20 °C. [h]
    u : mapping of process to array
        Shares for "dark", "light", "filter_naive", "filter_used", "carbon", "theta". [-]
    temp_c : number or array
        Water temperature. [°C]

    Returns
    -------
    LossRates
        ln 2 / half-life, dark and filter times theta^(T - 20). [1/h]
    """
    drawn = {name: belief(getattr(loss, name)).draw(u[name]) for name in PROCESSES}
    warm = drawn["theta"] ** (np.asarray(temp_c, dtype=np.float64) - AT_C)
    rate = {name: np.log(2) / drawn[name] for name in PROCESSES if name != "theta"}
    return LossRates(
        dark=rate["dark"] * warm,
        light=rate["light"],
        filter_naive=rate["filter_naive"] * warm,
        filter_used=rate["filter_used"] * warm,
        carbon=rate["carbon"],
    )


def effect_factor(word: Factor, u: Array) -> Array:
    """Factor on filter or plants at half the usual level or more, for an effect word. [-]"""
    return belief(word).draw(u)


def at_level(factor: Array, level: Array | float, usual_level: float) -> Array:
    """The factor while the substance is at this level: in proportion below half its usual level. [-]"""
    share = np.clip(np.asarray(level, dtype=np.float64) / (usual_level / 2), 0.0, 1.0)
    return np.asarray(1.0 - (1.0 - factor) * share)


def effect_word(facts: Facts, substance: str, on: str) -> str:
    """The word for its effect on something; "unknown" when no row says."""
    return next((e.level for e in facts.substances[substance].effect if e.on == on), "unknown")


def filter_factor(facts: Facts, substance: str, on: str, u: Mapping[str, Array]) -> Array:
    """Factor on "filter" or "plants"; of a combination the product of its parts. One number a substance."""
    one = facts.substances[substance]
    if one.parts:
        return np.asarray(np.prod([filter_factor(facts, part, on, u) for part in one.parts], axis=0))
    word = facts.filter_effects[effect_word(facts, substance, on)]
    return effect_factor(word, u[substance])
