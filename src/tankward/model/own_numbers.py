"""What a tank has taught of itself: its filter, its exchange of gas, how fast a drug goes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate

from . import bands
from .eye import lots_of
from .from_room import Story
from .known import substance_rows
from .parameters import parameters
from .prepare import usual_standing
from .processes.substances import LN2, loss_rates, substance_parameters
from .record import WATER, Record
from .rows import Array

DAY_H = 24.0


class OwnNumber(msgspec.Struct, frozen=True, kw_only=True):
    """One number of the tank: as the facts alone have it, before the last reading, and now.

    `what`: "filter" (ammonia that it can turn over when nothing is short) [mg N/d], "gas_exchange" at 20 °C
    [1/h], "half_life" of the substance `about` in this water [h], or "kit": what the bottle of the kit
    `about` shows of what there is [1].
    """

    what: str
    unit: str
    at_first: Estimate
    before: Estimate
    after: Estimate
    about: str = ""


def own_numbers(
    told: Story, record: Record, now: datetime, facts: Facts, weights: tuple[Array, Array]
) -> tuple[OwnNumber, ...]:
    """Before and after, of what the draws of a run differ in; `weights` before the last reading, and now."""
    flat = np.full(record.weights.size, 1.0 / record.weights.size)
    return tuple(
        OwnNumber(
            what=what,
            about=about,
            unit=unit,
            at_first=bands.band(values, flat),
            before=bands.band(values, weights[0]),
            after=bands.band(values, weights[1]),
        )
        for what, about, unit, values in _numbers(told, record, now, facts)
    )


def of_kits(lots: Mapping[str, Array], facts: Facts) -> Iterator[OwnNumber]:
    """How strong the bottle of each kit shows, by the readings taken with it."""
    for kit, shares in lots.items():
        values = lots_of(facts.kits[kit])
        usual = bands.band(values, np.full(values.size, 1.0 / values.size))
        yield OwnNumber(
            what="kit", about=kit, unit="1", at_first=usual, before=usual, after=bands.band(values, shares)
        )


def _numbers(
    told: Story, record: Record, now: datetime, facts: Facts
) -> Iterator[tuple[str, str, str, Array]]:
    setup, draws = told.setup, record.weights.size
    th = parameters(setup, facts, draws)
    if record.guild_mg_h is not None:
        yield "filter", "", "mg N/d", DAY_H * record.guild_mg_h[record.row_of(now)]
    yield "gas_exchange", "", "1/h", th.kla_20
    ids = [name for name in record.names if name not in WATER]
    rows = [substance_rows(facts, name) for name in ids]
    if rows:
        sub = substance_parameters(rows, draws, filtered=setup.filter != "none", dosed={})
        lit = th.light_scale * usual_standing(setup, facts).light_h / DAY_H
        used = np.array([r.id in setup.met for r in rows])
        rates = loss_rates(sub, th.temp_c, light=lit, carbon=0.0, used=used)
        for one, rate in zip(ids, rates, strict=True):
            yield "half_life", one, "h", LN2 / rate
