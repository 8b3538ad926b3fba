"""Salts for alkalinity and hardness."""

from __future__ import annotations

from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.units import DH_MG_L
from tankward.quantities.working import Answer, Named, Working, answer

from ..hardness import salt_for_alkalinity_g, salt_for_hardness_g

BUFFERS = {"sodium_bicarbonate": "NaHCO3", "potassium_bicarbonate": "KHCO3"}
HARDENERS = {
    "calcium_chloride_dihydrate": "CaCl2.2H2O",
    "calcium_chloride_anhydrous": "CaCl2",
    "calcium_sulfate_dihydrate": "CaSO4.2H2O",
    "magnesium_sulfate_heptahydrate": "MgSO4.7H2O",
    "magnesium_sulfate_anhydrous": "MgSO4",
}
# A bare name is read as the form that is sold; the working says which.
SYNONYMS = {
    "calcium chloride": "calcium_chloride_dihydrate",
    "calcium sulfate": "calcium_sulfate_dihydrate",
    "gypsum": "calcium_sulfate_dihydrate",
    "magnesium sulfate": "magnesium_sulfate_heptahydrate",
    "epsom salt": "magnesium_sulfate_heptahydrate",
    "baking soda": "sodium_bicarbonate",
    "bicarbonate of soda": "sodium_bicarbonate",
    "bicarbonate": "sodium_bicarbonate",
}
MG_L_PER_DH = float(DH_MG_L)
Rise = Annotated[float, Ask("hardness", "how much higher it shall be", at_least=0, at_most=500)]
Volume = Annotated[float, Ask("volume", "the water", above=0)]


def _plain(name: str) -> str:
    return name.replace("_", " ")


@calculation(
    "buffer",
    unit="g",
    formula="rise × volume × 2 × 84.006 / 100.086",
    source="IUPAC21",
    group="hardness and salt",
)
def buffer(
    rise: Rise,
    volume: Volume,
    substance: Annotated[
        str, Ask("text", "the salt", choices=tuple(BUFFERS), synonyms=SYNONYMS)
    ] = "sodium_bicarbonate",
) -> Answer:
    """How much sodium bicarbonate raises the KH."""
    work = Working("a pure, dry salt")
    grams = work.step(
        _plain(substance),
        "rise × volume × 2 × M(salt) / M(CaCO3)",
        float(salt_for_alkalinity_g(rise, volume, BUFFERS[substance])),
        "g",
        inputs={"rise": rise, "volume": volume},
        source="IUPAC21",
    )
    work.caution(
        "It raises the pH too, and with it the poisonous part of any ammonia: test the ammonia first."
    )
    work.caution("It adds no hardness (GH).")
    return answer(
        grams,
        "g",
        work,
        also=(Named.of("the rise", rise / MG_L_PER_DH, "dKH"),),
        says=f"{{shown}} of {_plain(substance)} raises it by {{dkh:.2g}} dKH.",
        dkh=rise / MG_L_PER_DH,
    )


@calculation(
    "hardness",
    unit="g",
    formula="rise × volume × M(salt) / M(CaCO3)",
    source="IUPAC21",
    group="hardness and salt",
)
def hardness(
    rise: Rise,
    volume: Volume,
    substance: Annotated[
        str, Ask("text", "the salt", choices=tuple(HARDENERS), synonyms=SYNONYMS)
    ] = "calcium_chloride_dihydrate",
) -> Answer:
    """How much salt raises the GH."""
    work = Working("a pure salt with just the water of crystals that its name says")
    grams = work.step(
        _plain(substance),
        "rise × volume × M(salt) / M(CaCO3)",
        float(salt_for_hardness_g(rise, volume, HARDENERS[substance])),
        "g",
        inputs={"rise": rise, "volume": volume},
        source="IUPAC21",
    )
    work.caution("One salt alone gives calcium or magnesium, not both. It adds no KH.")
    others = tuple(
        Named.of(f"or {_plain(name)}", float(salt_for_hardness_g(rise, volume, salt)), "g")
        for name, salt in HARDENERS.items()
        if name != substance
    )
    return answer(
        grams,
        "g",
        work,
        also=(Named.of("the rise", rise / MG_L_PER_DH, "dGH"), *others),
        says=f"{{shown}} of {_plain(substance)} raises it by {{dgh:.2g}} dGH.",
        dgh=rise / MG_L_PER_DH,
    )
