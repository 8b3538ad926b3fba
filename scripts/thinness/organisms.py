"""Each organism under its usual course, and what every other substance of its kill rows would do."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Kill, Organism
from tankward.model.clearance import gone_by, holds_of
from tankward.model.draws import COUNTS, sweeping
from tankward.model.events import Timed
from tankward.model.lives.kills import reaches
from tankward.model.lives.numbers import Numbers
from tankward.model.lives.tables import Herd
from tankward.model.organisms import life_of, start_of
from tankward.model.outbreak import Course, filled, run, step_min
from tankward.model.standing import Standing
from tankward.model.surroundings import LEAST, Surroundings
from tankward.room.acts import AnyAct, Bath, Change, Siphon

from .lanes import ELICITED, HIGH, LOW, TELLS, Lanes

DAY, DAYS, HOUR = 1440, 28, 60
LITRES, FISH, GRAM, TEMP_C = 60.0, 24.0, 1.0, 25.0  # the tank of the facts' own trial
SEEN = ("seen_", "sign")  # numbers of what is seen: they move what a count teaches, not what comes
PARTS = (("share", "share that dies"), ("hill", "Hill"), ("most", "ceiling of the kill"))


class Medicine(msgspec.Struct, frozen=True, kw_only=True):
    """A substance at a level, by a route, on these days of a course, each for so long."""

    substance: str
    route: str
    level: float
    unit: str
    days: tuple[float, ...]
    hold_d: float


def numbers_of(organism: Organism) -> dict[str, list[str]]:
    """Names under which numbers are drawn, with the rows of the facts that were judged."""
    n = Numbers(organism, COUNTS[0])
    found: dict[str, list[str]] = {}
    for p in organism.parameter:
        if p.use and p.status == ELICITED and not p.name.startswith(SEEN):
            label = f"{p.name}{f' of {p.stage}' if p.stage else ''}"
            if label not in found.setdefault(n.column(p.name, p.stage), []):
                found[n.column(p.name, p.stage)].append(label)
    return found


def seen_of(organism: Organism) -> list[str]:
    """Judged numbers of what is seen."""
    rows = [p for p in organism.parameter if p.use and p.status == ELICITED and p.name.startswith(SEEN)]
    return list(dict.fromkeys(f"{p.name} of {p.stage or p.sign}" for p in rows))


def kills_of(organism: Organism) -> dict[tuple[str, str], Kill]:
    """Of each substance and route with judged rows the first, that of the usual course too."""
    found: dict[tuple[str, str], Kill] = {}
    for k in organism.kill:
        if k.use and k.status == ELICITED and k.level > 0 and k.route in ("water", "bath", "feed"):
            found.setdefault((k.substance, k.route), k)
    return found


def usual_of(organism: Organism) -> Medicine:
    """What the usual course gives."""
    u = organism.usual
    return Medicine(
        substance=u.substance, route=u.route, level=u.level, unit=u.unit, days=u.days, hold_d=u.hold_d
    )


def instead(organism: Organism, row: Kill) -> Medicine:
    """A substance at the level of its row on the days of the usual course; a bath for as long as was read."""
    u = organism.usual
    days = u.days or (0.0,)
    hold = row.exposure_h / 24.0 if row.route == "bath" else max(u.hold_d, row.exposure_h / 24.0)
    return Medicine(
        substance=row.substance, route=row.route, level=row.level, unit=row.unit, days=days, hold_d=hold
    )


def _acts(organism: Organism, given: Medicine) -> list[tuple[float, AnyAct]]:
    """Changes and siphoning of the usual course, and baths, by day."""
    usual = organism.usual
    acts: list[tuple[float, AnyAct]] = []
    day = usual.from_day + usual.every_d
    while usual.every_d > 0 and day < DAYS:
        acts.append((day, Change(share=usual.change)))
        if usual.siphon:
            acts.append((day, Siphon(floor_share=1.0)))
        day += usual.every_d
    if given.route == "bath":
        mg = {given.substance: given.level * 10.0}
        acts += [
            (usual.from_day + d, Bath(actives=mg, volume_l=10.0, minutes=given.hold_d * DAY))
            for d in given.days
        ]
    return acts


def _water(organism: Organism, given: Medicine, stress: np.ndarray) -> Surroundings:
    """The water of a course: its level held for as long as it says."""
    minutes = np.arange(0, DAYS * DAY + HOUR, HOUR)
    level = np.full(minutes.size, LEAST)
    strengths: list[tuple[int, Standing]] = [(0, Standing())]
    for d in given.days:
        first = organism.usual.from_day + d
        begin, end = first * DAY, (first + given.hold_d) * DAY
        if given.route == "water":
            level[(minutes >= begin) & (minutes <= end)] = given.level
        if given.route == "feed":
            fed = Standing(medicated={given.substance: given.level})
            strengths += [(round(begin), fed), (round(end), Standing())]
    flat = np.ones((minutes.size, stress.size))
    acts = [Timed(round(d * DAY), act) for d, act in _acts(organism, given)]
    return Surroundings(
        minutes=minutes,
        temp_c=flat * TEMP_C,
        stress=flat * stress,
        logs={given.substance: np.log(level)[:, None] * flat},
        happening=tuple(sorted(acts, key=lambda t: t.minute)),
        standing=tuple(strengths),
        steady=True,
    )


def course_of(facts: Facts, organism: Organism, given: Medicine, stress: np.ndarray) -> Course:
    """The organism under a course."""
    draws = stress.size
    herd = Herd(
        fish=np.full(draws, FISH),
        fish_g=np.full(draws, GRAM),
        volume_l=np.full(draws, LITRES),
        turnover_1_d=np.full(draws, 96.0),
    )
    life = life_of(facts, organism.id, herd, draws)
    around = _water(organism, given, stress)
    found = {}
    for route in ("water", "feed"):
        levels, units = {given.substance: given.level}, {given.substance: given.unit}
        found[route], _ = reaches(organism, life.gathered, route, levels, units, draws)
    now = around.around(0, after=True)
    return Course(
        life=life,
        around=around,
        begin=0,
        end=DAYS * DAY,
        start=filled(life, now, start_of(life, None, now.temp_c)),
        reach=tuple(found["water"]) if given.route == "water" else (),
        feed=tuple(found["feed"]) if given.route == "feed" else (),
        every=step_min(life, now, dosed=True),
    )


class Move(msgspec.Struct, frozen=True, kw_only=True):
    """How far a number moves the chance that it is gone, and how many times the burden."""

    label: str
    gone: tuple[float, float]
    times: float

    @property
    def tells(self) -> bool:
        """Whether it is worth a line."""
        return abs(self.gone[1] - self.gone[0]) >= TELLS or abs(float(np.log(self.times))) >= np.log(1.1)

    @property
    def line(self) -> str:
        """Its row of the table."""
        return f"| {self.label} | {self.gone[0]:.2f} to {self.gone[1]:.2f} | {self.times:.2g} |"


def moves(facts: Facts, organism: Organism, given: Medicine, names: dict[str, list[str]]) -> list[Move]:
    """Each name from its low to its high end."""
    lanes = Lanes([*names])
    with sweeping(lanes.shares):
        stress = facts.tank["stress_index_ill"]
        share = (lanes.shares("stress", lanes.draws) - LOW) / (HIGH - LOW)
        course = course_of(facts, organism, given, stress.low + (stress.high - stress.low) * share)
        gone = gone_by(course, [DAYS * DAY]).chance[0]
        passed = run(course, apart=DAYS * DAY)
    germs = [n for n, r in enumerate(course.life.gathered.rows) if r.germ and r.place != "none"]
    left = np.maximum(passed.rows[-1][germs].sum(axis=0), 1e-9)
    found = []
    for key in lanes.at:
        (a, b), (c, d) = lanes.ends(gone, key), lanes.ends(left, key)
        found.append(Move(label=", ".join(names[key]), gone=(a, b), times=d / c))
    return sorted(found, key=lambda m: (-abs(m.gone[1] - m.gone[0]), -abs(float(np.log(m.times)))))


def section(facts: Facts, organism: Organism) -> Iterator[str]:
    """One organism: its own numbers, then what substances do to it."""
    what = "no fish ill" if holds_of(organism.structure) == "never-gone" else "gone"
    yield f"## {organism.name}\n\nThin: {organism.thin}.\n"
    yield f"| judged number | {what}, low to high | left, times |\n| --- | --- | --- |"
    usual, kills = usual_of(organism), kills_of(organism)
    names = numbers_of(organism) | {"stress": ["stress of the tank"]}
    if (usual.substance, usual.route) in kills:
        names |= {f"kill.1.{part}": [f"{usual.substance}: {label}"] for part, label in PARTS}
    every = moves(facts, organism, usual, names)
    yield "\n".join(m.line for m in every if m.tells)
    others = [row for key, row in kills.items() if key != (usual.substance, usual.route)]
    for row in others:
        named = {f"kill.1.{part}": [f"{_named(row)}: {label}"] for part, label in PARTS}
        found = moves(facts, organism, instead(organism, row), named)
        every += found
        yield "\n".join(m.line for m in found if m.tells) or f"| {_named(row)} | as without | 1 |"
    yield f"\nHardly move it: {', '.join(m.label for m in every if not m.tells)}.\n"
    if seen := seen_of(organism):
        yield f"Only in what a look or a count teaches: {', '.join(seen)}.\n"


def _named(row: Kill) -> str:
    return f"{row.substance} in its place, {row.route}, {row.level:g} {row.unit}"
