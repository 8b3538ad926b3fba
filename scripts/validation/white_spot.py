"""White spot: outbreaks, flow, salt, formalin, copper, deaths by dose."""

from __future__ import annotations

import msgspec
import numpy as np

from tankward.model.lives.tables import fixed
from tankward.model.organisms import Life, start_of
from tankward.model.outbreak import filled, run
from tankward.model.rows import Array
from tankward.model.whole import follow

from .settings import (
    DAY,
    DRAWS,
    Model,
    band,
    course,
    even,
    flowing,
    herd,
    holds,
    hours,
    on_fish,
    shown,
    water,
)
from .verdict import Finding, Picture, Told, experiments

SPOT = "ichthyophthirius"
GRAM = 5.0  # of a fingerling; the facts take 2 to 10 g for the same fish
SEED = 20260302


def died(life: Life, rows: Array) -> Array:
    """Share of the fish that died, times × draws."""
    return np.asarray(rows[:, life.table.lost] / life.herd.fish)


def _first(minutes: tuple[int, ...], reached: Array) -> Array:
    """Day at which it is first so; the last day and one where it never is."""
    days = np.array(minutes) / DAY
    return np.where(reached.any(axis=0), days[reached.argmax(axis=0)], days[-1] + 1)


def two_species(model: Model) -> Told:
    """One fish brings it in."""
    told, fish, days = experiments()["ich_outbreak_two_species"], 20.0, 21
    life = model.life(SPOT, herd(fish=fish, gram=GRAM, litres=200.0))
    around = water(model, days=days, temp_c=even(24.0, 28.0))
    now = around.around(0, after=True)
    start = start_of(life, life.numbers.of("start") / fish, now.temp_c)
    passed = run(course(life, around, start, days=days))
    grams = np.maximum(passed.rows[:, life.table.fish] * life.herd.fish_g, 1e-9)
    each = passed.rows[:, life.table.hosted].sum(axis=1) / grams
    half = _sign_half(life, "white_spots")
    share = each**2 / (half**2 + each**2)
    signs = _first(passed.minutes, share * fish >= 1.0)
    deaths = _first(passed.minutes, passed.rows[:, life.table.lost] >= 1.0)
    return Told(
        id="ich_outbreak_two_species",
        setting=(
            f"{fish:g} fish of {GRAM:g} g in 200 L at 24 to 28 °C; one carries what keepers usually see "
            "first. Neither numbers nor warmth are in the source."
        ),
        findings=(
            Finding(
                what="day of the first fish with spots",
                published="3",
                model=shown(signs),
                inside=holds(signs, told["first_signs"]),
            ),
            Finding(
                what="day of the first death",
                published="by 7",
                model=shown(deaths),
                inside=holds(deaths, told["deaths_by"]),
            ),
            Finding(
                what="deaths of the goldfish beside them",
                published="none",
                model="as of any fish",
                inside=False,
                why="the facts tell how often goldfish have it, which is as often as others, not how "
                "well they bear it; the authors could not tell the fish from the strain",
            ),
        ),
    )


def _sign_half(life: Life, sign: str) -> Array:
    """Burden at which half of the fish show a sign. [1/g]"""
    rows = [p for p in life.organism.parameter if p.sign == sign]
    low, high = rows[0].low, rows[0].high
    return np.asarray(low * (high / low) ** even(0.0, 1.0, turn=7))


def flow(model: Model) -> Told:
    """Water replaced so fast that what swims is gone before it finds a fish; or formalin alone."""
    told, days, fish = experiments()["ich_flow_and_formalin"], 28, 200.0
    died, gone = {}, {}
    for per_h in (0.5, *told["turnover_per_h"]):
        died[per_h], gone[per_h] = _raceway(model, days, fish, per_h, None)
    at = hours(days)
    level = np.where((at % 1.0 < 4 / 24) & (at % 7 < 4), told["formalin"]["dose_ul_l"], 0.0)
    by_drug, _ = _raceway(model, days, fish, 0.5, {"formalin": level})
    middle = [float(np.median(died[k])) for k in told["turnover_per_h"]]
    return Told(
        id="ich_flow_and_formalin",
        setting=(
            f"{fish:g} fingerlings of {GRAM:g} g at 1 g/L, 20 to 26 °C, {days} days, each with what keepers "
            "usually see first; formalin at half a turnover an hour. The source gives none of these."
        ),
        findings=(
            Finding(
                what="deaths fall as the water turns over faster",
                published="yes",
                model=", then ".join(f"{m:.3f}" for m in middle),
                inside=round(middle[0], 2) > round(middle[1], 2) > round(middle[2], 2),
                why="hardly any die at any of these flows",
            ),
            Finding(
                what="share dead at 2.5 an hour",
                published="under 0.10",
                model=shown(died[2.5]),
                inside=float(np.median(died[2.5])) < 0.10,
            ),
            Finding(
                what="share dead at 4.5 an hour",
                published="0.07",
                model=shown(died[4.5]),
                inside=holds(died[4.5], 0.07),
            ),
            Finding(
                what="gone at 4.5 an hour, and only there",
                published="yes",
                model=", ".join(f"{gone[k]:.2f} at {k:g}" for k in told["turnover_per_h"]),
                inside=gone[4.5] > 0.5 > gone[2.5],
                why="by the facts it swims for 2 to 6 h after it left a fish, and in water that is mixed 1.9 "
                "turnovers an hour carry off all but a few by then; in a raceway it sinks where it drops"
                if gone[2.5] >= 0.5
                else "",
            ),
            Finding(
                what="share dead with formalin alone",
                published="0.40 to 0.70",
                model=shown(by_drug),
                inside=holds(by_drug, 0.40) and holds(by_drug, 0.70),
            ),
        ),
        picture=Picture(
            x="turnovers an hour",
            y="share dead",
            band=tuple((k, *band(d)) for k, d in died.items()),
            points=((2.5, 0.10), (4.5, 0.07)),
        ),
    )


def _raceway(
    model: Model, days: int, fish: float, per_h: float, levels: dict[str, Array] | None
) -> tuple[Array, float]:
    life = flowing(model.life(SPOT, herd(fish=fish, gram=GRAM, litres=fish * GRAM)), per_h)
    around = water(model, days=days, temp_c=even(20.0, 26.0), levels=levels)
    now = around.around(0, after=True)
    start = filled(life, now, start_of(life, None, now.temp_c))
    made = course(life, around, start, days=days, units={"formalin": "uL/L"})
    passed = run(made).rows
    germ = [
        n
        for n, row in enumerate(life.gathered.rows)
        if row.germ and row.place not in ("none", "host", "count")
    ]
    return died(life, passed)[-1], float(np.median(np.exp(-np.maximum(passed[-1, germ], 0.0).sum(axis=0))))


def waves(model: Model) -> Told:
    """Hosts kept at one number: does it come in waves?"""
    days = 28
    on, minutes = _kept_at_one_number(model, days)
    share = _in_waves(on)
    fine, _ = _kept_at_one_number(model.with_rows(SPOT, FINE), days)
    return Told(
        id="ich_epidemic_oscillation",
        setting=(
            "20 fish of 1 g in 40 L at 25 °C, each death made good by a fish without any the next day, one "
            "fresh parasite on each to begin with: assumed."
        ),
        findings=(
            Finding(
                what="two or more tops of the number on the fish within 28 days",
                published="large oscillations",
                model=f"in {share:.2f} of the draws; in {_in_waves(fine):.2f} with three times the rows",
                inside=share > 0.5,
                why=""
                if share > 0.5
                else "not the spread of its stages: off the fish it spends a quarter of its time on it, and "
                "brings forth so many that the first of the next generation cover the last of this one; fish "
                "die here by their mean burden, there in a few tanks by chance",
            ),
        ),
        picture=Picture(
            x="day",
            y="parasites on a fish",
            band=tuple((m / DAY, *band(on[n] / 20.0)) for n, m in enumerate(minutes) if m % (DAY // 2) == 0),
            points=(),
            log=True,
        ),
    )


FINE = {"trophont": 30, "tomont": 24, "protomont": 6}  # rows: a third of the variance of each time


def _kept_at_one_number(model: Model, days: int) -> tuple[Array, list[int]]:
    """How many sit on 20 fish, day by day with new fish for those that died."""
    fish = 20.0
    life = model.life(SPOT, herd(fish=fish, gram=1.0, litres=40.0))
    around = water(model, days=days, temp_c=25.0)
    made = course(life, around, on_fish(life, "trophont", 1.0), days=days)
    on, minutes, y = [], [], made.start
    for day in range(days):
        part = msgspec.structs.replace(
            made, begin=day * DAY, end=(day + 1) * DAY, start=y, infected_d=float(day)
        )
        passed = run(part)
        on += list(np.maximum(passed.rows[:-1, life.table.hosted], 0.0).sum(axis=1))
        minutes += list(passed.minutes[:-1])
        y = passed.rows[-1].copy()
        y[life.table.fish] = fish
    return np.array(on), minutes


def _in_waves(on: Array) -> float:
    """Share of the draws with two or more tops."""
    return float(np.mean([_tops(on[:, d]) >= 2 for d in range(on.shape[1])]))


def _tops(on: Array) -> int:
    """Tops after which the number falls by a fifth or more."""
    tops, high, low, rising = 0, on[0], on[0], False
    for now in on[1:]:
        if rising:
            high = max(high, now)
            if now < 0.8 * high:
                tops, rising, low = tops + 1, False, now
        else:
            low = min(low, now)
            if now > 1.25 * low:
                rising, high = True, now
    return tops


def by_dose(model: Model) -> Told:
    """One generation on a fingerling, none comes back."""
    told = experiments()["ich_mortality_by_dose"]
    doses, seen = told["dose_trophonts"], told["mortality"]
    grams = 2.0 * 5.0 ** even(0.0, 1.0, turn=2)
    dead = []
    for dose in doses:
        life = model.life(SPOT, herd(fish=1.0, gram=grams, litres=1e6))
        around = water(model, days=14, temp_c=24.0)
        life.gathered.flows = [
            msgspec.structs.replace(f, give=fixed(0.0)) if f.litter else f for f in life.gathered.flows
        ]  # none is born
        made = course(life, around, on_fish(life, "trophont", float(dose)), days=14)
        dead.append(float((~follow(made, (14 * DAY,), seed=SEED, counted=True, most=10**7).alive[0]).mean()))
    ends = {1: (0.0, 0.05), 10: (0.0, 0.05), 500: (0.95, 1.0), 1000: (0.95, 1.0)}
    inside = []
    for dose, published, model_share in zip(doses, seen, dead, strict=True):
        low, high = ends.get(dose, (published - 0.25, published + 0.25))
        inside.append(low <= model_share <= high)
    return Told(
        id="ich_mortality_by_dose",
        setting=f"{DRAWS} single fingerlings of 2 to 10 g at 24 °C, in so much water that none comes back.",
        findings=tuple(
            Finding(
                what=f"share dead of those with {dose}",
                published=f"{p:.2f}",
                model=f"{m:.2f}",
                inside=i,
                why="" if i else "they leave the fish before the ceiling of its death rate has told on all",
            )
            for dose, p, m, i in zip(doses, seen, dead, inside, strict=True)
        ),
        picture=Picture(
            x="parasites at the start",
            y="share dead",
            band=tuple((d, m, m, m) for d, m in zip(doses, dead, strict=True)),
            points=tuple(zip(doses, seen, strict=True)),
        ),
    )
