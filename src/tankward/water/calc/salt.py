"""Table salt: against nitrite, and by the conductivity meter."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.faults import BadInput
from tankward.quantities.working import Answer, Named, Working, answer

from ..atoms import molar_mass
from ..chloride import NACL_PER_CL, salt_for_nitrite_mg_l
from ..conductivity import factor_to_25c, nacl_mg_l_from_rise, nacl_rise_us_cm, practical_salinity
from ..nitrogen import NO2_PER_N

FIT_ERROR = 0.003  # five published values of sodium chloride: NCERT
BACKGROUND_ERROR = 0.13  # hard water against pure: PHREEQC


@calculation(
    "salt-for-nitrite",
    unit="g",
    formula="(ratio × NO2 − Cl) × 1.6486 × volume",
    source="SRAC462",
    group="ammonia and filter",
)
def salt_for_nitrite(
    nitrite: Annotated[float, Ask("level", "what the nitrite test shows", at_least=0, at_most=500)],
    as_: Annotated[str, Ask("text", "what the test counts as", choices=("N", "NO2"))],
    chloride: Annotated[
        float,
        Ask("level", "chloride already in the water; 0 mg/L gives the most salt", at_least=0, at_most=20_000),
    ],
    volume: Annotated[float, Ask("volume", "the water", above=0)],
    ratio: Annotated[
        float, Ask("ratio", "chloride to nitrite (as NO2) by weight", above=0, at_most=50)
    ] = 10.0,
) -> Answer:
    """How much table salt shields fish from nitrite."""
    work = Working("pure sodium chloride, and fish that take nitrite up by way of chloride")
    ion = work.step(
        "nitrite as NO2",
        "reading" if as_ == "NO2" else f"reading × {NO2_PER_N:.3f}",
        nitrite * (NO2_PER_N if as_ == "N" else 1.0),
        "mg/L",
        inputs={"reading": nitrite, "as": as_},
        source="IUPAC21",
    )
    target = work.step(
        "chloride wanted", "ratio × nitrite", ratio * ion, "mg/L", inputs={"ratio": ratio}, source="SRAC462",
        status="published-read",
    )  # fmt: skip
    salt = work.step(
        "salt to add",
        f"(wanted − present) × {NACL_PER_CL:.4f}",
        float(salt_for_nitrite_mg_l(ion, chloride, ratio)),
        "mg/L",
        inputs={"present": chloride},
        source="IUPAC21",
    )
    grams = work.step("in this water", "salt × volume", salt * volume / 1000, "g", inputs={"volume": volume})
    work.caution("Salt buys time; the nitrite itself goes only by changing water and feeding less.")
    work.caution(
        "Not every fish is helped, and soft-water fish, shrimp, snails and plants may not bear the salt."
    )
    return answer(
        grams,
        "g",
        work,
        also=(Named.of("chloride wanted", target, "mg/L"), Named.of("salt in the water", salt / 1000, "g/L")),
        says="Add {shown} of plain salt." if grams else "There is chloride enough: add no salt.",
    )


@calculation(
    "salinity",
    unit="g/L",
    formula="Λ = Λ0 − (B1 Λ0 + B2) √c / (1 + B a √c), read at 25 °C",
    source="RS55",
    group="hardness and salt",
)
def salinity(
    temp: Annotated[float, Ask("temperature", "warmth of the water")],
    conductivity: Annotated[
        float | None, Ask("conductivity", "what the meter shows without its own correction", at_least=0)
    ] = None,
    level: Annotated[float | None, Ask("level", "or the salt in it", at_least=0, at_most=5800)] = None,
) -> Answer:
    """How much salt a conductivity stands for, or the other way round."""
    if (conductivity is None) == (level is None):
        raise BadInput(
            "conductivity", "", "or level: write one of them, like conductivity=2000uS/cm or level=1g/L."
        )
    work = Working("the only thing dissolved is table salt")
    factor = work.step(
        "factor to 25 °C", "table of natural waters", float(factor_to_25c(temp)), inputs={"temp": temp},
        source="ISO7888",
    )  # fmt: skip
    work.caution("Tap water conducts without any salt: take off what the meter showed before salting.")
    return (
        _from_level(work, level, factor)
        if level is not None
        else _from_meter(work, conductivity or 0.0, factor)
    )


def _from_meter(work: Working, conductivity: float, factor: float) -> Answer:
    at_25 = work.step(
        "at 25 °C", "reading × factor", conductivity * factor, "uS/cm", inputs={"reading": conductivity}
    )
    grams = work.step(
        "as table salt",
        "solved for c",
        float(nacl_mg_l_from_rise(at_25)) / 1000,
        "g/L",
        source="RS55",
        status="memory",
    )
    sea = Named.of("were it sea salt", float(practical_salinity(at_25)), "g/kg")
    also = (Named.of("at 25 °C", at_25, "uS/cm"), sea) if at_25 else (Named.of("at 25 °C", at_25, "uS/cm"),)
    return answer(
        grams, "g/L", work, low=grams * (1 - FIT_ERROR), high=grams * (1 + BACKGROUND_ERROR), also=also,
        says="That is what {shown} of table salt conducts.",
    )  # fmt: skip


def _from_level(work: Working, level: float, factor: float) -> Answer:
    at_25 = work.step(
        "at 25 °C", f"Λ(c) × c, c = level / {molar_mass('NaCl'):.2f}", float(nacl_rise_us_cm(level)), "uS/cm",
        inputs={"level": level}, source="RS55", status="memory",
    )  # fmt: skip
    here = work.step("at this warmth", "÷ factor", at_25 / factor, "uS/cm")
    return answer(
        level / 1000, "g/L", work,
        also=(Named.of("the meter shows", here, "uS/cm"), Named.of("at 25 °C", at_25, "uS/cm")),
        says="{shown} of table salt makes the meter show {us:.0f} µS/cm more than pure water.", us=here,
    )  # fmt: skip
