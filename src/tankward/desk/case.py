"""A case for a veterinarian, gathered from the logbook. Safety rule 33."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

import msgspec

from tankward.judge.neighbours import ill_tanks
from tankward.judge.vet import Vet, see_vet
from tankward.knowledge.known import Facts
from tankward.quantities.working import Answer
from tankward.room.acts import Bath, Change, Clean, Dose, Feed, Heat, Lost, Media, Move, PowerCut, Remove
from tankward.room.entries.acts import CourseBegun, CourseStopped, Done
from tankward.room.entries.animals import Death, JarTrial, StockAdded
from tankward.room.entries.base import Entry
from tankward.room.entries.ends import CourseClosed
from tankward.room.entries.looks import Look
from tankward.room.entries.missing import NotFound
from tankward.room.entries.notes import Note
from tankward.room.entries.photos import PhotoAdded
from tankward.room.entries.water import ReadingTaken
from tankward.room.holds import water_of
from tankward.room.photos import photos_of, removed_ids
from tankward.room.replay import Room
from tankward.room.things import Tank

from .examine import Examination, examine_tank
from .lives import Lives, lives_here

WEEKS = timedelta(days=28)  # readings, looks and notes so far back [common practice, our choice]
SEASON = timedelta(days=92)  # arrivals, medicines and deaths so far back [common practice, our choice]
FRESH = timedelta(hours=12)  # a body is worth opening so long, kept cool [common practice, our choice]


class Case(msgspec.Struct, frozen=True, kw_only=True):
    """Everything that a veterinarian asks, oldest first; what is empty was not written down."""

    tank: Tank
    water: Answer
    lives: tuple[Lives, ...]
    tap: tuple[ReadingTaken, ...]
    readings: tuple[ReadingTaken, ...]
    looks: tuple[Look, ...]
    before: tuple[Entry, ...]  # what changed: arrivals, moves, filter, warmth
    changes: tuple[Done, ...]  # of water
    given: tuple[Done, ...]  # medicines, by every way
    courses: tuple[CourseBegun | CourseStopped | CourseClosed, ...]
    died: tuple[Entry, ...]
    trials: tuple[JarTrial, ...]
    notes: tuple[Note, ...]
    photos: tuple[PhotoAdded, ...]
    ill_near: tuple[Tank, ...]  # other tanks in which something was seen
    examined: Examination
    vet: Vet
    region: str
    asked: str = ""  # in the keeper's own words


def case_of(
    room: Room, tank: str, now: datetime, facts: Facts, *, entries: tuple[Entry, ...] = (), asked: str = ""
) -> Case:
    """The case of a tank.

    Parameters
    ----------
    room : Room
        The room after replay.
    tank : str
        Id of the tank.
    now : datetime
        With a zone.
    facts : Facts
        The facts.
    entries : tuple of Entry
        Every entry ever kept: the photos stand among them.
    asked : str
        What the keeper wants to know.
    """
    standing = [e for e in room.of_tank(tank) if now - SEASON <= e.at <= now]
    late = [e for e in standing if e.at >= now - WEEKS]
    done = [e for e in standing if isinstance(e, Done)]
    examined = examine_tank(room, tank, now, facts, looks_too=False)
    ranked = examined.ranking.ranked if examined.evidence.seen else ()
    fresh = any(isinstance(e, Death) and now - e.at <= FRESH for e in late)
    return Case(
        tank=room.tanks[tank],
        water=water_of(room.tanks[tank], room),
        lives=tuple(lives_here(room, tank, facts)),
        tap=tuple(e for e in standing if isinstance(e, ReadingTaken) and e.where == "tap"),
        readings=tuple(e for e in late if isinstance(e, ReadingTaken) and e.where == "tank"),
        looks=tuple(e for e in late if isinstance(e, Look)),
        before=tuple(_before(room, tank, now - SEASON, now)),
        changes=tuple(e for e in done if isinstance(e.act, Change) and not e.tub and e.at >= now - WEEKS),
        given=tuple(e for e in done if is_medicine(e)),
        courses=tuple(e for e in standing if isinstance(e, CourseBegun | CourseStopped | CourseClosed)),
        died=tuple(e for e in standing if _is_death(e)),
        trials=tuple(e for e in standing if isinstance(e, JarTrial)),
        notes=tuple(e for e in late if isinstance(e, Note)),
        photos=tuple(_photos(entries, tank, now)),
        ill_near=tuple(room.tanks[t] for t in ill_tanks(room, tank, now) if t in room.tanks),
        examined=examined,
        vet=see_vet(ranked, facts, dead_at_hand=fresh),
        region=room.kit.region,
        asked=asked.strip(),
    )


def is_medicine(entry: Done) -> bool:
    """Whether something with an active went into the water, a tub or the food."""
    act = entry.act
    return isinstance(act, Dose | Bath) or (isinstance(act, Feed) and bool(act.actives_mg_per_g))


def _is_death(entry: Entry) -> bool:
    taken = isinstance(entry, Done) and isinstance(entry.act, Remove) and entry.act.why in ("dead", "ended")
    return taken or isinstance(entry, Death | NotFound)


def _before(room: Room, tank: str, since: datetime, now: datetime) -> Iterator[Entry]:
    """What changed around the fish. A group described anew because it grew is no newcomer."""
    known: set[str] = set()
    for e in room.log:
        if e.at > now:
            return
        comes = isinstance(e, StockAdded) and e.tank == tank and e.thing.id not in known
        if isinstance(e, StockAdded):
            known.add(e.thing.id)
        if e.at >= since and (comes or (isinstance(e, Done) and _changed(e, tank))):
            yield e


def _changed(entry: Done, tank: str) -> bool:
    act = entry.act
    if isinstance(act, Move):
        return tank in (entry.tank, act.to)
    fed = isinstance(act, Feed) and not act.actives_mg_per_g
    return entry.tank == tank and (fed or isinstance(act, Media | Heat | Clean | Lost | PowerCut))


def _photos(entries: tuple[Entry, ...], tank: str, now: datetime) -> Iterator[PhotoAdded]:
    gone = removed_ids(entries)
    for photos in photos_of(entries).values():
        for photo in photos:
            if photo.tank == tank and photo.id not in gone and now - SEASON <= photo.at <= now:
                yield photo
