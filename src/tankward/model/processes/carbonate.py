"""Carbon dioxide and alkalinity: what pH comes of, where the keeper has read both.

Every process that takes oxygen gives carbon dioxide, every nitrogen that turns into ammonia gives alkalinity,
the filter takes twice that; here the gas goes through the surface, and what holds the tank where it was read
goes on.
"""

from __future__ import annotations

from typing import Any

from tankward.model.events import NewWater, Read
from tankward.model.maths import maximum, sqrt
from tankward.model.rows import At, Rows
from tankward.water.ammonia import pka_formula
from tankward.water.carbonate import CACO3_PER_EQ, CO2, co2_saturation_formula, pk1, pk2
from tankward.water.nitrogen import nitrifier_ph_factor

STATE = ("alkalinity_mg", "co2_mg")  # as CaCO3; free carbon dioxide
DRAWN: dict[str, str] = {}  # in resting.py: they share a column
PACE = (
    "co2_in_1_h",
    "co2_1_h",
    "co2_full_mg",
    "acid_ratio",
    "acid_second",
    "acid_as_read",
    "speed_as_read",
    "ammonium",
)
STIFF = {"co2_mg": "co2_1_h"}
LEAST_ALKALINITY_MG_L = 0.1  # below it pH is that of the acids themselves, which nobody reads
LEAST_CO2_MG_L = 0.001


def co2_of(ph: Any, temp_c: Any) -> Any:
    """Carbon dioxide for each mg/L of alkalinity, as CaCO3. [mg/mg] Source: PB82 (published-read)."""
    acid = 10.0**-ph
    bicarbonate = acid / (acid + 2.0 * 10.0 ** -pk2(temp_c))
    return bicarbonate * acid * CO2 / CACO3_PER_EQ / 10.0 ** -pk1(temp_c)


def acid_of(plain: Any, second: Any) -> Any:
    """H+ where carbonate takes its part: the root of H² = plain (H + second/4). [mol/L]"""
    return 0.5 * (plain + sqrt(plain * (plain + second)))


def first_of(temp_c: Any) -> Any:
    """H+ for each mg/L of carbon dioxide over alkalinity, all of it bicarbonate. [mol/L]"""
    return 10.0 ** -pk1(temp_c) * CACO3_PER_EQ / CO2


def second_of(temp_c: Any) -> Any:
    """Eight times the second acid constant. [mol/L]"""
    return 8.0 * 10.0 ** -pk2(temp_c)


def pace(e: Rows, th: Rows, p: Rows, i: At) -> None:
    """Exchange of the gas, what air gives, and the constants at this temperature.

    Notes
    -----
    H+ = K1 [CO2] / [HCO3-], and alkalinity = [HCO3-] (1 + 2 K2/H+): a square in H+, solved in the rates by
    its root (hydroxide is left out: 2 % at pH 9 and 30 mg/L). Source: PB82, EMERSON75 (published-read). No
    logarithm in the rates: what a pH that stays decides is worked out here.
    """
    p.co2_in_1_h[i] = p.kla_1_h[i] * th.co2_to_o2[i] * th.carbonate_read[i]
    p.co2_1_h[i] = p.co2_in_1_h[i] + th.co2_taken_1_h[i]
    p.co2_full_mg[i] = co2_saturation_formula(e.temp_c[i], th.room_co2_ppm[i]) * p.volume_l[i]
    p.acid_ratio[i] = first_of(e.temp_c[i])
    p.acid_second[i] = second_of(e.temp_c[i])
    p.acid_as_read[i] = 10.0 ** -th.ph[i] * (1.0 - th.carbonate_read[i])
    p.speed_as_read[i] = nitrifier_ph_factor(th.ph[i]) * (1.0 - th.carbonate_read[i])
    p.ammonium[i] = 10.0 ** -pka_formula(e.temp_c[i])


def rates(y: Rows, x: Rows, p: Rows, th: Rows, dy: Rows, i: At) -> None:
    """kLa of the gas × what is missing, and what holds the reading (`resting.py`)."""
    dy.co2_mg[i] += p.co2_in_1_h[i] * p.co2_full_mg[i] - p.co2_1_h[i] * y.co2_mg[i]
    dy.co2_mg[i] += th.co2_given_mg_h[i]


def change(y: Rows, act: Any, th: Rows, i: At) -> None:
    """New water brings the tap's alkalinity, and its carbon dioxide."""
    y.alkalinity_mg[i] += act.litres[i] * th.tap_alkalinity[i] - act.share[i] * y.alkalinity_mg[i]
    y.co2_mg[i] += act.litres[i] * th.tap_co2[i] - act.gas_share[i] * y.co2_mg[i]


def read(y: Rows, act: Any, th: Rows, i: At) -> None:
    """From a reading of either on it is what was read; of alkalinity, pH stays."""
    if act.quantity == "kh":
        now = act.values[i] * act.volume_l[i] * th.carbonate_read[i]
        y.co2_mg[i] *= now / maximum(y.alkalinity_mg[i], LEAST_ALKALINITY_MG_L * act.volume_l[i])
        y.alkalinity_mg[i] = now
    elif act.quantity == "ph":
        y.co2_mg[i] = y.alkalinity_mg[i] * co2_of(act.values[i], th.temp_c[i])


ACTS = {NewWater: change, Read: read}
