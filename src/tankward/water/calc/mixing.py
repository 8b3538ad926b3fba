"""New water with old, hot with cold."""

from __future__ import annotations

import re
from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.quantities.parse import Quantity, quantity
from tankward.quantities.units import BASE, DH_MG_L
from tankward.quantities.working import Answer, Named, Working, answer

from ..mixing import mixture, share_for

MIXES = ("temperature", "hardness", "level", "conductivity", "salinity")


@calculation(
    "mix-water",
    unit="as given",
    formula="have × (1 − share) + add × share",
    source="none",
    group="new water",
)
def mix_water(
    have: Annotated[str, Ask("text", "in the tank, like 12dGH, 26C or 40mg/L")],
    add: Annotated[str, Ask("text", "the same of the new water")],
    share: Annotated[float, Ask("share", "of new water in the whole")],
) -> Answer:
    """What a mixture of two waters comes to."""
    old, new = _read("have", have), _read("add", add)
    if old.dimension != new.dimension:
        raise BadInput("add", add, f"is not the same thing as {have}: write both alike.")
    if {_degrees(have), _degrees(add)} == {"KH", "GH"}:
        raise BadInput("add", add, "is not the same hardness: KH and GH don't add.")
    work = Working("both waters mix fully")
    value = work.step(
        "mixture", "have × (1 − share) + add × share", float(mixture(old.value, new.value, share)), old.unit,
        inputs={"have": old.value, "add": new.value, "share": share},
    )  # fmt: skip
    ends = [float(mixture(o, n, share)) for o, n in ((old.low, new.low), (old.high, new.high))]
    also = (Named.of("the same", value / float(DH_MG_L), "dH"),) if old.dimension == "hardness" else ()
    if old.dimension == "conductivity":
        work.caution("Conductivity mixes straight only at one temperature, and nearly so.")
    return answer(
        value, old.unit, work, low=ends[0], high=ends[1], also=also, says="The mixture comes to {shown}."
    )


def _read(field: str, text: str) -> Quantity:
    if re.search(r"(?i)\bpH\b", text):
        raise Refused(
            Reason(
                kind="does_not_mix",
                because="pH does not mix by shares: soft and hard water of one pH can give another.",
                would_change="Mix the hardness (KH) instead, and measure the pH in a bucket of both waters.",
                source="none",
                status="computed",
            )
        )
    for dimension in MIXES:
        try:
            return quantity(text, dimension, field)
        except BadInput:
            continue
    raise BadInput(field, text, f"is not something that mixes. Write {', '.join(BASE[d] for d in MIXES)}.")


def _degrees(text: str) -> str:
    found = re.search(r"(?i)\b[d°]?([kg])h\b|d([kg])h", text)
    return f"{(found[1] or found[2]).upper()}H" if found else ""


@calculation(
    "match-water",
    unit="L",
    formula="hot = volume × (want − cold) / (hot − cold)",
    source="none",
    group="new water",
)
def match_water(
    want: Annotated[float, Ask("temperature", "the warmth wanted", at_least=0, at_most=45)],
    hot: Annotated[float, Ask("temperature", "the hot tap", at_least=0, at_most=100)],
    cold: Annotated[float, Ask("temperature", "the cold tap", at_least=0, at_most=60)],
    volume: Annotated[float, Ask("volume", "water wanted", above=0)],
) -> Answer:
    """How much hot and cold water make a bucket of the right warmth."""
    work = Working("the bucket takes no warmth")
    share = work.step(
        "share of hot", "(want − cold) / (hot − cold)", share_for(want, hot, cold),
        inputs={"want": want, "hot": hot, "cold": cold},
    )  # fmt: skip
    litres = work.step("hot water", "share × volume", share * volume, "L", inputs={"volume": volume})
    work.caution("Stir and measure before it goes in.")
    return answer(
        litres, "L", work, also=(Named.of("cold water", volume - litres, "L"),),
        says="{shown} of hot and {cold:.2g} L of cold water.", cold=volume - litres,
    )  # fmt: skip
