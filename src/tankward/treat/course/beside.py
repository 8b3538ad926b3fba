"""A course judged in its tank and in the tub beside it: two waters, one outbreak."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from threading import Lock

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.model.clearance import Gone
from tankward.model.judged import Judged
from tankward.model.judging import Prospect
from tankward.model.prospect import tub_prospect
from tankward.model.rows import Array
from tankward.quantities.parse import Estimate
from tankward.room.acts import Apart
from tankward.room.replay import Room

from .acts import from_now, planned_acts, tub_acts
from .records import Course

NEAR_L = 0.05  # a tub is filled to its mark within so much [our own choice]
SOON = timedelta(minutes=1)


class Beside:
    """A tank as it stands now, and the tubs that its courses use: each is made when it is first asked for.

    Parameters
    ----------
    tank : Prospect
        As it stands now, with what is suspected.
    room : Room
        The logbook, replayed.
    tank_id : str
        Which tank.
    facts : Facts
        The facts.

    Notes
    -----
    Any number of threads may ask it at once.
    """

    def __init__(self, tank: Prospect, room: Room, tank_id: str, facts: Facts) -> None:
        self.tank, self.room, self.tank_id, self.facts = tank, room, tank_id, facts
        self._tubs: dict[tuple[object, ...], Prospect] = {}
        self._lock = Lock()

    def tub(self, course: Course, at: datetime | None = None) -> Prospect | None:
        """The tub of a course, from when fish go into it: at first, or `at`. None where nobody leaves."""
        out = [(s.at, s.act) for s in course.steps if isinstance(s.act, Apart) and s.act.out]
        if not out:
            return None
        at = at or min(when for when, _ in out)
        who = tuple(dict.fromkeys(act.stock for _, act in out))
        litres = next((act.volume_l for _, act in out if act.volume_l), None)
        if litres is None:
            return None
        key = (at, who, litres)
        with self._lock:
            if key not in self._tubs:
                self._tubs[key] = self._made(at, who, litres)
            return self._tubs[key]

    def _made(self, at: datetime, who: Sequence[str], litres: float) -> Prospect:
        into = max(at, self.tank.now)
        left = self.tank.days - (into - self.tank.now) / timedelta(days=1)
        volume = Estimate(litres, litres * (1.0 - NEAR_L), litres * (1.0 + NEAR_L))
        return tub_prospect(
            self.room, self.tank_id, self.tank.now, self.facts, volume_l=volume, stock_ids=who, days=left,
            at=into, tank=self.tank,
        )  # fmt: skip

    def judged(self, course: Course, by: datetime, *, coarse: bool = False) -> Judged:
        """What a course makes of both waters and of what is suspected, by a day.

        `coarse`: to choose among many.

        Returns
        -------
        Judged
            As of a tank alone. Peaks and lowest levels: the worse of the two waters. Gone: that neither
            holds any of it; minutes from now.
        """
        return together(*self.apart(course, by, coarse=coarse))

    def apart(self, course: Course, by: datetime, *, coarse: bool = False) -> tuple[Judged, Judged | None]:
        """The same, of the tank and of the tub."""
        tank = self.tank.judged(from_now(planned_acts(course), self.tank.now), [by], coarse=coarse)
        tub = self.tub(course)
        if tub is None:
            return tank, None
        spans = stays(course)
        if len(spans) > 1:
            return tank, self._again(course, spans, by, coarse)
        until = left_at(course, by, tub)
        acts = [(at, act) for at, act in from_now(tub_acts(course), tub.now) if at <= until]
        return tank, tub.judged(acts, [until], coarse=coarse)

    def _again(
        self, course: Course, spans: Sequence[tuple[datetime, datetime]], by: datetime, coarse: bool
    ) -> Judged:
        """Fish that go into the tub more than once: the worst of its waters. What they catch and carry in
        between nobody follows, so no chance is given that they are rid of it.
        """
        found: Judged | None = None
        for out, home in spans:
            tub = self.tub(course, out)
            if tub is None or out >= by:
                continue
            until = max(min(by, home), tub.now + SOON)
            acts = [(at, act) for at, act in tub_acts(course) if out <= at <= until]
            one = tub.judged(from_now(acts, tub.now), [until], coarse=coarse)
            found = one if found is None else together(found, one)
        assert found is not None  # the first of them lies before `by`, as the course does
        return msgspec.structs.replace(found, gone={})


def stays(course: Course) -> list[tuple[datetime, datetime]]:
    """When the fish of a course are in its tub: from, to; to the end where they never go home."""
    told = sorted({(s.at, not s.act.out) for s in course.steps if isinstance(s.act, Apart)})
    found: list[tuple[datetime, datetime]] = []
    since: datetime | None = None
    for at, home in told:
        if not home and since is None:
            since = at
        elif home and since is not None:
            found.append((since, at))
            since = None
    return [*found, (since, course.ends)] if since is not None else found


def left_at(course: Course, by: datetime, tub: Prospect) -> datetime:
    """Until when the tub counts: until the fish are home, or the day that is asked about if it is sooner."""
    home = [s.at for s in course.steps if isinstance(s.act, Apart) and not s.act.out]
    return max(min([by, *home[-1:]]), tub.now + SOON)


def together(tank: Judged, tub: Judged | None) -> Judged:
    """Both waters as one: the worse of their levels, and that neither holds any of an organism.

    What comes home with the fish or is left in the tank lives on in both; so it is gone where both are clear
    of it, draw by draw.
    """
    if tub is None:
        return tank
    return msgspec.structs.replace(
        tank,
        peaks=_worse(tank.peaks, tub.peaks, np.maximum),
        lowest=_worse(tank.lowest, tub.lowest, np.minimum),
        gone={name: _both(gone, tub.gone[name]) for name, gone in tank.gone.items() if name in tub.gone},
        withheld={**tub.withheld, **tank.withheld},
        in_fish={**tub.in_fish, **tank.in_fish},
    )


def _worse(one: dict[str, Array], other: dict[str, Array], of: np.ufunc) -> dict[str, Array]:
    found = {**other, **one}
    found.update({name: of(one[name], other[name]) for name in one.keys() & other.keys()})
    return found


def _both(tank: Gone, tub: Gone) -> Gone:
    return msgspec.structs.replace(tank, chance=tank.chance * tub.chance)
