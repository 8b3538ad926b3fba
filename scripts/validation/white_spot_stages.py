"""White spot: how long it stays, and what salt, copper and formalin leave of it."""

from __future__ import annotations

import numpy as np

from tankward.model.lives.kills import reaches
from tankward.model.lives.numbers import Numbers
from tankward.model.organisms import start_of
from tankward.model.outbreak import filled, run
from tankward.model.rows import Array
from tankward.room.acts import Change

from .settings import (
    DAY,
    DRAWS,
    HIGH,
    LOW,
    Model,
    course,
    even,
    herd,
    holds,
    hours,
    looked_at,
    on_fish,
    shown,
    water,
)
from .verdict import Finding, Told, experiments
from .white_spot import GRAM, SPOT, died


def drift(model: Model) -> Told:
    """How long it stays on the fish."""
    days = _stays(model, 23.4)
    return Told(
        id="ich_emergence_drift",
        setting="The stage as drawn at 23.4 °C.",
        findings=tuple(
            Finding(
                what=f"days on the fish, cycles {which}",
                published=str(v),
                model=shown(days, digits=3),
                inside=holds(days, v),
                why="" if holds(days, v) else "the parasite itself slowed over two years of passages",
            )
            for which, v in zip(
                ("1-25", "91-105"), experiments()["ich_emergence_drift"]["value"], strict=True
            )
        ),
    )


def _stays(model: Model, temp_c: float) -> Array:
    """Days on the fish."""
    return Numbers(model.organism(SPOT), DRAWS).of("days", "trophont", temp_c)


def spots(model: Model) -> Told:
    """A spot is seen before it leaves: the time to spots is no longer than the stay."""
    told = experiments()["ich_spots_by_temperature"]
    findings = []
    for temp_c, hours_seen in zip(told["temp_c"], told["value"], strict=True):
        stays = _stays(model, temp_c)
        share = float((stays >= hours_seen / 24.0).mean())
        findings.append(
            Finding(
                what=f"spots seen before it leaves, {temp_c:g} °C",
                published=f"after {hours_seen / 24.0:.1f} d",
                model=f"{shown(stays)} d on the fish, longer in {share:.2f} of the draws",
                inside=share >= 0.5,
                why="" if share >= 0.5 else "most would leave before they were seen",
            )
        )
    return Told(
        id="ich_spots_by_temperature",
        setting="The stage as drawn. No number says when one on the fish is seen, only when it leaves.",
        findings=tuple(findings),
    )


def salt(model: Model) -> Told:
    """Salt held at a level."""
    told, findings = experiments()["ich_salt_dose"], []
    for name, ends, day in (
        ("cooler", told["cooler_range_c"], told["free_of_parasite_day_cooler"]),
        ("warmer", told["warmer_range_c"], told["free_of_parasite_day_warmer"]),
    ):
        temp_c = (ends[0] + ends[1]) / 2  # the span is of one run, whose mean lies in its middle
        stays = Numbers(model.organism(SPOT), DRAWS).of("days", "trophont", temp_c)
        for dose in (1.0, 2.0, 3.0):
            _, free = _pond(model, np.full(DRAWS, temp_c), {"sodium_chloride": dose}, day, "g/L")
            inside = free < 0.2 if dose == 1.0 else free > 0.8
            findings.append(
                Finding(
                    what=f"chance that a fish is free of it by day {day}, {name}, {dose:g} g/L",
                    published="still infested" if dose == 1.0 else "free",
                    model=f"{free:.2f}",
                    inside=inside,
                    why=""
                    if inside
                    else f"by the facts one stays {shown(stays)} d on a fish at {temp_c:.1f} °C, and what "
                    "settled as the salt went in has as long to go",
                )
            )
    dead, _ = _pond(model, even(*told["setup"]["temp_c"]), {}, 28, "g/L")
    findings.append(
        Finding(
            what="share dead by day 28 without salt",
            published="all",
            model=shown(dead),
            inside=holds(dead, 0.99),
        )
    )
    return Told(
        id="ich_salt_dose",
        setting=(
            "20 fish of 5 g in 200 L, each with what keepers usually see first, at the middle of each span "
            "of warmth. How many fish were looked at is not told: the chance is that of one."
        ),
        findings=tuple(findings),
    )


def _pond(model: Model, temp_c: Array, doses: dict[str, float], day: int, unit: str) -> tuple[Array, float]:
    """Share dead, and the mean chance that a fish carries none."""
    life = model.life(SPOT, herd(fish=20.0, gram=GRAM, litres=200.0))
    around = water(
        model, days=day, temp_c=temp_c, levels={s: np.full(hours(day).size, d) for s, d in doses.items()}
    )
    now = around.around(0, after=True)
    start = filled(life, now, start_of(life, None, now.temp_c))
    made = course(life, around, start, days=day, units=dict.fromkeys(doses, unit))
    passed = run(made).rows
    on = passed[-1, life.table.hosted].sum(axis=0)
    return died(life, passed)[-1], looked_at(on, passed[-1, life.table.fish])


def copper(model: Model) -> Told:
    """Copper against what swims: one exposure, then a dose and new water every day from the fifth on."""
    first = experiments()["ich_copper_catfish"]["spots_day"]
    findings = []
    for dose, after, cures in ((0.1, 5, False), (0.2, 5, False), (0.4, 5, True)):
        free = _renewed(model, dose, first, first + after)
        inside = (free > 0.5) == cures
        findings.append(
            Finding(
                what=f"chance that a fish is free of it after {after} days of {dose:g} mg/L",
                published="free" if cures else "not free",
                model=f"{free:.2f}",
                inside=inside,
                why="" if inside else COPPER_FEW if cures else COPPER_ALL,
            )
        )
    return Told(
        id="ich_copper_catfish",
        setting=(
            f"20 fish of {GRAM:g} g in 200 L at 20.5 °C, {EXPOSED:g} fresh parasites on each, nothing in the "
            f"water for {first} days; then copper, and {RENEWED:.0%} new water every day, as an "
            "agency's abstract of the same work tells. How many settled is assumed: over 20 were seen on the "
            "head alone."
        ),
        findings=tuple(findings),
    )


EXPOSED = 100.0  # on a fish
RENEWED = 0.9
COPPER_FEW = (
    "some leave before the copper goes in, and what they bring forth has settled by then; "
    "the fish of the trial had one generation"
)
COPPER_ALL = "what left is hardly replaced at this level either: copper acts on what swims from 0.05 mg/L on"


def _renewed(model: Model, dose: float, first: int, day: int) -> float:
    """Chance that a fish carries none by that day."""
    life = model.life(SPOT, herd(fish=20.0, gram=GRAM, litres=200.0))
    around = water(
        model,
        days=day,
        temp_c=20.5,
        levels={"copper": np.where(hours(day) >= first, dose, 0.0)},
        acts=[(float(d), Change(share=RENEWED)) for d in range(first, day)],
    )
    made = course(life, around, on_fish(life, "trophont", EXPOSED), days=day, units={"copper": "mg/L"})
    last = run(made).rows[-1]
    return looked_at(last[life.table.hosted].sum(axis=0), last[life.table.fish])


def formalin_stages(model: Model) -> Told:
    """Shares killed in so many minutes."""
    told = experiments()["ich_formalin_stages"]
    life = model.life(SPOT, herd(fish=1.0, gram=GRAM, litres=50.0))
    findings = []
    for stage, dose, minutes, seen in zip(
        told["stage"], told["dose_ul_l"], told["exposure_min"], told["kill"], strict=True
    ):
        found, _ = reaches(
            life.organism, life.gathered, "water", {"formalin": float(dose)}, {"formalin": "uL/L"}, DRAWS
        )
        reach = next(r for r in found if r.stage == stage.split()[0])
        temp_c = float(stage.split()[1]) if " " in stage else told["setup"]["temp_c"][-1]
        share = 1.0 - np.exp(-reach.rate(float(dose), np.full(DRAWS, temp_c)) * minutes / DAY)
        top = float(np.quantile(share, HIGH))
        findings.append(
            Finding(
                what=f"share of {stage} killed",
                published="all" if seen > 0 else "not all",
                model=shown(share),
                inside=top > 0.98 if seen > 0 else float(np.quantile(share, LOW)) < 0.9,
            )
        )
    return Told(
        id="ich_formalin_stages",
        setting="The kill rows at the level, time and warmth given.",
        findings=tuple(findings),
    )
