"""Tables of steps, rows and flows as the kernels read them: whole numbers, and numbers in blocks of lanes.

A plain flow adds rate × give × source to another row and no more. Plain flows whose rows lie one after
another, as the rows of a stage do, are a stretch: the kernels run over it in one loop. All others (with a
modifier, let through less by fish that resist, as a clutch) are gone through one by one.
"""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from .events import Stocked
from .happening import spared
from .lives.kills import Reach
from .organisms import Life
from .rows import Array, Rows
from .surroundings import LEAST
from .timeline import Course, Timeline, dosed, fed

Whole = NDArray[np.int64]


class Grid(NamedTuple):
    """Of each step, or of each of its nodes; of each edge."""

    days: Any
    fresh: Any
    before: Any  # settings
    after: Any
    between: Any
    here: Any  # rows of the record
    there: Any
    share: Any
    food: Any  # kinds of food
    infected_d: Any
    dosed: Any  # whether anything kills in a step
    acts: Any  # edges + 1: where the acts of an edge begin
    slots: Any  # of each edge the first slot of the record that it fills, −1: none


class Acts(NamedTuple):
    """What each act leaves of the rows, how many fish it brings of those there are, whether it frees fish."""

    left: Any  # blocks × acts × rows × lanes
    more: Any
    frees: Any


class Killing(NamedTuple):
    """Substances: ln of their levels in the water, and how each reaches rows. Water first, food after it."""

    logs: Any  # blocks × substances × rows of the record × lanes
    substance: Any  # of each reach in the water
    first: Any  # reach r is on rows first[r] to last[r] of `rows`
    last: Any
    rows: Any
    all: Any  # rows on which anything acts, each once
    offset: Any  # blocks × reaches × lanes: ln of scale over half
    hill: Any
    food: Any  # blocks × kinds × reaches × lanes
    nothing: float  # ln of a level that counts as none


class Resisting(NamedTuple):
    """Blocks × lanes."""

    begins: Any
    full: Any
    ends: Any
    share: Any
    block: Any
    kill: Any
    ever: bool


class Going(NamedTuple):
    """Rows and flows of an organism, going on."""

    runs: Any  # stretches × (source, gain, first column, how many)
    source: Any  # of flows that are not plain
    gain: Any
    lose: Any
    stays: Any
    taken: Any
    given: Any
    blocked: Any
    over: Any
    under: Any
    seen_view: Any
    seen_row: Any
    heals: Any
    hosted: Any
    hosts: Any  # rows of fish
    held: Any  # 0: the row stays as it is
    holds: bool
    fish: int
    lost: int
    corpse: int
    burden: int
    grams: int
    views: int
    harms: bool


class Places(NamedTuple):
    """Where in a setting what begins, in rows of lanes; the rate at which each row is left comes first."""

    come: Any  # plain flows
    rate: Any
    give: Any
    low: Any
    slope: Any
    weight: Any
    most: Any
    reach: Any


class Harm(NamedTuple):
    """Blocks × nodes or one × lanes."""

    half: Any
    hill: Any
    shed: Any
    node: Any
    share: Any


LANES = 64  # more than in the water: rows are short, and few draws are the rule


def lanes_of(draws: int) -> int:
    """How many draws a block holds."""
    return LANES if draws % LANES == 0 else draws


def blocked(values: Array) -> Array:
    """… × draws into blocks × … × lanes, one after another in memory."""
    lanes = lanes_of(values.shape[-1])
    split = values.reshape(*values.shape[:-1], values.shape[-1] // lanes, lanes)
    # Always a copy: a kernel knows arrays by whether they may be written, too.
    return np.array(np.moveaxis(split, -2, 0), dtype=np.float64, order="C")


def settled(parts: Sequence[Array]) -> tuple[Array, list[int]]:
    """Parts of rows × settings × draws as one: blocks × settings × rows × lanes; where each part begins."""
    begins = np.cumsum([0, *(len(part) for part in parts)])
    return blocked(np.concatenate(parts).transpose(1, 0, 2)), [int(n) for n in begins[1:-1]]


def whole(values: Any) -> Whole:
    """Whole numbers, as a kernel knows them."""
    return np.array(values, dtype=np.int64, order="C")


def stretches(pairs: Sequence[tuple[int, int]]) -> Whole:
    """Pairs of rows that follow on each other, as one."""
    found: list[list[int]] = []
    for n, (source, gain) in enumerate(pairs):
        last = found[-1] if found else None
        if last and (source, gain) == (last[0] + last[3], last[1] + last[3]):
            last[3] += 1
        else:
            found.append([source, gain, n, 1])
    return whole(np.array(found, dtype=np.int64).reshape(-1, 4))


def grid(course: Course, line: Timeline, kept: Sequence[bool]) -> tuple[Grid, tuple[int, ...]]:
    """The steps, and the minutes of the slots of the record."""
    which, _ = fed(course)
    edges = line.edges.tolist()
    acts = np.zeros(len(edges) + 1, dtype=np.int64)
    for edge, _ in line.acts:
        acts[edge + 1] += 1
    slots, minutes = np.full(len(edges), -1), list[int]()
    for n, minute in enumerate(edges):
        if kept[n]:
            slots[n] = len(minutes)
            minutes += [minute] * (2 if acts[n + 1] else 1)
    at = line.nodes
    made = Grid(
        days=line.days, fresh=line.fresh, before=whole(line.before), after=whole(line.after),
        between=np.array(at.between, dtype=float), here=whole(at.here), there=whole(at.there),
        share=np.array(at.share, dtype=float), food=whole(which[at.standing]),
        infected_d=np.array(line.infected_d),
        dosed=dosed(course, at) | (which[at.standing] > 0).any(axis=1), acts=whole(acts.cumsum()),
        slots=whole(slots),
    )  # fmt: skip
    return made, tuple(minutes)


def killing(course: Course) -> Killing:
    """All substances that act."""
    return _killing(course.life, course.reach, course.feed, course.around.logs, fed(course)[1])


def no_killing(life: Life) -> Killing:
    """No substance acts."""
    return _killing(life, (), (), {}, np.zeros((1, 0, life.draws)))


def _killing(
    life: Life, water: tuple[Reach, ...], feed: tuple[Reach, ...], levels: dict[str, Array], food: Array
) -> Killing:
    draws, names = life.draws, sorted({r.substance for r in water})
    reaches = (*water, *feed)
    ends = np.cumsum([0, *(len(r.rows) for r in reaches)])
    logs = np.array([levels[s] for s in names]) if names else np.zeros((0, 1, draws))
    return Killing(
        logs=blocked(logs),
        substance=whole([names.index(r.substance) for r in water]),
        first=whole(ends[:-1]),
        last=whole(ends[1:]),
        rows=whole([row for r in reaches for row in r.rows]),
        all=whole(sorted({row for r in reaches for row in r.rows})),
        offset=_of(water, lambda r: np.log(r.scale / r.curve.half), draws),
        hill=_of(water, lambda r: r.curve.hill, draws),
        food=blocked(food),
        nothing=float(np.log(LEAST * 1.01)),
    )


def _of(reaches: Sequence[Any], value: Any, draws: int) -> Array:
    found = [np.broadcast_to(value(r), (draws,)) for r in reaches]
    return blocked(np.array(found) if found else np.zeros((0, draws)))


def even(steps: int, h: float) -> Grid:
    """So many steps of one length in one setting, in which nothing happens and nothing is kept."""
    none = np.zeros((steps, 3), dtype=np.int64)
    return Grid(
        days=np.full(steps, h), fresh=np.arange(steps) == 0, before=none, after=none,
        between=np.zeros((steps, 3)),
        here=none, there=none, share=np.zeros((steps, 3)), food=none, infected_d=np.zeros((steps, 3)),
        dosed=np.zeros(steps, dtype=bool), acts=whole(np.zeros(steps + 2)),
        slots=whole(np.full(steps + 1, -1)),
    )  # fmt: skip


def no_acts(life: Life) -> Acts:
    """Nothing happens."""
    none = np.zeros((0, life.table.rows, life.draws))
    return Acts(left=blocked(none), more=np.zeros(0), frees=np.zeros(0, dtype=bool))


def one_setting(p: Rows) -> Rows:
    """A pace as that of one setting, in which no substance acts."""
    names = ("rate", "give", "low", "slope", "weight", "die")
    wide = {name: getattr(p, name)[:, None] for name in names}
    none = np.zeros((0, 1, p.die.shape[-1]))
    return SimpleNamespace(**{**p.__dict__, **wide, "most": p.most[None], "reach": none})


def resisting(life: Life, never: bool = False) -> Resisting:
    """Of the fish; `never`: as if none did."""
    return Resisting(
        begins=blocked(life.resist_from_d), full=blocked(life.resist_full_d),
        ends=blocked(life.resist_until_d), share=blocked(life.resist_share),
        block=blocked(life.resist_block), kill=blocked(life.resist_kill),
        ever=bool(life.resist_share.any()) and not never,
    )  # fmt: skip


def acts_of(course: Course, line: Timeline) -> Acts:
    """Of an outbreak."""
    life, found = course.life, [what for _, what in line.acts]
    warmths = [course.around.around(int(line.edges[edge]), after=False).temp_c for edge, _ in line.acts]
    left = [spared(what, life, course.reach, temp_c) for what, temp_c in zip(found, warmths, strict=True)]
    stocked = [isinstance(what, Stocked) for what in found]
    return Acts(
        left=blocked(np.array(left) if left else np.zeros((0, life.table.rows, life.draws))),
        more=np.array([max(what.share - 1.0, 0.0) if isinstance(what, Stocked) else 0.0 for what in found]),
        frees=~np.array(stocked, dtype=bool),
    )


def going(life: Life, p: Rows, held: Array | None = None) -> tuple[Going, Places, Array]:
    """Rows and flows, and the paces of settings (rows × settings × draws)."""
    t = life.table
    modified = (t.taken > 0) | (t.given > 0) | life.blocked
    healing = np.flatnonzero(t.heals)
    plain: list[tuple[int, int, Array]] = []
    base = p.die.copy()
    for f in np.flatnonzero(~modified):
        if t.lose[f]:
            base[t.source[f]] += p.rate[f]
        if t.stays[f]:
            plain.append((int(t.source[f]), int(t.stays[f]), p.rate[f]))
        if t.gain[f]:
            plain.append((int(t.source[f]), int(t.gain[f]), p.rate[f] * p.give[f]))
    plain += [(int(r), int(t.heals[r]), p.die[r]) for r in healing]
    plain.sort(key=lambda flow: flow[:2])
    base[0] = 0.0
    if held is not None:
        base *= held[:, None, None]
    own = np.flatnonzero(modified)
    hosts = [r for r, row in enumerate(life.gathered.rows) if row.place == "host"]
    hosts += [] if t.harms else t.hosted.tolist()
    shape = (0, *p.die.shape[1:])
    made = Going(
        runs=stretches([(int(s), int(g)) for s, g, _ in plain]), source=whole(t.source[own]),
        gain=whole(t.gain[own]), lose=whole(t.lose[own]), stays=whole(t.stays[own]),
        taken=whole(t.taken[own]), given=whole(t.given[own]), blocked=np.array(life.blocked[own]),
        over=whole(t.over), under=whole(t.under), seen_view=whole(t.seen_view), seen_row=whole(t.seen_row),
        heals=whole(t.heals), hosted=whole(t.hosted), hosts=whole(hosts),
        held=np.ones(t.rows) if held is None else np.array(held, dtype=float),
        holds=held is not None,
        fish=t.fish, lost=t.lost, corpse=t.corpse, burden=t.burden, grams=t.grams, views=t.views,
        harms=t.harms,
    )  # fmt: skip
    come = np.array([c for _, _, c in plain]) if plain else np.zeros(shape)
    most = np.broadcast_to(p.most, p.die.shape[1:])[None]
    packed, places = settled([
        base, come, p.rate[own], p.give[own], p.low, p.slope, p.weight, most, p.reach
    ])  # fmt: skip
    return made, Places(*places), packed


def harm_of(life: Life) -> Harm:
    """Of the spread of burdens over the fish."""
    h = life.harm
    return Harm(
        half=blocked(h.half), hill=blocked(h.hill), shed=blocked(h.shed), node=blocked(h.node),
        share=blocked(h.share),
    )  # fmt: skip
