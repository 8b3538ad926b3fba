"""Two guilds of the filter turn ammonia into nitrite and nitrite into nitrate, and grow by it."""

from __future__ import annotations

import math
from typing import Any

from tankward.model.events import NewWater, Read
from tankward.model.maths import exp, maximum, minimum, sqrt, where
from tankward.model.rows import At, Rows
from tankward.room.acts import Clean, Transfer
from tankward.water.arrays import ZERO_C_IN_K
from tankward.water.nitrogen import GAS_CONSTANT_KJ, O2_PER_N, O2_PER_NITRITE_N, PH_FULL, PH_SLOPE

from .carbonate import LEAST_ALKALINITY_MG_L

STATE = ("tan_mg", "nitrite_mg", "nitrate_mg", "first_guild_mg_h", "second_guild_mg_h")
DRAWN = {
    "first_growth_d": "nit.AOB.mu_max",
    "first_half_mg_l": "nit.AOB.K_TAN",
    "first_half_o2_mg_l": "nit.AOB.K_O2",
    "first_decay_d": "nit.AOB.decay",
    "first_activation_kj": "first_guild_activation",
    "second_growth_d": "nit.NOB.mu_max",
    "second_half_mg_l": "nit.NOB.K_NO2",
    "second_half_o2_mg_l": "nit.NOB.K_O2",
    "second_decay_d": "nit.NOB.decay",
    "second_activation_kj": "second_guild_activation",
    "second_half_nh3_mg_l": "second_guild_ammonia",
    "guild_reference_c": "guild_reference_temp",
    "clean_kept": "filter_clean_kept",
    "stood_share": "filter_stood",
}
PACE = ("first_speed", "second_speed", "first_growth_h", "second_growth_h")
PER_H = 1.0 / 24.0  # of what is told for a day
FIRST_OXYGEN = O2_PER_N - O2_PER_NITRITE_N
MIDDLE_PH = 6.6
PER_MIDDLE_ACID, MIDDLE_SPAN = 10.0**MIDDLE_PH, 4.2  # × and ÷: from pH 7.22 to 5.98
C3, C5, C7, C9, C11, C13 = (1 / n for n in range(3, 15, 2))
MIDDLE_SPEED, SPEED_BY_LN = 1.0 - PH_SLOPE * (PH_FULL - MIDDLE_PH), PH_SLOPE / math.log(10)


def warmth(activation_kj: Any, reference_c: Any, temp_c: Any) -> Any:
    """Speed against that at the reference temperature, Arrhenius. [-] Source: VANNECKE14 (published-read)."""
    t, reference = temp_c + ZERO_C_IN_K, reference_c + ZERO_C_IN_K
    return exp(activation_kj * (t - reference) / (GAS_CONSTANT_KJ * t * reference))


def speed(th: Rows, activation_kj: Any, temp_c: Any, i: At) -> Any:
    """The same at any warmth: beyond that for which it was fitted the edge holds, and is less sure. [-]"""
    told = minimum(maximum(temp_c, th.guilds_from_c[i]), th.guilds_to_c[i])
    out = maximum(temp_c - told, told - temp_c)
    unsure = exp(th.guilds_beyond_1_c[i] * out)
    return unsure * warmth(activation_kj, th.guild_reference_c[i], told)


def pace(e: Rows, th: Rows, p: Rows, i: At) -> None:
    """Speed of each guild at this temperature and flow, and growth. [-, -, 1/h, 1/h]"""
    runs = where(e.flows, 1.0, th.stood_share[i])
    p.first_speed[i] = runs * speed(th, th.first_activation_kj[i], e.temp_c[i], i)
    p.second_speed[i] = runs * speed(th, th.second_activation_kj[i], e.temp_c[i], i)
    p.first_growth_h[i] = th.first_growth_d[i] / 24.0
    p.second_growth_h[i] = th.second_growth_d[i] / 24.0


def rates(y: Rows, x: Rows, p: Rows, th: Rows, dy: Rows, i: At) -> None:
    """Monod in the food and in oxygen; the harm of substances and acid water slow both guilds.

    Notes
    -----
    A guild is counted by what it could turn over at the reference temperature, without lack of anything
    [mg N/h], so its yield is not needed. Oxygen 3.43 and 1.14 mg for each mg N. Source: SIN08, WIESMANN,
    PARK09 (published-read). All acid comes of the first step: two for each nitrogen, which take
    alkalinity and free its carbon dioxide. The factor of pH is a straight line in it from 6.0 to 7.2
    (EPA93, memory); the logarithm of acid over that of pH 6.6 by the series of artanh, true to 1e-4.
    """
    tan = maximum(y.tan_mg[i], 0.0) * p.per_l[i]
    nitrite = maximum(y.nitrite_mg[i], 0.0) * p.per_l[i]
    oxygen = maximum(y.oxygen_mg[i], 0.0) * p.per_l[i]
    alkalinity = maximum(y.alkalinity_mg[i], LEAST_ALKALINITY_MG_L * p.volume_l[i])
    plain = p.acid_ratio[i] * maximum(y.co2_mg[i], 0.0) / alkalinity
    acid = p.acid_as_read[i] + 0.5 * (plain + sqrt(plain * (plain + p.acid_second[i])))
    sour = minimum(maximum(acid * PER_MIDDLE_ACID, 1.0 / MIDDLE_SPAN), MIDDLE_SPAN)
    z = (sour - 1.0) / (sour + 1.0)
    z2 = z * z
    ln = 2.0 * z * (1.0 + z2 * (C3 + z2 * (C5 + z2 * (C7 + z2 * (C9 + z2 * (C11 + z2 * C13))))))
    speed = minimum(maximum(MIDDLE_SPEED - SPEED_BY_LN * ln, 0.0), 1.0)
    speed = p.speed_as_read[i] + th.carbonate_read[i] * speed
    fit = speed * minimum(y.filter_fit[i], x.filter[i])
    # One division for each guild, as a division costs as much as ten of the rest: the last factor of the
    # second is 1/(1 + free/half) with free = tan ammonium/(ammonium + acid).
    first_lacks = (th.first_half_mg_l[i] + tan) * (th.first_half_o2_mg_l[i] + oxygen)
    first = p.first_speed[i] * fit * (tan * oxygen / first_lacks)
    borne = th.second_half_nh3_mg_l[i] * (p.ammonium[i] + acid)
    second_lacks = (th.second_half_mg_l[i] + nitrite) * (th.second_half_o2_mg_l[i] + oxygen)
    held_back = second_lacks * (borne + tan * p.ammonium[i])
    second = p.second_speed[i] * fit * (nitrite * oxygen * borne / held_back)
    to_nitrite = y.first_guild_mg_h[i] * first
    to_nitrate = y.second_guild_mg_h[i] * second
    dy.tan_mg[i] -= to_nitrite
    dy.alkalinity_mg[i] -= 2.0 * th.alkalinity_per_n[i] * to_nitrite
    dy.co2_mg[i] += 2.0 * th.co2_per_n[i] * to_nitrite
    dy.nitrite_mg[i] += to_nitrite - to_nitrate
    dy.nitrate_mg[i] += to_nitrate
    dy.oxygen_mg[i] -= FIRST_OXYGEN * to_nitrite + O2_PER_NITRITE_N * to_nitrate
    dy.first_guild_mg_h[i] += y.first_guild_mg_h[i] * (
        p.first_growth_h[i] * first - th.first_decay_d[i] * PER_H
    )
    dy.second_guild_mg_h[i] += y.second_guild_mg_h[i] * (
        p.second_growth_h[i] * second - th.second_decay_d[i] * PER_H
    )


def change(y: Rows, act: Any, th: Rows, i: At) -> None:
    """What is dissolved goes with the water, new water brings what the tap holds; the guilds sit on surfaces
    and stay.
    """
    y.tan_mg[i] += act.litres[i] * th.tap_ammonia_n[i] - act.share[i] * y.tan_mg[i]
    y.nitrite_mg[i] += act.litres[i] * th.tap_nitrite_n[i] - act.share[i] * y.nitrite_mg[i]
    y.nitrate_mg[i] += act.litres[i] * th.tap_nitrate_n[i] - act.share[i] * y.nitrate_mg[i]


def clean(y: Rows, act: Any, th: Rows, i: At) -> None:
    """A filter that is cleaned loses part of both guilds."""
    if act.what == "filter":
        y.first_guild_mg_h[i] *= th.clean_kept[i]
        y.second_guild_mg_h[i] *= th.clean_kept[i]


def clean_tub(y: Rows, act: Any, th: Rows, i: At) -> None:
    """The walls of a clean, dry tub hold no more of either guild than a new one."""
    y.first_guild_mg_h[i] = minimum(y.first_guild_mg_h[i], th.first_start_mg_h[i])
    y.second_guild_mg_h[i] = minimum(y.second_guild_mg_h[i], th.second_start_mg_h[i])


READS = {"ammonia_n": "tan_mg", "nitrite_n": "nitrite_mg", "nitrate_n": "nitrate_mg"}


def read(y: Rows, act: Any, th: Rows, i: At) -> None:
    """From a reading on, the level is what was read, with the error of the kit."""
    if act.quantity in READS:
        getattr(y, READS[act.quantity])[i] = act.values[i] * act.volume_l[i]


ACTS = {NewWater: change, Clean: clean, Transfer: clean_tub, Read: read}
