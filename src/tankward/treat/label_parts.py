"""The actives of a label in the unit in which each is dosed, what is published of them, and how they fade."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from tankward.judge.figures import unit_of as own_unit
from tankward.knowledge.known import Facts
from tankward.knowledge.losing import AT_C
from tankward.knowledge.plain import plain
from tankward.knowledge.records.substance import Substance
from tankward.quantities.parse import Estimate
from tankward.room.things import Supply

from .amounts.fading import share_left
from .amounts.formalin import MG_FORMALDEHYDE_PER_UL
from .amounts.published import Published, published

LEFT_IN = ("water_long",)
BATHS = ("water_bath", "dip")


class Dosed(msgspec.Struct, frozen=True, kw_only=True):
    """So much of one active in one packet: mg, or µL of formalin."""

    substance: str
    amount: float
    form: str = ""


class Faded(msgspec.Struct, frozen=True):
    """Share of an active left after the wait between two doses. Not known: 0 to 1."""

    low: float
    likely: float
    high: float
    known: bool


def per_unit(supply: Supply, facts: Facts) -> tuple[Dosed, ...]:
    """What one packet holds of each active, as it is dosed."""
    return tuple(
        Dosed(substance=a.substance, amount=a.mg / mg_per_own(a.substance, facts), form=a.form)
        for a in supply.actives
    )


def mg_per_own(substance: str, facts: Facts) -> float:
    """Milligrams in one of the substance's own unit: 1, or the formaldehyde in a µL of formalin."""
    return MG_FORMALDEHYDE_PER_UL if dosed_unit(substance, facts) == "uL/L" else 1.0


def dosed_unit(substance: str, facts: Facts) -> str:
    """The unit of its level."""
    return own_unit(facts.substances[substance])


def dosed_published(substance: str, facts: Facts, *, bath: bool = False) -> Published | None:
    """What is published of it in water: for staying in it, else for baths; `bath`: the other way round, for
    a bath of minutes is many times as strong.
    """
    one = facts.substances[substance]
    dimension = "volume_level" if own_unit(one) == "uL/L" else "level"
    first, second = (BATHS, LEFT_IN) if bath else (LEFT_IN, BATHS)
    return published(one, first, dimension) or published(one, second, dimension)


def works_from(levels: Iterable[str], facts: Facts) -> dict[str, float]:
    """The lowest published level of each active: what works at all."""
    spans = {part: dosed_published(part, facts) for part in levels}
    return {part: span.low for part, span in spans.items() if span is not None}


def form_called(words: str, one: Substance) -> str:
    """The name of the salt or hydrate that a label means; empty where it names the substance itself."""
    wanted = plain(words)
    for form in one.form:
        name = plain(form.name.partition(",")[0])
        if wanted.endswith(name) or wanted == name:
            return form.name
    return ""


def base_share(substance: str, form: str, facts: Facts) -> float | None:
    """Share of the substance itself in the salt or hydrate a label names; None where it names none."""
    one = facts.substances[substance]
    name = form_called(form, one) if form else ""
    return next((f.active_fraction for f in one.form if name and f.name == name), None)


def half_life_span(
    one: Substance, temp_c: Estimate | None = None, light_h: float | None = None
) -> tuple[float, float] | None:
    """Shortest and longest half-life in a tank with a filter; None where there is none. [h]

    Parameters
    ----------
    one : Substance
        Half-lives at 20 °C, and theta: by what a degree makes it faster.
    temp_c : Estimate, optional
        Warmth of the water; not known: as at 20. [°C]
    light_h : float, optional
        Hours of light a day; not known: as in the dark.

    Notes
    -----
    Rates of water, filter and light add: shortest with a filter that has met it, longest with one that has
    not. Water and filter go theta^(T − 20) times as fast; light for its hours of the day.
    """
    loss = one.loss
    if loss is None:
        return None
    ends = [t ** (c - AT_C) for t in (loss.theta.low, loss.theta.high)
            for c in ((temp_c.low, temp_c.high) if temp_c else (AT_C,))]  # fmt: skip
    lit = (light_h or 0.0) / 24.0
    fast = (1 / loss.dark.low + 1 / loss.filter_used.low) * max(ends) + lit / loss.light.low
    slow = (1 / loss.dark.high + 1 / loss.filter_naive.high) * min(ends) + lit / loss.light.high
    return 1 / fast, 1 / slow


def faded(
    supply: Supply,
    facts: Facts,
    every_h: float | None,
    half_lives: Mapping[str, tuple[float, float] | None] | None,
    temp_c: Estimate | None = None,
    light_h: float | None = None,
) -> dict[str, Faded]:
    """Share of each active that is left when the label repeats, in this warmth and light."""
    found = {
        a.substance: half_life_span(facts.substances[a.substance], temp_c, light_h) for a in supply.actives
    }
    spans = found | {s: x for s, x in (half_lives or {}).items() if s in found}
    return {s: _faded(span, every_h) for s, span in spans.items()}


def _faded(span: tuple[float, float] | None, every_h: float | None) -> Faded:
    if every_h is None:
        return Faded(1.0, 1.0, 1.0, True)
    if span is None:
        return Faded(0.0, 1.0, 1.0, False)
    middle = (span[0] * span[1]) ** 0.5
    low, likely, high = (share_left(every_h, h) for h in (span[0], middle, span[1]))
    return Faded(low, likely, high, True)
