"""An organism forward through the tank: rows on a table of steps of their own, over the water's record."""

from __future__ import annotations

from types import SimpleNamespace

import msgspec
import numpy as np

from tankward.knowledge import rules

from . import run as forms
from .happening import happens
from .integrate_rows import Rates, Shares, shares, step
from .lives.tables import HOSTED, Around
from .organisms import Life
from .processes.organism import rates as body
from .processes.organism import see
from .rows import ALL, Array, Rows
from .surroundings import Nodes
from .timeline import DAY_MIN, Course, Steps, Timeline, killed, minutes_of, mixed, paced, timeline

__all__ = [
    "DAY_MIN", "Course", "Forward", "Passed", "Walk", "fill", "filled", "losses", "run", "step_min",
    "workspace",
]  # fmt: skip
STEPS_MIN = (360, 240, 180, 120, 60, 45)  # divisors of a day
STEADY = 0.5  # step × fastest rate between rows or of birth; holds 2e-4 in every organism of the facts
DOSED_MIN = 60  # with a substance that acts
CROWDED_MIN = 120  # where a ceiling, not the rate of growth, sets the pace
COARSE_MIN = (240, 180, 120, 90, 60)
COARSE = 1.6  # step × fastest rate
BACK_MIN = 360  # step of the time before the beginning


class Passed(msgspec.Struct, frozen=True, kw_only=True):
    """Rows at each edge of the steps, or at those asked for; twice where something happened."""

    minutes: tuple[int, ...]
    rows: Array  # times × rows × draws


class Walk:
    """Paces and deaths by substances at one instant after another, for whoever takes steps of his own."""

    def __init__(self, course: Course) -> None:
        self.course = course
        self._kept: dict[tuple[object, ...], Rows] = {}

    def _nodes(self, minute: float, after: bool) -> Nodes:
        return self.course.around.nodes(np.array([minute], dtype=float), np.array([after]))

    def setting(self, minute: float, *, after: bool) -> Rows:
        """Rates and shares before resistance, straight between those at the knots of warmth."""
        n, around = self._nodes(minute, after), self.course.around
        dark = around.standing[int(n.standing[0])][1].light_h == 0.0
        key = (int(n.before[0]), int(n.after[0]), float(n.between[0]), int(n.stress[0]), dark)
        if key not in self._kept:
            ends = np.array([n.before[0], n.after[0]])
            temp = around.temp_c[0] if around.steady else around.temp_c[ends]
            stress = around.stress[[around.stresses()[1][n.stress[0]]] * 2]
            both = paced(self.course, Around(temp_c=temp, stress=stress, dark=np.full((2, 1), dark)))
            self._kept = dict(list(self._kept.items())[-3:])
            self._kept[key] = mixed(both, 0, 0 if key[0] == key[1] else 1, key[2])
        return self._kept[key]

    def pace(self, minute: float, *, after: bool) -> Rows:
        """Rates and shares at an instant."""
        days = self.course.infected_d + (minute - self.course.begin) / DAY_MIN
        return self.course.life.resisting(self.setting(minute, after=after), days)

    def kill(self, minute: float, *, after: bool) -> Array:
        """Death rate of each row by substances in the water and in the food. [1/d]"""
        around, substances = self.course.around, {r.substance for r in self.course.reach}
        levels = {s: around.level(s, minute, after=after) for s in substances}
        strengths = around.stands(minute, after).medicated
        food = np.array([reach.part(strengths.get(reach.substance, 0.0)) for reach in self.course.feed])
        return killed(self.course, self.setting(minute, after=after), levels, food)

    def warmth(self, minute: float, *, after: bool) -> Array:
        """Of the water. [°C]"""
        return self.course.around.around(minute, after=after).temp_c

    def edges(self) -> list[int]:
        """Minutes at which steps begin, and the end."""
        return minutes_of(self.course)


def step_min(life: Life, e: Around, *, dosed: bool = False) -> int:
    """Longest step that passes over none of the rates at which rows go on or are born. [min]"""
    fastest = _fastest(life, e)
    longest = next((m for m in STEPS_MIN if m / DAY_MIN * fastest <= STEADY), STEPS_MIN[-1])
    t = life.table
    crowds = bool(((t.given > 0) & (t.source == t.gain)).any())
    longest = min(longest, CROWDED_MIN) if crowds else longest
    return min(longest, DOSED_MIN) if dosed else longest


def coarse_min(life: Life, e: Around) -> int:
    """Longest step of a pass back that is to choose among many. [min]"""
    fastest = _fastest(life, e)
    return next((m for m in COARSE_MIN if m / DAY_MIN * fastest <= COARSE), COARSE_MIN[-1])


def _fastest(life: Life, e: Around) -> float:
    """The greatest rate at which rows go on or are born. [1/d]"""
    p, t = life.pace(e), life.table
    alone = (t.taken == 0) & ((t.lose == 1) | (t.source == t.gain)) & (t.source != t.corpse)
    return float(p.rate.max(axis=1)[alone].max())


def filled(life: Life, e: Around, start: Array) -> Array:
    """The rows outside the fish, as a burden has filled them that was the same for a fortnight."""
    held = np.ones(len(start))
    held[[r for r, row in enumerate(life.gathered.rows) if row.place in (*HOSTED, "host", "count")]] = 0.0
    steps = round(rules.figure("run_back") * DAY_MIN / BACK_MIN)
    if rows := forms.compiled_rows():
        return np.asarray(rows.filled(life, life.pace(e), start, held, steps, BACK_MIN / DAY_MIN))
    return fill(life, life.pace(e), start, held, steps, BACK_MIN / DAY_MIN)


def fill(life: Life, p: Rows, start: Array, held: Array, steps: int, h: float) -> Array:
    """So many steps of one length at one pace, of those rows alone that are not held (0)."""
    work, none = workspace(life), np.zeros_like(start)

    def rates(y: Array, dy: Array) -> None:
        body(y, p, life.table, none, dy, work, ALL)
        dy *= held[:, None]

    taken = shares(losses(start, p, life, none, work) * held[:, None], h)
    y = start.copy()
    for _ in range(steps):
        y = step(y, taken, (rates, rates, rates))
        y[0] = 1.0
    return y


def workspace(life: Life) -> Rows:
    """Room for views and modifiers."""
    t = life.table
    return SimpleNamespace(sums=np.zeros((t.views, life.draws)), mod=np.zeros((len(t.over), life.draws)))


def run(course: Course, *, apart: int = 0) -> Passed:
    """From beginning to end.

    Parameters
    ----------
    apart : int
        Rows are kept no closer than so many minutes, but at the end and where something happens. 0: all.
    """
    line = timeline(course)
    if rows := forms.compiled_rows():
        slots, kept = rows.forward(course, line, wanted(line, apart))
        return Passed(minutes=slots, rows=kept)
    return _walked(course, line, wanted(line, apart))


def wanted(line: Timeline, apart: int) -> list[bool]:
    """Which edges are kept."""
    acts, last, out = {edge for edge, _ in line.acts}, -apart, list[bool]()
    edges = line.edges.tolist()
    for n, minute in enumerate(edges):
        out.append(minute - last >= apart or n in (0, line.steps) or n in acts)
        last = minute if out[-1] else last
    return out


def _walked(course: Course, line: Timeline, keep: list[bool]) -> Passed:
    """The oracle, step by step."""
    forward = Forward(course, line)
    kept: list[tuple[int, Array]] = []
    for n, minute in enumerate(line.edges.tolist()):
        acts = [what for edge, what in line.acts if edge == n]
        if keep[n]:
            kept.append((minute, forward.y))
        for what in acts:
            warmth = course.around.around(minute, after=False).temp_c
            forward.y = happens(forward.y, what, course.life, course.reach, warmth)
        if acts and keep[n]:
            kept.append((minute, forward.y))
        if n < line.steps:
            forward.advance(n)
    return Passed(minutes=tuple(m for m, _ in kept), rows=np.array([r for _, r in kept]))


class Forward:
    """The rows while a run of the oracle goes on."""

    def __init__(self, course: Course, line: Timeline) -> None:
        self.life, self.line, self.steps = course.life, line, Steps(course, line)
        self.work, self.y = workspace(course.life), course.start.copy()
        self.taken: Shares | None = None

    def advance(self, n: int) -> None:
        """Step `n`."""
        paces = [self.steps.pace(n, node) for node in range(3)]
        kills = [self.steps.kill(n, node) for node in range(3)]
        if self.taken is None or self.line.fresh[n]:
            mean = (kills[0] + 4.0 * kills[1] + kills[2]) / 6.0
            self.taken = shares(losses(self.y, paces[1], self.life, mean, self.work), self.line.days[n])
        at = [_rates(self.life, p, k, self.work) for p, k in zip(paces, kills, strict=True)]
        self.y = step(self.y, self.taken, (at[0], at[1], at[2]))
        self.y[0] = 1.0


def _rates(life: Life, p: Rows, kill: Array, work: Rows) -> Rates:
    def rates(y: Array, dy: Array) -> None:
        body(y, p, life.table, kill, dy, work, ALL)

    return rates


def losses(y: Array, p: Rows, life: Life, kill: Array, work: Rows) -> Array:
    """At what rate each row is left, as it stands. [1/d]"""
    t = life.table
    see(y, p, t, work, ALL)
    out = p.die + kill
    for f in range(len(t.source)):
        if t.lose[f]:
            out[t.source[f]] += p.rate[f] * work.mod[t.taken[f]]
    out[0] = 0.0
    return np.asarray(out)
