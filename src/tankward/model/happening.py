"""What an act does to the rows of an organism at its instant: what is washed out, bathed, taken away."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec
import numpy as np

from tankward.knowledge import rules
from tankward.room.acts import Bath, Change, Lost, Remove, Siphon, Transfer

from .events import Stocked, Timed
from .lives.kills import Reach, reaches
from .lives.tables import HOSTED
from .organisms import Life, fish_number
from .rows import Array

IN_THE_CUP, LEFT_BEHIND = ("water", "carrier"), ("surface", "corpse")  # what swims; what lies and sticks
MEETS = Change | Lost | Siphon | Remove | Bath | Transfer
EMPTY = 1e-9  # of the fish, where there is none: from nothing no number comes back


def on_the_fish(life: Life) -> list[int]:
    """Rows that go where the fish go, and the fish."""
    return [r for r, row in enumerate(life.gathered.rows) if row.place in (*HOSTED, "host")]


class Part(msgspec.Struct, frozen=True, kw_only=True):
    """A bath of some of the fish, the same ones that had so many baths before."""

    bath: Bath
    share: float
    before: int


def by_minute(happening: Iterable[Timed], begin: int, end: int) -> dict[int, list[object]]:
    """What happens to it when, in its order."""
    out: dict[int, list[object]] = {}
    before, baths = 1.0, 0
    for t in happening:
        if isinstance(t.what, Stocked):
            here = max(t.what.of_fish, EMPTY)
            ratio, before = here / before, here
            if begin < t.minute <= end and ratio != 1.0:
                out.setdefault(t.minute, []).append(Stocked(share=ratio))
        elif isinstance(t.what, Bath) and t.what.share is not None and t.what.share < 1.0:
            if begin < t.minute <= end:
                some = Part(bath=t.what, share=t.what.share, before=baths)
                out.setdefault(t.minute, []).append(some)
            baths += 1
        elif begin < t.minute <= end and isinstance(t.what, MEETS):
            out.setdefault(t.minute, []).append(t.what)
    return out


def happens(y: Array, what: object, life: Life, reach: Sequence[Reach], temp_c: Array | None = None) -> Array:
    """The rows after an act; fish that come in bring none."""
    left = spared(what, life, reach, temp_c)
    out = y * left
    heals = life.table.heals
    np.add.at(out, heals[heals > 0], (y - out)[heals > 0] if not isinstance(what, Stocked) else 0.0)
    if isinstance(what, Stocked) and what.share > 1.0:
        fish = life.table.fish
        out[fish] = y[fish] + (what.share - 1.0) * fish_number(life, y)
    out[0] = 1.0
    return np.asarray(out)


def spared(what: object, life: Life, reach: Sequence[Reach], temp_c: Array | None = None) -> Array:
    """Share of each row that an act leaves, in water of that warmth. [-]"""
    g, n = life.gathered, life.numbers
    left = np.ones((life.table.rows, life.draws))
    for r, row in enumerate(g.rows):
        if isinstance(what, Change | Lost) and row.place == "water":
            left[r] = 1.0 - what.share * n.of("wash", row.stage)
        elif isinstance(what, Siphon) and row.place == "surface":
            floor = "siphon_gravel" if life.herd.gravel else "siphon_bare"
            left[r] = 1.0 - what.floor_share * n.of(floor, row.stage)
        elif isinstance(what, Transfer) and row.place in IN_THE_CUP:
            left[r] = rules.span("transfer_carried")[1] if what.carried is None else what.carried
        elif (isinstance(what, Transfer) and row.place in LEFT_BEHIND) or (
            isinstance(what, Remove) and what.why == "dead" and row.place == "corpse"
        ):
            left[r] = 0.0
        elif isinstance(what, Stocked) and row.place in (*HOSTED, "host"):
            left[r] = min(what.share, 1.0)
    if isinstance(what, Bath):
        _bathed(left, Part(bath=what, share=1.0, before=0), life, temp_c)
    elif isinstance(what, Part):
        _bathed(left, what, life, temp_c)
    return left


def _bathed(left: Array, part: Part, life: Life, temp_c: Array | None) -> None:
    """A bath acts for its minutes on what is on the fish that go in.

    Of some of the fish it leaves what sits on the others, every time: in all (1 − s) + s (1 − k)^n of n baths
    that each kill k. That they infect each other between two baths is not counted: then more would be killed.
    """
    bath, s, n = part.bath, part.share, part.before
    hours = bath.minutes / 60.0
    levels = {s: mg / bath.volume_l for s, mg in bath.actives.items()}
    liquid = {k.substance for k in life.organism.kill if k.unit == "uL/L"}
    units = {s: "uL/L" if s in liquid else "mg/L" for s in levels}
    found, _ = reaches(life.organism, life.gathered, "bath", levels, units, life.draws)
    for reach in found:
        stage = next(s for s in life.organism.stage if s.id == reach.stage)
        if stage.place not in HOSTED or hours < reach.shortest_h:
            continue
        killed = 1.0 - np.exp(-reach.rate(levels[reach.substance], temp_c) / 24.0 * hours)
        if life.numbers.has("on_fish_share", reach.stage):
            killed = killed * life.numbers.of("on_fish_share", reach.stage)
        spared_each = 1.0 - killed
        left[list(reach.rows)] *= (1.0 - s + s * spared_each ** (n + 1)) / (1.0 - s + s * spared_each**n)
