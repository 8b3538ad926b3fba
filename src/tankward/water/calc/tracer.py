"""The water of a tank by a pinch of salt."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.faults import BadInput
from tankward.quantities.working import Answer, Working, answer

from ..conductivity import factor_to_25c, volume_by_jar_l, volume_from_salt_l

WITH_JAR = 0.03  # the meter's steps and the jar's mark [common practice, no source]
WITHOUT_JAR = 0.10  # between the 5 and 13 % by which hard water misleads: PHREEQC
ROOM_C = 25.0

Reading = Annotated[float | None, Ask("conductivity", "the same meter in a jar of that water", at_least=0)]


@calculation(
    "volume-by-salt",
    unit="L",
    formula="(salt / jar salt) × (jar rise / rise) × jar; without a jar: salt / (rise / slope of NaCl)",
    source="PHREEQC",
    group="the tank",
)
def volume_by_salt(
    salt: Annotated[float, Ask("mass", "dry table salt put into the tank", above=0)],
    before: Annotated[float, Ask("conductivity", "the meter before", at_least=0)],
    after: Annotated[float, Ask("conductivity", "the meter after, stirred, when it stands still", above=0)],
    temp: Annotated[float, Ask("temperature", "warmth of the water at both readings")] = ROOM_C,
    jar_salt: Annotated[float | None, Ask("mass", "the same salt put into the jar", above=0)] = None,
    jar_volume: Annotated[float | None, Ask("volume", "water in the jar", above=0)] = None,
    jar_before: Reading = None,
    jar_after: Reading = None,
) -> Answer:
    """How much water a tank holds, by a known amount of salt."""
    if after <= before:
        raise BadInput(
            "after", f"{after:g} uS/cm", "can't be right: salt makes the meter show more than before."
        )
    work = Working("dry salt without additives; the same meter for all readings")
    jar = {"jar-salt": jar_salt, "jar-volume": jar_volume, "jar-before": jar_before, "jar-after": jar_after}
    if any(v is not None for v in jar.values()):
        return _by_jar(work, salt, after - before, jar)
    return _by_line(work, salt, before, after, temp)


def _by_jar(work: Working, salt: float, rise: float, jar: dict[str, float | None]) -> Answer:
    missing = [name for name, value in jar.items() if value is None]
    if missing:
        raise BadInput(missing[0], "", "is missing: a jar needs its salt, its water and both readings.")
    jar_salt, jar_volume, low, high = (float(v or 0.0) for v in jar.values())
    if high <= low:
        raise BadInput(
            "jar-after", f"{high:g} uS/cm", "can't be right: salt makes the meter show more than before."
        )
    litres = work.step(
        "water", "(salt / jar salt) × (jar rise / rise) × jar",
        float(volume_by_jar_l(salt, rise, jar_salt, high - low, jar_volume)), "L",
        inputs={"salt": salt, "rise": rise, "jar salt": jar_salt, "jar rise": high - low, "jar": jar_volume},
        source="GEOM",
    )  # fmt: skip
    return answer(
        litres, "L", work, low=litres * (1 - WITH_JAR), high=litres * (1 + WITH_JAR),
        says="The tank holds {shown} of water ({range}).",
    )  # fmt: skip


def _by_line(work: Working, salt: float, before: float, after: float, temp: float) -> Answer:
    factor = work.step(
        "factor to 25 °C", "table of natural waters", float(factor_to_25c(temp)), inputs={"temp": temp},
        source="ISO7888",
    )  # fmt: skip
    litres = work.step(
        "water", "salt ÷ what such a rise is in salt, with what hard water takes off",
        float(volume_from_salt_l(salt / 1000, before * factor, after * factor)), "L",
        inputs={"salt": salt, "before": before * factor, "after": after * factor},
        source="RS55 PHREEQC", status="memory",
    )  # fmt: skip
    work.caution("A jar of the same water with a pinch of the same salt makes this three times as sure.")
    return answer(
        litres, "L", work, low=litres * (1 - WITHOUT_JAR), high=litres * (1 + WITHOUT_JAR),
        says="The tank holds {shown} of water ({range}).",
    )  # fmt: skip
