"""White spot: how long it stays, and what salt, copper and formalin leave of it."""

from __future__ import annotations

import numpy as np

from tankward.model.lives.kills import reaches
from tankward.model.lives.numbers import Numbers
from tankward.model.organisms import start_of
from tankward.model.outbreak import filled, run
from tankward.model.rows import Array

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
    shown,
    water,
)
from .verdict import Finding, Told, experiments
from .white_spot import GRAM, SPOT, died


def drift(model: Model) -> Told:
    """How long it stays on the fish."""
    days = Numbers(model.organism(SPOT), DRAWS).of("days", "trophont", 23.4)
    return Told(
        id="ich_emergence_drift",
        setting="The stage as drawn at 23.4 °C.",
        findings=tuple(
            Finding(
                what=f"days on the fish, cycles {which}",
                published=str(v),
                model=shown(days, digits=3),
                inside=holds(days, v),
                why="" if holds(days, v) else "at the very edge: the row of 23.9 °C ends at 7 d",
            )
            for which, v in zip(
                ("1-25", "91-105"), experiments()["ich_emergence_drift"]["value"], strict=True
            )
        ),
    )


def salt(model: Model) -> Told:
    """Salt held at a level."""
    told, findings = experiments()["ich_salt_dose"], []
    for name, ends, day in (
        ("cooler", told["cooler_range_c"], told["free_of_parasite_day_cooler"]),
        ("warmer", told["warmer_range_c"], told["free_of_parasite_day_warmer"]),
    ):
        for dose in (1.0, 2.0, 3.0):
            _, gone = _pond(model, even(*ends), {"sodium_chloride": dose}, day, "g/L")
            inside = gone < 0.2 if dose == 1.0 else gone > 0.8
            findings.append(
                Finding(
                    what=f"chance that the fish are free of it by day {day}, {name}, {dose:g} g/L",
                    published="still infested" if dose == 1.0 else "free",
                    model=f"{gone:.2f}",
                    inside=inside,
                    why=""
                    if inside
                    else "by the facts a parasite stays 8 to 19 d on a fish at 18 °C and 3 to 7 d at 24 °C",
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
        setting="20 fish of 5 g in 200 L, each with what keepers usually see first. Free: none on any fish.",
        findings=tuple(findings),
    )


def _pond(model: Model, temp_c: Array, doses: dict[str, float], day: int, unit: str) -> tuple[Array, float]:
    """Share dead, and the mean chance that no fish carries any."""
    life = model.life(SPOT, herd(fish=20.0, gram=GRAM, litres=200.0))
    around = water(
        model, days=day, temp_c=temp_c, levels={s: np.full(hours(day).size, d) for s, d in doses.items()}
    )
    now = around.around(0, after=True)
    start = filled(life, now, start_of(life, None, now.temp_c))
    made = course(life, around, start, days=day, units=dict.fromkeys(doses, unit))
    passed = run(made).rows
    on = np.maximum(passed[-1, life.table.hosted], 0.0).sum(axis=0)
    return died(life, passed)[-1], float(np.exp(-on).mean())


def copper(model: Model) -> Told:
    """Copper against what swims."""
    findings = []
    for dose, cures in ((0.1, False), (0.2, False), (0.4, True)):
        _, gone = _pond(model, np.full(DRAWS, 20.5), {"copper": dose}, 13, "mg/L")
        findings.append(
            Finding(
                what=f"chance that the fish are free of it by day 13, {dose:g} mg/L held",
                published="cured" if cures else "not cured within 5 d",
                model=f"{gone:.2f}",
                inside=(gone > 0.5) == cures,
                why="" if (gone > 0.5) == cures else "of hundreds on 20 fish a few stay on longer than 13 d",
            )
        )
    return Told(
        id="ich_copper_catfish",
        setting="20 fish of 5 g in 200 L at 20.5 °C, each with what keepers usually see first.",
        findings=tuple(findings),
    )


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
        share = 1.0 - np.exp(-reach.rate(float(dose)) * minutes / DAY)
        top = float(np.quantile(share, HIGH))
        findings.append(
            Finding(
                what=f"share of {stage} killed",
                published="all" if seen > 0 else "not all",
                model=shown(share),
                inside=top > 0.98 if seen > 0 else float(np.quantile(share, LOW)) < 0.9,
                why="" if seen > 0 else "the forecast takes the row of 17 °C whatever the warmth",
            )
        )
    return Told(
        id="ich_formalin_stages",
        setting="The kill rows at the level and time given.",
        findings=tuple(findings),
    )
