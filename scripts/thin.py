"""Writes docs/thin.md: the judged numbers that the forecast rests on, and how far each moves what it says.

`python scripts/thin.py` works it out anew (a minute or two). Each number goes from its 5th to its 95th
centile while all others stay in the middle; the course is the usual one of the facts.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import msgspec
import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from tankward.knowledge.known import Facts  # noqa: E402
from tankward.knowledge.loader import load  # noqa: E402
from tankward.knowledge.records.organism import Organism  # noqa: E402
from tankward.model.clearance import gone_by, holds_of  # noqa: E402
from tankward.model.draws import COUNTS, columns, sweeping  # noqa: E402
from tankward.model.events import Timed  # noqa: E402
from tankward.model.known import row  # noqa: E402
from tankward.model.lives.kills import reaches  # noqa: E402
from tankward.model.lives.numbers import Numbers  # noqa: E402
from tankward.model.lives.tables import Herd  # noqa: E402
from tankward.model.living import REFERENCE_G, Living  # noqa: E402
from tankward.model.organisms import life_of, start_of  # noqa: E402
from tankward.model.outbreak import Course, filled, run, step_min  # noqa: E402
from tankward.model.setup import Setup  # noqa: E402
from tankward.model.simulate import simulate  # noqa: E402
from tankward.model.standing import Standing  # noqa: E402
from tankward.model.surroundings import LEAST, Surroundings  # noqa: E402
from tankward.model.tank import PROCESSES  # noqa: E402
from tankward.quantities.parse import Estimate  # noqa: E402
from tankward.room.acts import AnyAct, Bath, Change, Siphon  # noqa: E402
from tankward.water.animals import MASS_EXPONENT  # noqa: E402

PAGE = ROOT / "docs" / "thin.md"
DAY, DAYS, HOUR = 1440, 28, 60
LITRES, FISH, GRAM, TEMP_C = 60.0, 24.0, 1.0, 25.0  # the tank of the facts' own trial
START = datetime(2026, 3, 1, 8, tzinfo=UTC)
LOW, MIDDLE, HIGH = 0.05, 0.5, 0.95
TELLS = 0.005  # a chance that moves less, and a burden that moves by less than a tenth, is left out
ELICITED = "memory"

HEAD = """# What the forecast rests on, and how thinly

This page is made by `scripts/thin.py`. Most numbers about organisms, and many about tanks, were judged by the
compiler of the facts and not measured (`memory`). Here each of them goes alone from its 5th to its 95th
centile, all others in the middle, in a tank of 60 L with 24 fish of a gram at 25 °C. What moves much is worth
measuring first.

**{rows} judged numbers of organisms, {water} of the tank.** "Gone" is the chance that the organism is gone by
day 28 with the usual course that its file names (for what lives in every tank: that no fish is ill); "left"
is how many times as many are left then at the high end as at the low one. What hardly moves either is
listed below each table.

"""


class Lanes:
    """Everything in the middle, but each name low in one draw and high in the next."""

    def __init__(self, names: list[str]) -> None:
        self.at = {name: n for n, name in enumerate(dict.fromkeys(names))}
        self.draws = next(c for c in COUNTS if c >= 2 * len(self.at) + 1)

    def shares(self, name: str, count: int) -> np.ndarray:
        """The shares of a name, for so many draws."""
        share = np.full(count, MIDDLE)
        if name in self.at:
            share[2 * self.at[name]], share[2 * self.at[name] + 1] = LOW, HIGH
        return share

    def ends(self, values: np.ndarray, name: str) -> tuple[float, float]:
        """A result at the low and at the high end of a name."""
        return float(values[2 * self.at[name]]), float(values[2 * self.at[name] + 1])


def judged(organism: Organism) -> dict[str, list[str]]:
    """Names under which numbers are drawn, with the rows of the facts that were judged."""
    n = Numbers(organism, COUNTS[0])
    found: dict[str, list[str]] = {}
    for p in organism.parameter:
        if p.use and p.status == ELICITED and not p.sign and not p.name.startswith("seen_"):
            label = f"{p.name}{f' of {p.stage}' if p.stage else ''}"
            if label not in found.setdefault(n.column(p.name, p.stage), []):
                found[n.column(p.name, p.stage)].append(label)
    if any(k.use and k.status == ELICITED and k.substance == organism.usual.substance for k in organism.kill):
        for part, label in (("share", "share that dies"), ("hill", "Hill"), ("most", "ceiling of the kill")):
            found[f"kill.1.{part}"] = [f"{organism.usual.substance}: {label}"]
    return found


def usual_acts(organism: Organism) -> list[tuple[float, AnyAct]]:
    """Changes, siphoning and baths of the usual course, by day."""
    usual = organism.usual
    acts: list[tuple[float, AnyAct]] = []
    day = usual.from_day + usual.every_d
    while usual.every_d > 0 and day < DAYS:
        acts.append((day, Change(share=usual.change)))
        if usual.siphon:
            acts.append((day, Siphon(floor_share=1.0)))
        day += usual.every_d
    if usual.route == "bath":
        mg = {usual.substance: usual.level * 10.0}
        acts += [
            (usual.from_day + d, Bath(actives=mg, volume_l=10.0, minutes=usual.hold_d * DAY))
            for d in usual.days
        ]
    return acts


def usual_water(organism: Organism, draws: int) -> Surroundings:
    """The water of the usual course: its level held for as long as it says."""
    usual = organism.usual
    minutes = np.arange(0, DAYS * DAY + HOUR, HOUR)
    level = np.full(minutes.size, LEAST)
    strengths: list[tuple[int, Standing]] = [(0, Standing())]
    for d in usual.days:
        begin, end = (usual.from_day + d) * DAY, (usual.from_day + d + usual.hold_d) * DAY
        if usual.route == "water":
            level[(minutes >= begin) & (minutes <= end)] = usual.level
        if usual.route == "feed":
            fed = Standing(medicated={usual.substance: usual.level})
            strengths += [(round(begin), fed), (round(end), Standing())]
    flat = np.ones((minutes.size, draws))
    acts = [Timed(round(d * DAY), act) for d, act in usual_acts(organism)]
    return Surroundings(
        minutes=minutes,
        temp_c=flat * TEMP_C,
        stress=flat,
        logs={usual.substance: np.log(level)[:, None] * flat},
        happening=tuple(sorted(acts, key=lambda t: t.minute)),
        standing=tuple(strengths),
        steady=True,
    )


def course_of(facts: Facts, organism: Organism, draws: int, stress: np.ndarray) -> Course:
    """The organism under its usual course."""
    full, usual = np.full, organism.usual
    herd = Herd(
        fish=full(draws, FISH), fish_g=full(draws, GRAM), volume_l=full(draws, LITRES),
        turnover_1_d=full(draws, 96.0),
    )  # fmt: skip
    life = life_of(facts, organism.id, herd, draws)
    around = usual_water(organism, draws)
    around = msgspec.structs.replace(around, stress=around.stress * stress)
    found = {}
    for route in ("water", "feed"):
        levels, units = {usual.substance: usual.level}, {usual.substance: usual.unit}
        found[route], _ = reaches(organism, life.gathered, route, levels, units, draws)
    now = around.around(0, after=True)
    return Course(
        life=life,
        around=around,
        begin=0,
        end=DAYS * DAY,
        start=filled(life, now, start_of(life, None, now.temp_c)),
        reach=tuple(found["water"]) if usual.route == "water" else (),
        feed=tuple(found["feed"]) if usual.route == "feed" else (),
        every=step_min(life, now, dosed=True),
    )


def moved(facts: Facts, organism: Organism) -> Iterator[tuple[float, float, str]]:
    """Of each judged number how far it moves the chance and the burden, and its row of the table."""
    names = judged(organism)
    lanes = Lanes([*names, "stress"])
    with sweeping(lanes.shares):
        row = facts.tank["stress_index_ill"]
        share = (lanes.shares("stress", lanes.draws) - LOW) / (HIGH - LOW)
        course = course_of(facts, organism, lanes.draws, row.low + (row.high - row.low) * share)
        gone = gone_by(course, [DAYS * DAY]).chance[0]
        passed = run(course)
    germs = [n for n, r in enumerate(course.life.gathered.rows) if r.germ and r.place != "none"]
    left = np.maximum(passed.rows[-1][germs].sum(axis=0), 1e-9)
    for key in lanes.at:
        label = ", ".join(names.get(key, ["stress of the tank"]))
        (a, b), (c, d) = lanes.ends(gone, key), lanes.ends(left, key)
        yield abs(b - a), abs(float(np.log(d / c))), f"| {label} | {a:.2f} to {b:.2f} | {d / c:.2g} |"


def organisms_page(facts: Facts) -> Iterator[str]:
    """One table for each organism."""
    for organism in sorted(facts.organisms.values(), key=lambda o: o.id):
        every = list(moved(facts, organism))
        told = [r for r in every if r[0] >= TELLS or r[1] >= np.log(1.1)]
        still = [r[2].split(" | ")[0].removeprefix("| ") for r in every if r not in told]
        what = "no fish ill" if holds_of(organism.structure) == "never-gone" else "gone"
        yield f"## {organism.name}\n\nThin: {organism.thin}.\n"
        yield f"| judged number | {what}, low to high | left, times |\n| --- | --- | --- |"
        yield "\n".join(r[2] for r in sorted(told, key=lambda r: (-r[0], -r[1])))
        yield f"\nHardly move it: {', '.join(still)}.\n"


def tank() -> Setup:
    """The tank of the facts' own trial."""
    breath = FISH * (GRAM / REFERENCE_G) ** MASS_EXPONENT
    return Setup(
        volume_l=Estimate.exact(LITRES),
        temp_c=Estimate.exact(TEMP_C),
        ph=Estimate.exact(7.6),
        filter="sponge",
        filter_age_d=100.0,
        light_h=9.0,
        living=Living(mass_g=Estimate.exact(FISH * GRAM), breath_50g=Estimate.exact(breath)),
    )


def water_page(facts: Facts) -> Iterator[str]:
    """Least oxygen and highest NH3 of a week, by the judged numbers of the tank."""
    drawn = {name: fact for process in PROCESSES for name, fact in process.DRAWN.items()}
    drawn |= {"kla_20": "kla_sponge", "feed_share": "feed_share", "filter_start": "filter_start_run_in"}
    lanes = Lanes([n for n, f in drawn.items() if row(facts, f).status == ELICITED and n in columns()])
    with sweeping(lanes.shares):
        record = simulate(tank(), (), facts, start=START, hours=168, draws=lanes.draws)
    oxygen, nh3 = record.levels("oxygen")[24:].min(axis=0), record.levels("nh3_n")[24:].max(axis=0)
    rows = []
    for name in lanes.at:
        (a, b), (c, d) = lanes.ends(oxygen, name), lanes.ends(nh3, name)
        if abs(b - a) >= 0.02 or abs(d - c) >= 0.0002:
            line = f"| {drawn[name]} | {a:.1f} to {b:.1f} | {c:.4f} to {d:.4f} |"
            rows.append((abs(b - a) / 8 + abs(d - c) / 0.02, line))
    yield "## The tank\n"
    yield "| judged number | least oxygen, mg/L | highest NH3, mg/L as N |\n| --- | --- | --- |"
    yield "\n".join(line for _, line in sorted(rows, reverse=True))
    yield ""


def main() -> int:
    """Write the page."""
    facts = load()
    rows = sum(len(judged(o)) for o in facts.organisms.values())
    water = sum(r.status == ELICITED for r in facts.tank.values())
    parts = [HEAD.format(rows=rows, water=water), *water_page(facts), *organisms_page(facts)]
    PAGE.write_text("\n".join(parts).rstrip() + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
