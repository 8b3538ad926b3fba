"""Groups of single fish with their worms, followed one by one; and what a count says of such a spread.

A group is fish of one stock with worms of one strain: numbers of the worms, of their harm and the share of
fish that resist are one for a group, and each fish has its own size, its own first count, its own resistance
and its own chance. So a group may lie off as a whole, and its fish are no independent witnesses.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from zlib import crc32

import numpy as np

from tankward.model.draws import sweeping
from tankward.model.rows import Array
from tankward.model.whole import follow
from tankward.quantities.parse import Estimate
from tankward.room.weight import one_g

from .settings import DAY, Model, course, even, herd, water
from .verdict import Group, experiments

STRAINS = 128
TAIL = 1.2  # length over standard length of a guppy
LITRES = 1.0  # of water for one fish
MOST = 1500  # worms on one fish that are still followed; none was counted with more than 954
SEED = 20260301
FLUKE, WORM = "gyrodactylus", "worm"
GROUPS = (
    "gyro_counts_gt3_os",
    "gyro_counts_gt3_la",
    "gyro_counts_gt3_ua",
    "gyro_counts_gt_os",
    "gyro_counts_gb_os",
)
DEAD = -1
FIRST, FIFTH, NINTH, ELEVENTH, AFTER = 0, 2, 4, 5, 6  # counts on days 1, 5, 9, 11, 13
REPEATED = 3  # day 7 of one group repeats the counts of day 5


def group(model: Model, id_: str, strains: int = STRAINS) -> Group:
    """The fish of an experiment, as often as there are strains."""
    fish = len(experiments()[id_]["counts"])
    with sweeping(lambda name, _: np.repeat(_spread(name, strains), fish)):
        return _followed(model, id_, strains)


def _followed(model: Model, id_: str, strains: int) -> Group:
    told = experiments()[id_]
    counts, lengths = np.array(told["counts"]), np.array(told["standard_length_mm"])
    fish, runs = len(counts), strains * len(counts)
    one = np.tile(np.arange(fish), strains)
    curve = [one_g("guppy", Estimate.exact(TAIL * mm / 10.0), model.facts) for mm in lengths]
    low, high = (np.array([getattr(g, end) for g in curve])[one] for end in ("low", "high"))
    grams = low * (high / low) ** even(0.05, 0.95, runs, turn=5)
    life = model.life(FLUKE, herd(fish=1, gram=grams, litres=LITRES, draws=runs), runs)
    start = np.zeros((life.table.rows, runs))
    start[0] = start[life.table.fish] = 1.0
    chance, worms = np.random.default_rng(SEED), life.gathered.of_stage(WORM)
    for run in range(runs):  # worms of any age were put on
        start[worms, run] = chance.multinomial(counts[one[run], 0], life.gathered.ages[WORM][:, run])
    days = [day - told["t"][0] for day in told["t"]]
    around = water(model, days=days[-1], temp_c=told["setup"]["temp_c"], draws=runs)
    found = follow(
        course(life, around, start, days=days[-1]),
        tuple(day * DAY for day in days),
        seed=SEED,
        counted=True,
        most=MOST,
    )
    made = np.where(found.alive, found.burden, DEAD)
    return Group(
        id=id_,
        days=tuple(told["t"]),
        judged=tuple(n for n in range(1, len(days)) if not ("trap" in told and n == REPEATED)),
        seen=counts,
        others=np.concatenate([_counted(other) for other in GROUPS if other != id_]),
        made=np.moveaxis(made.reshape(len(days), strains, fish), 0, -1),
    )


def _counted(id_: str) -> Array:
    """What was counted in a group; a day that repeats another counts as none."""
    told = experiments()[id_]
    counts = np.array(told["counts"])
    if "trap" in told:
        counts[:, REPEATED] = DEAD
    return counts


@cache
def _spread(name: str, strains: int) -> Array:
    """One number of each strain, evenly spread, in an order of its own for each name."""
    order = np.random.default_rng([SEED, crc32(name.encode())]).permutation(strains)
    return np.asarray((order + 0.5) / strains)


def living(counts: Array, day: int) -> Array:
    """The counts of one day on fish that live."""
    told = counts[..., day].ravel()
    return np.asarray(told[told >= 0])


def held(spread: Array, counted: Array, share: float) -> Array:
    """How much of each count lies in the middle `share` of a spread. [-]

    A count that many fish have (none, mostly) stands for its whole stretch of the spread, so that of a right
    spread this is `share` on average, ties or not.
    """
    order = np.sort(spread)
    below = np.searchsorted(order, counted, side="left") / order.size
    upto = np.searchsorted(order, counted, side="right") / order.size
    low, high = (1.0 - share) / 2.0, (1.0 + share) / 2.0
    within = np.minimum(upto, high) - np.maximum(below, low)
    point = (below >= low) & (below <= high)
    return np.where(upto > below, np.maximum(within, 0.0) / np.maximum(upto - below, 1e-12), point)


def far(spread: Array, counted: Array) -> Array:
    """The continuous ranked probability score of each count, in ln(1 + count). [-]"""
    order, told = np.log1p(np.sort(spread)), np.log1p(counted)
    n = order.size
    wide = float((2 * np.arange(1, n + 1) - n - 1) @ order) / n**2
    return np.asarray(np.abs(order[None, :] - told[:, None]).mean(axis=1) - wide)


def by_fish(g: Group, of: Callable[[int, Array], Array], seen: Array | None = None) -> Array:
    """A figure of every judged count, fish × days; no number where there is none."""
    counts = g.seen if seen is None else seen
    out = np.full(counts.shape, np.nan)
    for day in g.judged:
        there = counts[:, day] >= 0
        if there.any():
            out[there, day] = of(day, counts[there, day])
    return out


def grown(counts: Array, g: Group) -> Array:
    """Growth from the first count to the ninth day, of each fish that lives then. [1/d]"""
    there = counts[..., NINTH] >= 0
    rise = np.log1p(counts[..., NINTH] * there) - np.log1p(counts[..., FIRST])
    return np.where(there, rise / (g.days[NINTH] - g.days[FIRST]), np.nan)


def top(counts: Array, g: Group) -> Array:
    """Day of the largest count, of each fish that lives on the ninth day."""
    days = [FIRST, *g.judged]
    at = np.array(g.days)[days][counts[..., days].argmax(axis=-1)]
    return np.where(counts[..., NINTH] >= 0, at, np.nan)


def turned(counts: Array, g: Group) -> Array:
    """Growth from the eleventh day to the last count, of each fish that has worms then and lives on. [1/d]"""
    there = (counts[..., AFTER] >= 0) & (counts[..., ELEVENTH] > 0)
    last = (counts >= 0).sum(axis=-1) - 1
    end = np.take_along_axis(counts, np.maximum(last, 0)[..., None], axis=-1)[..., 0]
    days = np.maximum(np.array(g.days)[last] - g.days[ELEVENTH], 1)
    rise = np.log1p(np.maximum(end, 0)) - np.log1p(np.maximum(counts[..., ELEVENTH], 0))
    return np.where(there, rise / days, np.nan)


def rid(day: int) -> Callable[[Array, Group], Array]:
    """Whether a fish that lives on a day is rid of them."""
    return lambda counts, _: np.where(counts[..., day] >= 0, (counts[..., day] == 0) * 1.0, np.nan)
