"""Carbon dioxide and alkalinity: what pH comes of, where the keeper has read both.

Every process that takes oxygen gives carbon dioxide, every nitrogen that turns into ammonia gives alkalinity,
the filter takes twice that; here the gas goes through the surface, and what holds the tank where it was read
goes on.
"""

from __future__ import annotations

from typing import Any

from tankward.model.events import NewWater, Read
from tankward.model.maths import maximum
from tankward.model.rows import At, Rows
from tankward.room.acts import TopUp
from tankward.water.ammonia import pka_formula
from tankward.water.carbonate import CACO3_PER_EQ, CO2, co2_saturation_formula, pk1
from tankward.water.nitrogen import nitrifier_ph_factor

STATE = ("alkalinity_mg", "co2_mg")  # as CaCO3; free carbon dioxide
DRAWN: dict[str, str] = {}  # in resting.py: they share a column
PACE = ("co2_in_1_h", "co2_1_h", "co2_full_mg", "acid_ratio", "acid_as_read", "speed_as_read", "ammonium")
STIFF = {"co2_mg": "co2_1_h"}
LEAST_ALKALINITY_MG_L = 0.1  # below it pH is that of the acids themselves, which nobody reads
LEAST_CO2_MG_L = 0.001


def pace(e: Rows, th: Rows, p: Rows, i: At) -> None:
    """Exchange of the gas, what air gives, and the constants at this temperature.

    Notes
    -----
    H+ = K1 [CO2] / [HCO3-], the alkalinity taken for bicarbonate (true to 2 % below pH 8.4). Source: PB82,
    EMERSON75 (published-read). No logarithm in the rates: what a pH that stays decides is worked out here.
    """
    p.co2_in_1_h[i] = p.kla_1_h[i] * th.co2_to_o2[i] * th.carbonate_read[i]
    p.co2_1_h[i] = p.co2_in_1_h[i] + th.co2_taken_1_h[i]
    p.co2_full_mg[i] = co2_saturation_formula(e.temp_c[i], th.room_co2_ppm[i]) * th.volume_l[i]
    p.acid_ratio[i] = 10.0 ** -pk1(e.temp_c[i]) * CACO3_PER_EQ / CO2
    p.acid_as_read[i] = 10.0 ** -th.ph[i] * (1.0 - th.carbonate_read[i])
    p.speed_as_read[i] = nitrifier_ph_factor(th.ph[i]) * (1.0 - th.carbonate_read[i])
    p.ammonium[i] = 10.0 ** -pka_formula(e.temp_c[i])


def rates(y: Rows, x: Rows, p: Rows, th: Rows, dy: Rows, i: At) -> None:
    """kLa of the gas × what is missing, and what holds the reading (`resting.py`)."""
    dy.co2_mg[i] += p.co2_in_1_h[i] * p.co2_full_mg[i] - p.co2_1_h[i] * y.co2_mg[i]
    dy.co2_mg[i] += th.co2_given_mg_h[i]


def change(y: Rows, act: Any, th: Rows, i: At) -> None:
    """New water brings the tap's alkalinity, and its carbon dioxide."""
    y.alkalinity_mg[i] += act.share * (th.tap_alkalinity[i] * th.volume_l[i] - y.alkalinity_mg[i])
    y.co2_mg[i] += act.share * (th.tap_co2[i] * th.volume_l[i] - y.co2_mg[i])


def read(y: Rows, act: Any, th: Rows, i: At) -> None:
    """From a reading of either on it is what was read; of alkalinity, pH stays."""
    if act.quantity == "kh":
        now = act.values[i] * th.volume_l[i] * th.carbonate_read[i]
        y.co2_mg[i] *= now / maximum(y.alkalinity_mg[i], LEAST_ALKALINITY_MG_L * th.volume_l[i])
        y.alkalinity_mg[i] = now
    elif act.quantity == "ph":
        y.co2_mg[i] = y.alkalinity_mg[i] * 10.0 ** -act.values[i] / th.acid_ratio_usual[i]


def topped(y: Rows, act: Any, th: Rows, i: At) -> None:
    """Water topped up brings the tap's alkalinity and carbon dioxide."""
    y.alkalinity_mg[i] += act.volume_l * th.tap_alkalinity[i]
    y.co2_mg[i] += act.volume_l * th.tap_co2[i]


ACTS = {NewWater: change, TopUp: topped, Read: read}
