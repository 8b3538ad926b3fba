"""How much oxygen the water can hold."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.faults import BadInput
from tankward.quantities.working import Answer, Working, answer

from ..oxygen import ATM_HPA, oxygen_saturation, pressure_at_altitude

WEATHER = 0.035  # STDATM76: weather moves the pressure by 3 to 4 %
CM_PER_M = 100.0


@calculation(
    "oxygen-saturation",
    unit="mg/L",
    formula="Benson and Krause: ln C = −139.34411 + 157570.1 / T − …, corrected for salt and pressure",
    source="BK84",
    group="oxygen and carbon dioxide",
)
def saturation(
    temp: Annotated[float, Ask("temperature", "warmth of the water")],
    salinity: Annotated[float, Ask("salinity", "salt in the water", at_least=0, at_most=40)] = 0.0,
    altitude: Annotated[float | None, Ask("length", "height above the sea", at_most=500_000)] = None,
    pressure: Annotated[float | None, Ask("pressure", "air pressure where the tank stands")] = None,
) -> Answer:
    """How much oxygen water holds when it is full of air."""
    if altitude is not None and pressure is not None:
        raise BadInput(
            "altitude",
            f"{altitude / CM_PER_M:g} m",
            "and pressure were both given. Write one of them.",
        )
    work = Working("moist air over the water")
    air = _pressure(work, altitude, pressure)
    value = work.step(
        "oxygen in balance with air",
        "Benson and Krause",
        float(oxygen_saturation(temp, salinity, air)),
        "mg/L",
        inputs={"temp": temp, "salinity": salinity, "pressure": air},
        source="BK84",
        status="published-read",
    )
    if pressure is not None:
        return answer(value, "mg/L", work, says="Full of air, the water holds {shown} of oxygen.")
    return answer(
        value,
        "mg/L",
        work,
        low=value * (1 - WEATHER),
        high=value * (1 + WEATHER),
        says="Full of air, the water holds {shown} of oxygen.",
    )


def _pressure(work: Working, altitude_cm: float | None, pressure_hpa: float | None) -> float:
    if pressure_hpa is not None:
        work.caution("A weather report gives the pressure at sea level: up in the hills that is too high.")
        return pressure_hpa
    if altitude_cm is None:
        work.assume("sea level")
        return ATM_HPA
    return work.step(
        "air pressure at that height",
        "1013.25 (1 − 2.25577e-5 h)^5.25588",
        float(pressure_at_altitude(altitude_cm / CM_PER_M)),
        "hPa",
        inputs={"altitude": altitude_cm / CM_PER_M},
        source="STDATM76",
        status="published-read",
    )
