"""The poisonous part of ammonia, and what a river may hold."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.working import Answer, Named, Working, answer

from ..ammonia import NH3_PER_N, nh3_from_n, unionised_share
from ..atoms import molar_mass

FORMULA_ERROR = 0.03  # EMERSON75 against the table of Trussell: 0 to 3 % apart


@calculation(
    "ammonia",
    unit="mg/L as N",
    formula="total × 1 / (1 + 10^(pKa + d − pH)), pKa = 0.09018 + 2729.92 / T",
    source="EMERSON75",
    group="ammonia and filter",
)
def ammonia(
    reading: Annotated[float, Ask("level", "what the ammonia test shows", at_least=0, at_most=1000)],
    as_: Annotated[str, Ask("text", "what the test counts as", choices=("N", "NH3"))],
    ph: Annotated[float, Ask("ph", "pH of the same water", at_least=0, at_most=14)],
    temp: Annotated[float, Ask("temperature", "warmth of the water")],
    salinity: Annotated[float, Ask("salinity", "salt in the water", at_least=0, at_most=5)] = 0.0,
) -> Answer:
    """How much of an ammonia reading is the poisonous part."""
    work = Working("pH and warmth were read in the same water, at once")
    total = work.step(
        "total ammonia as N",
        "reading" if as_ == "N" else f"reading ÷ {NH3_PER_N:.4f}",
        reading / (1.0 if as_ == "N" else NH3_PER_N),
        "mg/L as N",
        inputs={"reading": reading, "as": as_},
        source="IUPAC21",
    )
    fresh = work.step(
        "poisonous share in fresh water",
        "1 / (1 + 10^(pKa − pH))",
        float(unionised_share(ph, temp)),
        inputs={"pH": ph, "temp": temp},
        source="EMERSON75",
        status="published-read",
    )
    share = fresh
    if salinity:
        share = work.step(
            "poisonous share with the salt counted",
            "1 / (1 + 10^(pKa + d − pH))",
            float(unionised_share(ph, temp, salinity / molar_mass("NaCl"))),
            inputs={"salinity": salinity},
            source="EMERSON75",
            status="published-read",
        )
        work.caution(
            "Salt makes the poisonous part a little smaller. Judge the water by the figure without it."
        )
    value = work.step("the poisonous part", "total × share", total * share, "mg/L as N")
    return answer(
        value,
        "mg/L as N",
        work,
        low=value * (1 - FORMULA_ERROR),
        high=total * fresh,
        also=(
            Named.of("the poisonous part as NH3", float(nh3_from_n(value)), "mg/L"),
            Named.of("share of the total", 100 * share, "%"),
            *((Named.of("as N, salt left out", total * fresh, "mg/L as N"),) if salinity else ()),
        ),
        says="The poisonous part of the ammonia is {shown}.",
    )
