"""What the life tables of flukes say, beside what follows from the ages that are drawn."""

from __future__ import annotations

import msgspec
import numpy as np

from tankward.model.lives.bearing import STAGES, ages_of
from tankward.model.lives.kills import reaches
from tankward.model.lives.numbers import Numbers, breeding
from tankward.model.rows import Array

from .settings import DRAWS, Model, band, herd, holds, shown
from .singles import FLUKE, WORM
from .verdict import Finding, Picture, Told, experiments

HALVINGS = 50


class Table(msgspec.Struct, frozen=True, kw_only=True):
    """Of a worm at one temperature, by the rows that the model follows."""

    young: Array  # in a life
    life_d: Array
    growth: Array  # where all ages grow alike [1/d]

    @property
    def births(self) -> Array:
        """As the papers take it: young over life. [1/d]"""
        return self.young / self.life_d

    @property
    def less_deaths(self) -> Array:
        """As the papers take growth: births of a mean life less deaths of a mean life. [1/d]"""
        return (self.young - 1.0) / self.life_d


def table(n: Numbers, temp_c: float) -> Table:
    """At a temperature."""
    each = next(s.rows for s in n.organism.stage if s.id == WORM)
    ages, read = ages_of(n, WORM, each), n.rows["first_birth", WORM].temp_c[0]
    faster = n.of("first_birth", WORM, read) / n.of("first_birth", WORM, temp_c) * breeding(n, temp_c)
    onward = ages.onward * faster
    death = ages.death * n.of("natural", WORM, temp_c) / n.of("natural", WORM, read)

    def young(x: Array | float) -> Array:
        one, two, more = (onward / (onward + death + x)) ** each
        return np.asarray(one * (1.0 + two / (1.0 - more)))

    life, there = np.zeros(n.draws), np.ones(n.draws)
    for stage in range(STAGES - 1):
        on = onward[stage] / (onward[stage] + death[stage])
        for _ in range(each):
            life = life + there / (onward[stage] + death[stage])
            there = there * on
    life = life + there / death[-1]
    low, high = -0.99 * death.min(axis=0), np.full(n.draws, 3.0)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        more = young(middle) > 1.0
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    return Table(young=young(0.0), life_d=life, growth=(low + high) / 2)


def by_temperature(model: Model) -> Told:
    """Growth and death over temperature."""
    told, n = experiments()["gyro_r_by_temperature"], Numbers(model.organism(FLUKE), DRAWS)
    at = told["setup"]["temp_c"]
    found = {t: table(n, t) for t in at}
    at_top = found[told["r_max_at_c"]].less_deaths
    top = max(at, key=lambda t: float(np.median(found[t].less_deaths)))
    longest = max(at, key=lambda t: float(np.median(found[t].life_d)))
    dies = found[30].growth - n.of("hot_kill") * 1.0
    return Told(
        id="gyro_r_by_temperature",
        setting=(
            "What follows from the ages of the facts at the temperatures given. Growth as the paper takes "
            "it: births of a mean life less its deaths."
        ),
        findings=(
            Finding(
                what="births less deaths at 27.5 °C, 1/d",
                published="0.23",
                model=shown(at_top),
                inside=holds(at_top, told["r_max_per_d"]),
            ),
            Finding(
                what="warmth of the fastest growth, °C",
                published="27.5",
                model=f"{top:g}",
                inside=top == told["r_max_at_c"],
            ),
            Finding(
                what="warmth of the longest life, °C",
                published="21",
                model=f"{longest:g}",
                inside=longest == told["lifespan_max_at_c"],
                why="" if longest == 21 else "below 21 °C the row of 21 °C holds, so 17 °C is no shorter",
            ),
            Finding(
                what="growth less the death by heat at 30 °C, 1/d",
                published="none live",
                model=shown(dies),
                inside=band(dies)[1] < 0,
            ),
        ),
        picture=Picture(
            x="°C",
            y="births less deaths, 1/d",
            band=tuple((t, *band(found[t].less_deaths)) for t in at),
            points=((27.5, told["r_max_per_d"]),),
        ),
    )


def demography(model: Model) -> Told:
    """The life table: 0.43 births and 0.24 deaths a day, 1.68 young."""
    n = Numbers(model.organism(FLUKE), DRAWS)
    told, found, lives = experiments()["gyro_demography"], table(n, 25.0), ages_of(n, WORM, 1).lives
    published = told["birth_rate_per_d"] - told["death_rate_per_d"]
    few = next(r.max for r in n.organism.fecundity if r.source == "HAR93" and r.max)
    return Told(
        id="gyro_demography",
        setting=(
            "25 °C is assumed, as in the facts. The paper takes births and deaths of a mean life; where all "
            f"ages grow alike, these ages grow by {shown(found.growth)} a day, as most are young."
        ),
        findings=(
            Finding(
                what="births less deaths, 1/d",
                published=f"{published:.2f}",
                model=shown(found.less_deaths),
                inside=holds(found.less_deaths, published),
            ),
            Finding(
                what="births, 1/d",
                published="0.43",
                model=shown(found.births),
                inside=holds(found.births, told["birth_rate_per_d"]),
            ),
            Finding(
                what="young in a life",
                published=f"{told['fecundity']}",
                model=shown(found.young),
                inside=holds(found.young, told["fecundity"]),
            ),
            Finding(
                what="share that lives to a third birth, G. turnbulli (HAR93)",
                published=f"under {few}",
                model=f"{np.quantile(lives[2], 0.05):.2f} to {np.quantile(lives[2], 0.95):.2f}",
                inside=float(np.quantile(lives[2], 0.05)) <= few,
            ),
        ),
    )


def salt(model: Model) -> Told:
    """A short bath in strong salt."""
    life = model.life(FLUKE, herd(fish=1, gram=0.12, litres=1.0))
    found, _ = reaches(
        life.organism, life.gathered, "bath", {"sodium_chloride": 25.0}, {"sodium_chloride": "g/L"}, DRAWS
    )
    worm = next(r for r in found if r.stage == "worm")
    share = 1.0 - np.exp(-worm.rate(25.0) * 0.25 / 24.0)
    told = experiments()["gyro_salt"]["bath_25_g_l_15min_removed"]
    return Told(
        id="gyro_salt",
        setting="The bath alone: how well worms settle or grow in weaker salt is no number of the facts.",
        findings=tuple(
            Finding(
                what=f"share of {species} removed by 25 g/L in 15 min",
                published=f"{seen:.2f}",
                model=shown(share),
                inside=band(share)[0] - 0.15 <= seen <= band(share)[2] + 0.15,
            )
            for species, seen in told.items()
        ),
    )
