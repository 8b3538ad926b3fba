"""The water of a course as whoever judges it needs it: its ends, and the levels that organisms meet.

The compiled form makes no record of it: what is not asked for is never kept (`kernels_ends.py`).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec
import numpy as np

from tankward.knowledge.known import Facts

from . import between
from . import run as forms
from .in_fish import in_fish
from .memo import Memo
from .oracle import Trace
from .processes.carbonate import first_of, second_of
from .record import WATER, ammonium_of, changes, recorded
from .resume import GoingOn, Stopped
from .rows import Array
from .surroundings import Water, water_of

MET = ("nh3_n", "nitrite_n")  # what tells an organism's host that its water is bad


class Watched(msgspec.Struct, frozen=True, kw_only=True):
    """Arrays of one number for each draw, but for what organisms meet."""

    minutes: tuple[int, ...]
    peaks: dict[str, Array]
    lowest: dict[str, Array]
    water: Water
    in_fish: dict[str, Array]


def watched(at: Stopped, made: GoingOn, facts: Facts, kept: Memo, *, met: bool) -> Watched:
    """Run on, and watched.

    Parameters
    ----------
    at : Stopped
        From where.
    made : GoingOn
        What is run.
    kept : Memo
        What is known of this tank from runs before.
    met : bool
        Whether levels are asked for.
    """
    compiled = forms.compiled_ends()
    copied = forms.copied(made.run, compiled.FIELDS, kept) if compiled else None
    if compiled is None or copied is None:
        return _recorded(at, made, facts)
    minutes, copies, temps = copied
    at_min = np.array(minutes, dtype=float)
    corners = np.array([m in made.breaks for m in minutes])
    run, moved = made.run, changes(temps)
    which = np.cumsum(moved) - 1
    warmths = temps[moved]
    th, substances = run.th, [row.id for row in made.rows]
    moves = bool(th.carbonate_read.any())
    names = [*substances, *compiled.NAMES]
    asked = [*substances, *MET] if met else []
    high, low, out = compiled.ends(
        compiled.Copies(
            copies.fields, copies.amounts, at_min, corners, which
        ),
        compiled.Warm(first_of(warmths), second_of(warmths), ammonium_of(warmths)),
        compiled.Of(
            th.per_l, 10.0**-th.ph,
            np.zeros((0, run.draws)) if run.line is None else run.line.shares(minutes), moves,
        ),
        [names.index(name) for name in asked],
    )  # fmt: skip
    warm = temps.astype(np.float32)
    peaks, lowest = dict(zip(names, high, strict=True)), dict(zip(names, low, strict=True))
    peaks["temp_c"] = lowest["temp_c"] = warm[0].astype(float)
    if moved[1:].any():
        peaks["temp_c"], lowest["temp_c"] = between.both(at_min, warm, corners)
    there = [*substances, *(name for name in WATER if moves or name not in ("ph", "alkalinity"))]
    fed = in_fish(run, Trace(minutes, {}, np.zeros(0), temps, {}), made.timed, facts, at.in_fish)
    return Watched(
        minutes=minutes,
        peaks={name: peaks[name] for name in there},
        lowest={name: lowest[name] for name in there},
        water=Water(
            minutes=minutes,
            levels={**dict(zip(asked, out, strict=True)), "temp_c": warm},
            units={row.id: row.unit for row in made.rows},
        ),
        in_fish=highest(fed),
    )


def _recorded(at: Stopped, made: GoingOn, facts: Facts) -> Watched:
    """The same by a record of all."""
    found = forms.traced(made.run)
    record = recorded(made.run, found, made.rows, at.start)
    record = msgspec.structs.replace(record, breaks=made.breaks)
    peaks, lowest = record.ends()
    return Watched(
        minutes=record.minutes,
        peaks=peaks,
        lowest=lowest,
        water=water_of(record),
        in_fish=highest(in_fish(made.run, found, made.timed, facts, at.in_fish)),
    )


def highest(found: Mapping[str, Array]) -> dict[str, Any]:
    """The most of each."""
    return {name: levels.max(axis=0) for name, levels in found.items()}
