"""How far a course brings down what is never gone: how much of it sits on the fish, over the days that count.

Of a germ that lives in the tank anyway, or grows back from a few, "gone" is no goal. What counts is how many
sit on the fish meanwhile, against the same draw with nothing done.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec
import numpy as np

from tankward.room.acts import AnyAct

from .judging import Prospect
from .lives.tables import HOSTED
from .outbreak import run
from .rows import Array

APART_MIN = 360


class Lowered(msgspec.Struct, frozen=True, kw_only=True):
    """For each draw: the peak and lowest level of each name, and of each organism the mean load on one fish.

    `withheld`: organisms with the substances of which no number can be made.
    """

    peaks: dict[str, Array]
    lowest: dict[str, Array]
    load: dict[str, Array]
    withheld: dict[str, tuple[str, ...]]


def lowered(
    found: Prospect, acts: Sequence[tuple[datetime, AnyAct]], day: datetime, *, coarse: bool = False
) -> Lowered:
    """A course followed forward from now to a day.

    Parameters
    ----------
    found : Prospect
        The tank as it stands.
    acts : sequence of (instant, act)
        What is going to be done.
    day : datetime
        To here the load counts. Of an illness counted in fish it is the share that is ill.
    coarse : bool
        With steps as long as the methods are stable, to choose among many.

    Raises
    ------
    BadInput
        If the day lies outside of the prospect.
    """
    planned, end = found.planned(acts), found.minute(day)
    seen = found.seen(planned, end, coarse=coarse)
    loads: dict[str, Array] = {}
    withheld: dict[str, tuple[str, ...]] = {}
    for name, one in found.suspected.items():
        course = found.course(one, planned, seen.water, coarse=coarse)
        if isinstance(course, tuple):
            withheld[name] = course
            continue
        passed = run(course, apart=APART_MIN)
        on_fish = [n for n, row in enumerate(one.life.gathered.rows) if row.place in HOSTED]
        sitting = passed.rows[:, on_fish].sum(axis=1)
        spans = np.diff(np.asarray(passed.minutes, float))[:, None]
        loads[name] = np.asarray(((sitting[:-1] + sitting[1:]) / 2.0 * spans).sum(axis=0) / spans.sum())
    return Lowered(peaks=seen.peaks, lowest=seen.lowest, load=loads, withheld=withheld)
