"""Carbon dioxide and alkalinity."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.units import DH_MG_L
from tankward.quantities.working import Answer, Named, Working, answer

from ..carbonate import co2_mg_l
from ..nitrogen import CACO3_PER_N, alkalinity_used

TABLE_ERROR = 0.015  # against the factor table of TUCKER84
SEEN_ON_FILTERS = (6.3, 7.4)  # mg for each mg N: EPA75
MG_L_PER_DKH = float(DH_MG_L)


@calculation(
    "carbon-dioxide",
    unit="mg/L",
    formula="[CO2] = Alk / (1 + 2 K2 / aH) × aH / K1 × 44.009",
    source="PB82",
    group="oxygen and carbon dioxide",
)
def carbon_dioxide(
    ph: Annotated[float, Ask("ph", "pH of the water", at_least=0, at_most=14)],
    alkalinity: Annotated[float, Ask("hardness", "alkalinity (KH)", at_least=0, at_most=1000)],
    temp: Annotated[float, Ask("temperature", "warmth of the water")],
) -> Answer:
    """How much carbon dioxide is in the water, from pH and KH."""
    work = Working("the alkalinity is bicarbonate: no peat, phosphate or borate buffers in the water")
    value = work.step(
        "carbon dioxide",
        "Alk / (1 + 2 K2 / aH) × aH / K1",
        float(co2_mg_l(ph, alkalinity, temp)),
        "mg/L",
        inputs={"pH": ph, "alkalinity": alkalinity, "temp": temp},
        source="PB82",
        status="published-read",
    )
    work.caution("An error of 0.1 in the pH is an error of a quarter here.")
    return answer(
        value,
        "mg/L",
        work,
        low=value * (1 - TABLE_ERROR),
        high=value * (1 + TABLE_ERROR),
        says="The water holds {shown} of carbon dioxide.",
    )


@calculation(
    "alkalinity-use",
    unit="mg/L CaCO3",
    formula="nitrogen × 7.146 (two acid for each nitrogen)",
    source="WWTEXT",
    group="ammonia and filter",
)
def alkalinity_use(
    nitrogen: Annotated[float, Ask("level", "ammonia turned into nitrate, as N", at_least=0, at_most=1000)],
) -> Answer:
    """How much KH the filter takes for so much nitrogen."""
    work = Working()
    value = work.step(
        "alkalinity taken",
        f"nitrogen × {CACO3_PER_N:.3f}",
        float(alkalinity_used(nitrogen)),
        "mg/L CaCO3",
        inputs={"nitrogen": nitrogen},
        source="WWTEXT",
        status="published-read",
    )
    return answer(
        value,
        "mg/L CaCO3",
        work,
        low=nitrogen * SEEN_ON_FILTERS[0],
        high=nitrogen * SEEN_ON_FILTERS[1],
        also=(Named.of("the same", value / MG_L_PER_DKH, "dKH"),),
        says="That takes {shown} ({dkh:.2g} dKH) out of the water.",
        dkh=value / MG_L_PER_DKH,
    )
