"""A course judged: water and the pass back, without the run on. For whoever compares many of them.

One run of the water (`simulate`) and one pass back for each organism say what counts of a course: how high
and how low the water goes, and the chance that the organism is gone by the days asked for. How many there
are meanwhile, and whom they kill, it does not say: that is `outlook`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput

from .clearance import Gone, gone_by
from .follow import prepared
from .from_room import Story
from .organisms import Life
from .outlook import narrowed
from .record import Record
from .rows import Array


class Judged(msgspec.Struct, frozen=True, kw_only=True):
    """For each draw of the record: the peak and the lowest level of each name, and the chance of each day.

    `gone`: by organism. `withheld`: organisms with the substances of which no number can be made; of those
    no chance is given. `in_fish`: the most of each substance that food leaves in the fish, where it is known.
    """

    peaks: dict[str, Array]
    lowest: dict[str, Array]
    gone: dict[str, Gone]
    withheld: dict[str, tuple[str, ...]]
    in_fish: dict[str, Array] = {}


def judged(
    told: Story,
    record: Record,
    lives: Sequence[Life],
    facts: Facts,
    *,
    begin: int,
    days: Sequence[int],
    burdens: Mapping[str, Array] | None = None,
) -> Judged:
    """What a course makes of the water and of what is suspected.

    Parameters
    ----------
    told : Story
        What was done and what the course is going to do.
    record : Record
        The water over the same span (`simulate`); it may have more draws than the lives, never fewer.
    lives : sequence of Life
        The organisms in this tank (`organisms.life_of`): made once, they serve every course.
    facts : Facts
        Where every number comes from.
    begin : int
        From when it is judged, in minutes from the start of the record.
    days : sequence of int
        By when it should be gone, in minutes from the start of the record, each after `begin`.
    burdens : mapping, optional
        By organism, on one fish at `begin` (of an illness counted in fish: the share that is ill), one number
        for each draw. None: what is usual when a keeper first sees it.

    Returns
    -------
    Judged
        Arrays of one number for each draw.

    Raises
    ------
    BadInput
        If a day lies outside the record.
    """
    outside = [day for day in days if not begin < day <= record.minutes[-1]]
    if outside or not days:
        given = ", ".join(str(day) for day in outside) or "none"
        raise BadInput("days", given, f"lies outside minutes {begin} to {record.minutes[-1]}.")
    gone: dict[str, Gone] = {}
    withheld: dict[str, tuple[str, ...]] = {}
    for life in lives:
        start = (burdens or {}).get(life.organism.id)
        made = prepared(life, told, narrowed(record, life.draws), begin, start, facts)
        if made.unknown:
            withheld[life.organism.id] = made.unknown
        else:
            gone[life.organism.id] = gone_by(made.course, days)
    later = next(n for n, minute in enumerate(record.minutes) if minute >= begin)
    levels = {name: record.levels(name)[later:] for name in record.names}
    return Judged(
        peaks={name: level.max(axis=0) for name, level in levels.items()},
        lowest={name: level.min(axis=0) for name, level in levels.items()},
        gone=gone,
        withheld=withheld,
    )
