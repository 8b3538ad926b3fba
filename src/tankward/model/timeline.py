"""When an organism's rows are stepped, and what holds at the three nodes of each step: all in tables.

Both forms of both passes read these, so they take the same steps: the oracle (`outbreak.py`, `clearance.py`)
one after the other, the kernels (`packed.py`, `kernels_rows.py`) all in one call.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from itertools import pairwise
from types import SimpleNamespace

import msgspec
import numpy as np
from numpy.typing import NDArray

from .happening import by_minute
from .lives.kills import Reach
from .lives.tables import Around
from .memo import Memo
from .organisms import Life
from .rows import Array, Rows
from .surroundings import LEAST, Nodes, Surroundings

Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]
DAY_MIN = 1440
AFTER_MIN = (3, 6, 10, 15, 22, 30, 40, 50, 60, 75, 90, 105, 120, 140, 160, 180)  # a dose does its first work
FRESH = 8  # steps after which the exact part of the losses is taken anew: an outbreak may be quick
MOVING = 4  # the same while a substance fades or the water warms
KILLING = 0.4  # step × death rate by a substance, going back: holds the chance to 1e-6
FINER_MIN = (60, 30, 15, 10)
COARSE_AFTER_MIN = (30,)
COARSE_KILLING, COARSE_FINER_MIN = 8.0, (60, 30)


class Course(msgspec.Struct, frozen=True, kw_only=True):
    """Everything that a run reads."""

    life: Life
    around: Surroundings
    begin: int  # minute
    end: int
    start: Array  # rows × draws
    reach: tuple[Reach, ...] = ()
    feed: tuple[Reach, ...] = ()
    every: int = 60
    infected_d: float = 0.0  # days since the first were infected, at the beginning
    coarse: bool = False  # steps as long as the method is stable: to choose among many
    kept: Memo | None = None  # what was worked out before of this life

    @property
    def met(self) -> tuple[Hashable, ...] | None:
        """By what the substances are known that reach it; None where they are not."""
        keys = tuple(reach.key for reach in (*self.reach, *self.feed))
        return None if None in keys else keys


class Timeline(msgspec.Struct, frozen=True, kw_only=True):
    """Steps in the order in which they are taken. A node is (step, 0 to 2): where it begins, half way, where
    it ends; going back it begins at its later end.
    """

    edges: Whole  # minutes at which steps begin, and the last end
    days: Array  # length of each [d]
    fresh: Flags  # the exact part of the losses is taken anew
    nodes: Nodes  # arrays steps × 3
    before: Whole  # of each node the setting at the knot before it, and after it: of `settings`
    after: Whole
    settings: tuple[Around, Array]  # of all settings at once; share of the fish in the tank, for each
    infected_d: Array  # of each node
    acts: tuple[tuple[int, object], ...]  # edge, what happens there

    @property
    def steps(self) -> int:
        """How many."""
        return self.days.size


def minutes_of(course: Course, *, ends: Iterable[int] = (), back: bool = False) -> list[int]:
    """Minutes at which steps begin, and the last: a grid, all that happens, and close by where it is sharp.

    Going on a dose or a removal is sharp in what follows, going back in what came before, and so are `ends`.
    """
    begin, end = course.begin, course.end
    grid = _grid(course, begin, end, back)
    happening = [t.minute for t in course.around.happening if begin <= t.minute <= end]
    found = {begin, end, *grid, *happening, *ends}
    if course.reach or course.feed:
        sharp = {begin, *ends, *by_minute(course.around.happening, begin, end), *_doses(course)}
        after = COARSE_AFTER_MIN if course.coarse else AFTER_MIN
        offs = [-m for m in after] if back else after
        found |= {m + off for m in sharp for off in offs if begin < m + off < end}
    return sorted(found)


def _grid(course: Course, begin: int, end: int, back: bool) -> Iterable[int]:
    """By the clock of the record; going back finer for as long as a substance kills fast."""
    even = range(begin - begin % course.every + course.every, end, course.every)
    if not (back and course.reach):
        return even
    strong, minutes = _strongest(course), course.around.minutes
    most, steps = (COARSE_KILLING, COARSE_FINER_MIN) if course.coarse else (KILLING, FINER_MIN)
    found = set(even)
    for before, finer in pairwise((course.every, *(m for m in steps if m < course.every))):
        there = strong * before / DAY_MIN > most
        for n in np.flatnonzero(there[:-1] | there[1:]):
            low = int(minutes[n])
            found.update(range(low - low % finer, int(minutes[n + 1]) + 1, finer))
    return (m for m in found if begin < m < end)


def _strongest(course: Course) -> Array:
    """The greatest death rate by a substance in any draw, at each row of the record. [1/d]"""
    warmest = course.around.temp_c.max(axis=0)
    out = np.zeros(len(course.around.minutes))
    for reach in course.reach:
        offset = np.log(reach.scale / reach.curve.half)
        most = (reach.curve.hill * (course.around.logs[reach.substance] + offset)).max(axis=1)
        top = float(reach.most(warmest).max())
        out = np.maximum(out, top / (1.0 + np.exp(np.clip(-most, -500.0, 500.0))))
    return out


def _doses(course: Course) -> set[int]:
    doses = course.around.jumps(sorted({r.substance for r in course.reach}))
    fed = {m for m, s in course.around.standing if s.medicated} if course.feed else set()
    stops = {m for m, _ in course.around.standing} if fed else set()
    return {m for m in doses | fed | stops if course.begin <= m <= course.end}


def timeline(course: Course, *, ends: Iterable[int] = (), back: bool = False) -> Timeline:
    """The steps of a course, going on or going back."""
    edges = np.array(minutes_of(course, ends=ends, back=back), dtype=np.int64)
    middle = (edges[1:] + edges[:-1]) / 2
    minutes = np.stack([edges[:-1], middle, edges[1:]], axis=1)
    if back:
        edges, minutes = edges[::-1].copy(), minutes[::-1, ::-1].copy()
    after = np.broadcast_to(np.array([not back, True, back]), minutes.shape)
    nodes = course.around.nodes(minutes, after)
    settings, before, behind = _settings(course.around, nodes, back)
    days = np.abs(np.diff(edges)) / DAY_MIN
    acts = by_minute(course.around.happening, course.begin, course.end)
    at = {int(m): n for n, m in enumerate(edges)}
    told = [
        (at[m], what) for m in sorted(acts, reverse=back) for what in (acts[m][::-1] if back else acts[m])
    ]
    return Timeline(
        edges=edges, days=days, fresh=_fresh(course, days, nodes, [n for n, _ in told]), nodes=nodes,
        before=before, after=behind, settings=settings, acts=tuple(told),
        infected_d=course.infected_d + (minutes - course.begin) / DAY_MIN,
    )  # fmt: skip


def _settings(around: Surroundings, nodes: Nodes, back: bool) -> tuple[tuple[Around, Array], Whole, Whole]:
    """The distinct settings of all nodes, and which of them each node lies between."""
    kept = {(s.light_h == 0.0, s.fish) for _, s in around.standing}
    if around.steady and len(kept) == 1 and len(around.stresses()[1]) == 1:
        (no_light, fish), one = kept.pop(), np.zeros_like(nodes.before)
        e = Around(temp_c=around.temp_c[:1], stress=around.stress[:1], dark=np.array([[no_light]]))
        return (e, np.array([fish if back else 1.0])), one, one
    standing = [s for _, s in around.standing]
    dark = np.array([s.light_h == 0.0 for s in standing])[nodes.standing]
    stocks = np.array([s.fish for s in standing])
    stock = stocks[nodes.standing] if back else np.ones_like(nodes.between)
    shares, stocked = np.unique(stock, return_inverse=True)
    sizes = (len(around.minutes), len(around.minutes), 2, shares.size)
    knots = np.stack([nodes.before, nodes.after])
    told = np.broadcast_arrays(knots, nodes.stress, dark.astype(np.int64), stocked.reshape(stock.shape))
    keys, which = np.unique(np.ravel_multi_index(told, sizes).ravel(), return_inverse=True)
    rows, stress, dim, some = np.unravel_index(keys, sizes)
    which = which.reshape(knots.shape)
    _, first = around.stresses()
    e = Around(
        temp_c=around.temp_c[:1] if around.steady else around.temp_c[rows],
        stress=around.stress[first[stress]],
        dark=dim[:, None] > 0,
    )
    return (e, shares[some]), which[0], which[1]


def _fresh(course: Course, days: Array, nodes: Nodes, acts: list[int]) -> Flags:
    """Where step, warmth, stress or keeping change, where something happens, and after some steps."""
    told = [days, *(getattr(nodes, name)[:, 1] for name in ("before", "stress", "standing"))]
    turns = np.zeros(days.size, dtype=bool)
    turns[:1] = True
    for one in told:
        turns[1:] |= one[1:] != one[:-1]
    turns[[n for n in acts if n < days.size]] = True
    at = np.arange(days.size)
    since = at - np.maximum.accumulate(np.where(turns, at, 0))
    moving = (nodes.between[:, 1] > 0) | dosed(course, nodes)
    found: Flags = turns | (since % FRESH == 0) | (moving & (since % MOVING == 0))
    return found


def dosed(course: Course, nodes: Nodes) -> Flags:
    """Steps in which a substance that acts is in the water."""
    out = np.zeros(len(nodes.here), dtype=bool)
    for one in {r.substance for r in course.reach}:
        there: Flags = (course.around.logs[one] > np.log(LEAST * 1.01)).any(axis=1)
        out |= (there[nodes.here] | there[nodes.there]).any(axis=1)
    return out


def fed(course: Course) -> tuple[Whole, Array]:
    """Of each standing which kind of food holds, and of each kind what it does of the most that each medicine
    in it can: kinds × reaches × draws. The first kind is food without any.
    """
    kinds: list[Array] = [np.zeros((len(course.feed), course.life.draws))]
    which = np.zeros(len(course.around.standing), dtype=np.int64)
    for n, (_, standing) in enumerate(course.around.standing):
        if any(reach.substance in standing.medicated for reach in course.feed):
            which[n] = len(kinds)
            kinds.append(np.array([
                r.part(standing.medicated.get(r.substance, 0.0)) + np.zeros(course.life.draws)
                for r in course.feed
            ]))  # fmt: skip
    return which, np.array(kinds)


def paced(course: Course, e: Around) -> Rows:
    """Paces of settings, and as `reach` the most that each substance can do: reaches × settings × draws."""
    p = course.life.pace(e)
    shape = p.die.shape[1:]
    found = [np.broadcast_to(r.most(e.temp_c), shape) for r in (*course.reach, *course.feed)]
    p.reach = np.array(found) if found else np.zeros((0, *shape))
    return p


def killed(course: Course, p: Rows, levels: dict[str, Array], food: Array) -> Array:
    """Death rate of each row by substances in the water and in the food, at a pace of one setting. [1/d]"""
    out = np.zeros((course.life.table.rows, course.life.draws))
    for n, reach in enumerate(course.reach):
        out[list(reach.rows)] += p.reach[n] * reach.part(levels[reach.substance])
    for n, reach in enumerate(course.feed):
        out[list(reach.rows)] += p.reach[len(course.reach) + n] * food[n]
    return out


def level(log: Array) -> Array:
    """From its logarithm; of next to nothing, nothing."""
    found = np.exp(log)
    return np.asarray(np.where(found <= LEAST * 1.01, 0.0, found))


class Steps:
    """A timeline as the oracle reads it: paces and deaths by substances at each node."""

    def __init__(self, course: Course, line: Timeline) -> None:
        self.course, self.line = course, line
        self.paces = paced(course, line.settings[0])
        self.which, self.kinds = fed(course)
        self._kept: dict[tuple[int, int, float], Rows] = {}

    def setting(self, step: int, node: int) -> Rows:
        """Rates and shares before resistance."""
        line = self.line
        at = line.nodes.between[step, node]
        key = (int(line.before[step, node]), int(line.after[step, node]), float(at))
        if key not in self._kept:
            self._kept = dict(list(self._kept.items())[-5:])
            self._kept[key] = mixed(self.paces, *key)
        return self._kept[key]

    def pace(self, step: int, node: int) -> Rows:
        """With the resistance of the fish."""
        return self.course.life.resisting(self.setting(step, node), float(self.line.infected_d[step, node]))

    def kill(self, step: int, node: int) -> Array:
        """Death rate of each row by substances in the water and in the food. [1/d]"""
        n, logs = self.line.nodes, self.course.around.logs
        here, there, share = int(n.here[step, node]), int(n.there[step, node]), n.share[step, node]
        levels = {
            s: level(logs[s][here] + share * (logs[s][there] - logs[s][here]))
            for s in {reach.substance for reach in self.course.reach}
        }
        food = self.kinds[self.which[n.standing[step, node]]]
        return killed(self.course, self.setting(step, node), levels, food)


SET = ("rate", "give", "low", "slope", "weight", "die", "most", "reach")  # of a pace, what a setting decides


def mixed(paces: Rows, before: int, after: int, between: float, names: Sequence[str] = SET) -> Rows:
    """Paces of many settings into that between two of them."""
    found = dict(paces.__dict__)
    for name in names:
        here = found[name][..., before, :]
        found[name] = here if before == after else here + between * (found[name][..., after, :] - here)
    return SimpleNamespace(**found)
