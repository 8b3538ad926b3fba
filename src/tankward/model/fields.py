"""Germs counted in one field of a microscope: how many a fish carries by them nobody knows, but twice as many
is twice as many. So only how two such counts stand to each other tells anything.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec
import numpy as np

from .counts import LEAST, log_parasites
from .rows import Array

SIZE = 1.0  # of the negative binomial of germs over fields and fish: they sit in heaps [our own choice]
FIRST = np.geomspace(0.02, 500.0, 41)[:, None]  # a field as it may be at the first count
MOST = 200  # germs; above it nobody counts
REACH = 1e6


class InField(msgspec.Struct, frozen=True, kw_only=True):
    """So many germs in one low-power field."""

    at: datetime
    number: float


def log_fields(fields: Sequence[InField], loads: Array) -> Array:
    """ln of how likely each draw makes the counts, whatever a field holds of what is carried.

    Parameters
    ----------
    fields : sequence of InField
        In their order.
    loads : array
        What is carried then: counts × draws, in any unit.
    """
    base = np.maximum(loads[0], LEAST)
    logs = np.zeros((len(FIRST), loads.shape[1]))
    for field, load in zip(fields, loads, strict=True):
        mean = FIRST * np.clip(np.maximum(load, LEAST) / base, 1.0 / REACH, REACH)
        logs += log_parasites(round(min(field.number, MOST)), mean, np.full(mean.shape, SIZE))
    top = logs.max(axis=0)
    return np.asarray(top + np.log(np.exp(logs - top).mean(axis=0)))
