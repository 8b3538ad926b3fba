"""Whole animals, event by event: one fish, what sits on it, its own resistance; small numbers and chance.

The same tables as the kernels (`organisms.py`), but rows are counts and every flow, birth and death is one
event at random. Rates stand still within a slice of time; within it the waiting times are exact. A share that
comes, `give`, is a Poisson number for a clutch, else its whole part and one more with the chance of the rest.

What the kernels average is drawn here for each animal: whether it resists, how strongly, from when and for
how long, and when it dies of what it carries itself. So a run holds one fish, and only what is counted on
fish is followed.
"""

from __future__ import annotations

from types import SimpleNamespace

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.knowledge import rules
from tankward.quantities.faults import BadInput

from .events import Stocked
from .happening import by_minute, spared
from .lives.harm import NODES
from .organisms import Life
from .outbreak import DAY_MIN, Course, Walk
from .processes.organism import LEAST, see
from .rows import ALL, Array, Rows

SLICE_MIN = 180
MOST = 50_000  # animals in one run, above which it is no longer followed
Whole = NDArray[np.int64]


class Animals(msgspec.Struct, frozen=True, kw_only=True):
    """Counts at the minutes asked for. `beyond`: runs that grew past what is followed and stand still."""

    minutes: tuple[int, ...]
    rows: Whole  # times × rows × runs
    beyond: NDArray[np.bool_]  # runs
    burden: Whole  # times × runs: on the fish
    alive: NDArray[np.bool_]  # times × runs: whether a fish lives
    gone: NDArray[np.bool_]  # times × runs: whether no germ is left anywhere


def follow(
    course: Course,
    minutes: tuple[int, ...],
    *,
    seed: int,
    copies: int = 1,
    counted: bool = False,
    slice_min: int = SLICE_MIN,
    most: int = MOST,
) -> Animals:
    """Follow whole animals.

    Parameters
    ----------
    course : Course
        What `outbreak.run` reads too; each draw is one animal with numbers of its own.
    minutes : tuple of int
        When to count, from `course.begin` on.
    seed : int
        Of chance; the same seed gives the same animals.
    copies : int
        Runs of each draw.
    counted : bool
        Whether `course.start` holds counts; else Poisson numbers about it.
    slice_min : int
        Longest slice in which rates stand still. [min]
    most : int
        Animals in a run above which it is no longer followed.

    Returns
    -------
    Animals
        Runs are copies × draws, the draws of the first copy first.

    Raises
    ------
    BadInput
        If it is not counted on fish, if there is more than one of them, or if fish come or go.
    """
    life = course.life
    if not life.table.harms:
        raise BadInput("organism", life.organism.id, "is counted in fish, not on one")
    if (course.start[life.table.fish] > 1.0).any():
        raise BadInput(
            "fish", f"{course.start[life.table.fish].max():g}", "is more than the one that is followed"
        )
    rng = np.random.default_rng(seed)
    crowd = _Crowd(course, rng, copies, counted, most)
    edges = [e for e in _edges(course, slice_min, minutes) if e <= max(minutes)]
    acts = by_minute(course.around.happening, course.begin, max(minutes))
    kept: dict[int, Whole] = {}
    for minute, until in zip(edges, [*edges[1:], None], strict=True):
        if minute in minutes:
            kept[minute] = crowd.y.copy()
        for what in acts.get(minute, ()):
            crowd.happens(what, minute)
        if until is not None:
            crowd.advance(minute, until)
    return _told(life, kept, crowd.beyond)


def _edges(course: Course, slice_min: int, minutes: tuple[int, ...]) -> list[int]:
    cut = msgspec.structs.replace(course, end=max(minutes), every=slice_min)
    return sorted({*Walk(cut).edges(), *minutes})


def _told(life: Life, kept: dict[int, Whole], beyond: NDArray[np.bool_]) -> Animals:
    rows = np.array(list(kept.values()))
    germ = [
        n for n, r in enumerate(life.gathered.rows) if r.germ and r.place not in ("host", "count", "none")
    ]
    return Animals(
        minutes=tuple(kept),
        rows=rows,
        beyond=beyond,
        burden=rows[:, life.table.hosted].sum(axis=1),
        alive=rows[:, life.table.fish] > 0,
        gone=rows[:, germ].sum(axis=1) == 0,
    )


class _Crowd:
    """All runs side by side, each at its own event."""

    def __init__(
        self,
        course: Course,
        rng: np.random.Generator,
        copies: int,
        counted: bool,
        most: int,
    ) -> None:
        self.course, self.life, self.rng, self.copies, self.most = course, course.life, rng, copies, most
        plain = msgspec.structs.replace(self.life, resist_share=np.zeros(self.life.draws))
        self.walk = Walk(msgspec.structs.replace(course, life=plain))
        start = _wide(course.start, copies)
        self.y: Whole = np.rint(start).astype(np.int64) if counted else rng.poisson(np.maximum(start, 0.0))
        hosts = [n for n, r in enumerate(self.life.gathered.rows) if r.place in ("host", "count", "none")]
        self.y[hosts] = np.rint(start[hosts])
        self.own = _own(self.life, rng, self.y.shape[1])
        self.beyond = np.zeros(self.y.shape[1], dtype=bool)
        self.table = _Events(self.life)
        self._pace: tuple[Rows, Rows] | None = None

    def happens(self, what: object, minute: int) -> None:
        """An act takes its share of each row, one by one at random."""
        if isinstance(what, Stocked):
            raise BadInput("fish", "come or go", "is nothing that whole animals are followed through")
        warmth = self.walk.warmth(minute, after=False)
        left = np.minimum(_wide(spared(what, self.life, self.course.reach, warmth), self.copies), 1.0)
        kept = self.rng.binomial(self.y, left)
        heals = self.life.table.heals
        np.add.at(kept, heals[heals > 0], (self.y - kept)[heals > 0])
        kept[0] = 1
        self.y = kept

    def advance(self, minute: int, until: int) -> None:
        """Through a slice, each run by its own events."""
        middle = (minute + until) / 2
        pace = self._at(middle)
        kill = _wide(self.walk.kill(middle, after=True), self.copies)
        days = self.course.infected_d + (middle - self.course.begin) / DAY_MIN
        p = self.own.resisting(pace, days)
        p = SimpleNamespace(**{**p.__dict__, "die": p.die + kill})
        self._events(p, (until - minute) / DAY_MIN)

    def _at(self, minute: float) -> Rows:
        narrow = self.walk.pace(minute, after=True)
        if self._pace is None or self._pace[0] is not narrow:
            wide = {name: _wide(value, self.copies) for name, value in narrow.__dict__.items()}
            self._pace = (narrow, SimpleNamespace(**wide))
        return self._pace[1]

    def _events(self, p: Rows, days: float) -> None:
        runs = np.flatnonzero(~self.beyond)
        left = np.full(runs.size, days)
        here = _of(p, runs)
        y = self.y[:, runs]
        while runs.size:
            mods, chances = self.table.chances(y, here)
            summed = chances.cumsum(axis=0)
            with np.errstate(divide="ignore"):
                left = left - self.rng.standard_exponential(runs.size) / summed[-1]
            many = y.sum(axis=0) > self.most
            stays = (left > 0.0) & ~many
            if not stays.all():
                self.y[:, runs[~stays]] = y[:, ~stays]
                self.beyond[runs[many]] = True
                runs, left, y = runs[stays], left[stays], y[:, stays]
                summed, mods, here = summed[:, stays], mods[:, stays], _of(here, stays)
                if not runs.size:
                    return
            which = (summed > self.rng.random(runs.size) * summed[-1]).argmax(axis=0)
            self.table.apply(y, which, mods, here, self.rng)


class _Events:
    """What can happen: death of each row, each flow, death of the fish; what each takes and brings."""

    def __init__(self, life: Life) -> None:
        t = life.table
        self.table, self.rows, self.flows = t, t.rows, len(t.source)
        self.takes = np.concatenate([np.arange(t.rows), np.where(t.lose == 1, t.source, 0), [0]])
        self.brings = np.concatenate([t.heals, t.gain, [0]])
        self.stays = np.concatenate([np.zeros(t.rows, dtype=np.int64), t.stays, [0]])
        self.litter = np.array([flow.litter for flow in life.gathered.flows], dtype=bool)

    def chances(self, y: Whole, p: Rows) -> tuple[Array, Array]:
        """Modifiers, and how often each happens. [1/d]"""
        t, runs = self.table, y.shape[1]
        work = SimpleNamespace(sums=np.zeros((t.views, runs)), mod=np.zeros((len(t.over), runs)))
        see(y, p, t, work, ALL)
        out = np.zeros((self.rows + self.flows + 1, runs))
        out[1 : self.rows] = p.die[1:] * y[1:]
        out[self.rows : -1] = p.rate * work.mod[t.taken] * y[t.source]
        load = (work.sums[t.burden] / np.maximum(work.sums[t.grams], LEAST) / p.half) ** p.hill
        out[-1] = p.most * NODES * load / (1.0 + load) * y[t.fish]
        return work.mod, out

    def apply(self, y: Whole, which: Whole, mods: Array, p: Rows, rng: np.random.Generator) -> None:
        """One event in each run."""
        at = np.arange(which.size)
        y[self.takes[which], at] -= 1
        y[self.stays[which], at] += 1
        come = np.ones(which.size, dtype=np.int64)
        flowing = (which >= self.rows) & (which < self.rows + self.flows)
        f, runs = which[flowing] - self.rows, at[flowing]
        give = p.give[f, runs] * mods[self.table.given[f], runs]
        whole = np.floor(give)
        number = (whole + (rng.random(f.size) < give - whole)).astype(np.int64)
        clutch = self.litter[f]
        if clutch.any():
            number[clutch] = rng.poisson(give[clutch])
        come[flowing] = number
        y[self.brings[which], at] += come
        died = which == self.rows + self.flows
        if died.any():
            self._fish_dies(y, np.flatnonzero(died), p, rng)
        y[0] = 1

    def _fish_dies(self, y: Whole, runs: Whole, p: Rows, rng: np.random.Generator) -> None:
        """What sat on it is lost, but for what comes free from the corpse."""
        t = self.table
        on_it = np.ix_(t.hosted, runs)
        y[t.corpse, runs] += rng.poisson(p.shed[runs] * y[on_it].sum(axis=0))
        y[on_it] = 0
        y[t.fish, runs] -= 1
        y[t.lost, runs] += 1


def _own(life: Life, rng: np.random.Generator, runs: int) -> Life:
    """The same life with the resistance of each animal its own: whether, how strong, from when, how long."""
    wide = {
        name: np.tile(getattr(life, name), runs // life.draws)
        for name in (
            "resist_share",
            "resist_block",
            "resist_kill",
            "resist_from_d",
            "resist_full_d",
            "resist_until_d",
        )
    }
    wide["resist_share"] = (rng.random(runs) < wide["resist_share"]).astype(float)
    onset, lasts, block, kill = (
        life.numbers.rows[name, ""].draw(rng.random(runs), 0.0, 1.0)
        for name in ("resist_onset", "resist_lasts", "resist_block", "resist_kill")
    )
    wide["resist_block"], wide["resist_kill"] = block, kill
    wide["resist_from_d"] = onset
    wide["resist_full_d"] = onset * (1.0 + rules.figure("resist_ramp"))
    wide["resist_until_d"] = wide["resist_full_d"] + lasts
    return msgspec.structs.replace(life, **wide)


def _of(p: Rows, runs: NDArray[np.bool_] | Whole) -> Rows:
    return SimpleNamespace(**{name: value[..., runs] for name, value in p.__dict__.items()})


def _wide(values: Array, copies: int) -> Array:
    """The draws side by side, as often as there are copies; the last axis holds them."""
    return np.tile(values, copies) if values.ndim == 1 else np.tile(values, (1, copies))
