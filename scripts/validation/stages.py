"""Times of stages, shapes over warmth, and what medicines leave of gut parasites."""

from __future__ import annotations

import numpy as np

from tankward.model.lives.invading import shape
from tankward.model.lives.numbers import Numbers
from tankward.model.organisms import Life
from tankward.model.outbreak import run
from tankward.model.rows import Array
from tankward.model.standing import Standing

from .settings import DAY, DRAWS, Model, band, course, even, herd, holds, hours, on_fish, shown, water
from .verdict import Finding, Picture, Told, experiments

ZEBRAFISH_G = 0.4
ANGELFISH_G = 10.0
GROUP = 10.0  # fish treated together; how many is not told


def _days(model: Model, organism: str, stage: str, temp_c: float) -> Array:
    return Numbers(model.organism(organism), DRAWS).of("days", stage, temp_c)


def gill_flukes(model: Model) -> Told:
    """From the egg to the worm that lays, at 20 °C."""
    told = experiments()["dactylogyrus_eggs"]
    chain = _days(model, "dactylogyridae", "egg", 20.0) + _days(model, "dactylogyridae", "juvenile", 20.0)
    low, high = told["egg_to_maturity_d_20c"]
    middle = float(np.median(chain))
    return Told(
        id="dactylogyrus_eggs",
        setting="The stages as drawn at 20 °C.",
        findings=(
            Finding(
                what="days from egg to a worm that lays",
                published=f"{low} to {high}",
                model=f"{shown(chain)}, half by {middle:.0f}",
                inside=low <= middle <= high,
                why=""
                if low <= middle <= high
                else "a batch hatches over five days, and the mean of all is later than the quickest",
            ),
        ),
    )


def lice(model: Model) -> Told:
    """Eggs of lice: exponential between the ends."""
    at = (15.0, 20.0, 25.0, 30.0, 35.0)
    days = [_days(model, "argulus", "egg", t) for t in at]
    straight = [61.0 * (10.0 / 61.0) ** ((t - 15.0) / 20.0) for t in at]
    return Told(
        id="argulus_eggs",
        setting="Eggs as drawn.",
        findings=tuple(
            Finding(
                what=f"days to hatching at {t:g} °C",
                published=f"{p:.0f}",
                model=shown(d),
                inside=holds(d, p),
                why=""
                if holds(d, p)
                else "another study found about two weeks at 25 °C, below the line between the ends",
            )
            for t, d, p in zip(at, days, straight, strict=True)
        ),
        picture=Picture(
            x="°C",
            y="days to hatching",
            band=tuple((t, *band(d)) for t, d in zip(at, days, strict=True)),
            points=((15.0, 61.0), (35.0, 10.0)),
            log=True,
        ),
    )


def tapeworms(model: Model) -> Told:
    """When most larvae swim."""
    days = 24.0 * _days(model, "tapeworms", "egg", 20.0)
    return Told(
        id="tapeworm_eggs",
        setting="Eggs as drawn at 20 °C.",
        findings=(
            Finding(
                what="hours to the peak of hatching",
                published="96",
                model=shown(days, digits=3),
                inside=holds(days, 96.0),
            ),
        ),
    )


def camallanus(model: Model) -> Told:
    """In the copepod, then in the fish."""
    told = experiments()["camallanus_development"]
    carried, young = (
        _days(model, "camallanus", "in_copepod", 22.0),
        _days(model, "camallanus", "juvenile", 23.0),
    )
    last = told["final_moult_female_d"]
    return Told(
        id="camallanus_development",
        setting="Stages as drawn.",
        findings=(
            Finding(
                what="days to the third stage",
                published="11",
                model=shown(carried),
                inside=holds(carried, told["L3_in_copepod_d"]),
            ),
            Finding(
                what="days in the fish to the last moult of females",
                published=f"{last[0]} to {last[1]}",
                model=shown(young),
                inside=holds(young, last[0]) and holds(young, last[1]),
            ),
        ),
    )


def lymphocystis(model: Model) -> Told:
    """Nodules at 20 °C, none in the cold and none in the warmth."""
    n = Numbers(model.organism("lymphocystis"), DRAWS)
    days = n.of("days", "latent", 20.0)
    low, high = n.of("temp_low"), n.of("temp_high")
    return Told(
        id="lymphocystis_temperature",
        setting="The latent time and the limits as drawn.",
        findings=(
            Finding(
                what="days to nodules at 20 °C", published="35", model=shown(days), inside=holds(days, 35.0)
            ),
            Finding(
                what="none at 10 °C: the lower limit, °C",
                published="above 10",
                model=shown(low),
                inside=float(np.median(low)) > 10,
            ),
            Finding(
                what="none at 30 °C: the upper limit, °C",
                published="below 30",
                model=shown(high),
                inside=float(np.median(high)) < 30,
            ),
        ),
    )


def columnaris(model: Model) -> Told:
    """How the hazard goes with warmth."""
    told, n = experiments()["columnaris_by_temperature"], Numbers(model.organism("columnaris"), DRAWS)
    at = told["temp_c"]
    hazard = {t: shape(n, np.full(DRAWS, t)) for t in at}
    findings = []
    for t, low, high in zip(at, told["mortality_low"], told["mortality_high"], strict=True):
        ends = band(hazard[t])
        findings.append(
            Finding(
                what=f"hazard at {t:g} °C over that at its best",
                published=f"{low:g} to {high:g} died",
                model=shown(hazard[t]),
                inside=ends[0] <= high and low <= ends[2],
            )
        )
    return Told(
        id="columnaris_by_temperature",
        setting="The shape alone; the fish were salmonids.",
        findings=tuple(findings),
    )


def levamisole(model: Model) -> Told:
    """Three baths of three days."""
    told = experiments()["levamisole_capillaria"]
    at = hours(21)
    level = np.where(at % 7.0 < 3.0, 10.0, 0.0)
    life, rows = _gut(
        model, "capillaria", {"levamisole": level}, "mg/L", 21, "adult", told["setup"]["start_mean"]
    )
    left = rows[life.table.hosted].sum(axis=0)
    one, all_ = (float(np.exp(-many * left).mean()) for many in (1.0, GROUP))
    return Told(
        id="levamisole_capillaria",
        setting="One fish in clean water at 28 °C, so that none comes back; adult worms only.",
        findings=(
            Finding(
                what="worms left on day 21 after three baths of 10 mg/L",
                published="0.8 of 3.5",
                model=shown(left),
                inside=holds(left, told["bath_10_mean"])
                or abs(float(np.median(left)) - told["bath_10_mean"]) <= 0.3,
            ),
            Finding(
                what="some fish carry none, some still do",
                published="0 to 3 on a fish",
                model=f"none in {one:.2f} of the fish",
                inside=0.05 < one < 0.95,
            ),
            Finding(
                what=f"chance that levamisole alone clears a group of {GROUP:g}",
                published="none was cleared",
                model=f"{all_:.2f}",
                inside=all_ < 0.2,
            ),
        ),
    )


def emamectin(model: Model) -> Told:
    """Four baths of a day within a week."""
    at, findings = hours(10), []
    for dose in experiments()["emamectin_capillaria"]["setup"]["dose_mg_l"]:
        level = np.where((at % 2.0 < 1.0) & (at < 8.0), dose, 0.0)
        life, rows = _gut(model, "capillaria", {"emamectin": level}, "mg/L", 10, "adult", 5.0)
        gone = float(np.exp(-rows[life.table.hosted].sum(axis=0)).mean())
        findings.append(
            Finding(
                what=f"chance that four baths of {dose:g} mg/L clear a fish",
                published="all",
                model=f"{gone:.2f}",
                inside=gone > 0.9,
            )
        )
    return Told(
        id="emamectin_capillaria",
        setting="One fish with five adult worms in clean water at 28 °C; the burden is assumed.",
        findings=tuple(findings),
    )


def metronidazole(model: Model) -> Told:
    """Five days of food or of a bath."""
    start, day = 1000.0, 5
    at = hours(day)
    life, fed = _gut(
        model, "spironucleus", {}, "mg/L", day, "trophozoite", start, {"metronidazole": (50.0, "mg/kg/day")}
    )
    _, bathed = _gut(
        model,
        "spironucleus",
        {"metronidazole": np.where(at < day, 5.0, 0.0)},
        "mg/L",
        day,
        "trophozoite",
        start,
    )
    by_food, by_bath = (r[life.table.hosted].sum(axis=0) / start for r in (fed, bathed))
    return Told(
        id="metronidazole_routes",
        setting="One angelfish that eats, at 27 °C; what is left, as a share of the start.",
        findings=(
            Finding(
                what="left after five days of food",
                published="none",
                model=shown(by_food),
                inside=float(np.median(by_food)) < 0.01,
            ),
            Finding(
                what="left after five days of bath",
                published="mild infection",
                model=shown(by_bath),
                inside=float(np.median(by_bath)) > 0.01,
            ),
        ),
    )


def _gut(
    model: Model,
    organism: str,
    levels: dict[str, Array],
    unit: str,
    days: int,
    stage: str,
    start: float,
    feed: dict[str, tuple[float, str]] | None = None,
) -> tuple[Life, Array]:
    """Rows on the last day of one fish in so much water that nothing comes back."""
    gram, temp = (ZEBRAFISH_G, 28.0) if organism == "capillaria" else (ANGELFISH_G, 27.0)
    life = model.life(organism, herd(fish=1.0, gram=gram, litres=1e6))
    fed = ((0, Standing(medicated={s: level for s, (level, _) in (feed or {}).items()})),) if feed else ()
    around = water(model, days=days, temp_c=temp, levels=levels, standing=fed, stress=even(0.05, 0.5))
    made = course(
        life, around, on_fish(life, stage, start), days=days, units=dict.fromkeys(levels, unit), feed=feed
    )
    passed = run(made)
    assert passed.minutes[-1] == days * DAY
    return life, np.maximum(passed.rows[-1], 0.0)
