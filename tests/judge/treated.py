"""A tank in which flukes are treated: looks before, a course of two doses, what was seen since. Invented."""

from datetime import UTC, datetime, timedelta

from tankward.judge.helping import Question, helped
from tankward.judge.progress import by_life, progress
from tankward.knowledge.loader import load
from tankward.room.acts import Dose, LookAgain, Media
from tankward.room.entries.acts import CourseBegun, Done, Step
from tankward.room.replay import Room, replay
from tests.helpers.rooms import entries_from

FACTS = load()
BEGUN = datetime(2026, 5, 1, 20, 0, tzinfo=UTC)
ROOM = """
20 Apr 2026 08:00  tank  T7  volume="54 L" temp=25C filter=sponge filter-age="20 weeks" light=8h
20 Apr 2026 08:01  stock T7  kind=guppy name=fish number=20 length=3cm
28 Apr 2026 18:00  look  T7  seen=flashing counts="flashing 6" looked-at=20
1 May 2026 18:00   look  T7  seen=flashing counts="flashing 8" looked-at=20
"""
FEWER = """
4 May 2026 18:00   look  T7  seen=flashing counts="flashing 3" looked-at=20
8 May 2026 18:00   look  T7  not-seen=flashing looked-at=20
10 May 2026 18:00  look  T7  not-seen=flashing looked-at=20
"""
MORE = """
4 May 2026 18:00   look  T7  seen=flashing counts="flashing 12" looked-at=20
8 May 2026 18:00   look  T7  seen=flashing counts="flashing 16" looked-at=20
10 May 2026 18:00  look  T7  seen=flashing counts="flashing 17" looked-at=20
"""
ID = "0198c0de-0000-7000-8000-{:012d}"
DOSE = Dose(actives={"praziquantel": 135.0})


def after(days: float) -> datetime:
    """An instant so long after the course began."""
    return BEGUN + timedelta(days=days)


STEPS = (
    Step(id="out", at=BEGUN, act=Media(into=False)),
    Step(id="one", at=BEGUN, act=DOSE),
    Step(id="two", at=after(5), act=DOSE),
    Step(id="in", at=after(9), act=Media(into=True)),
    Step(id="look", at=after(30), act=LookAgain(what="the same signs")),
)


def course(**changed) -> CourseBegun:
    """Praziquantel against skin flukes."""
    told = {
        "id": ID.format(1), "at": BEGUN, "tank": "t7", "name": "against flukes", "substance": "praziquantel",
        "route": "water_long", "cause": "skin_flukes", "steps": STEPS,
    }  # fmt: skip
    return CourseBegun(**(told | changed))


def room_of(lines: str = "", now: float = 11.0, *, before: str = ROOM, skip=(), **changed) -> Room:
    """The room on that day of the course; every step that was due is done, but for those of `skip`."""
    begun = course(**changed)
    done = [
        Done(id=ID.format(100 + n), at=s.at, tank="t7", act=s.act, step=s.id)
        for n, s in enumerate(begun.steps)
        if s.at <= after(now) and s.id not in skip and not isinstance(s.act, LookAgain)
    ]
    return replay([*entries_from(before + lines), begun, *done])


def question(room: Room, now: float) -> Question:
    """What is asked of it on that day."""
    running = room.courses["t7"]
    planned = tuple((s.at, s.act) for s in running.steps if s.at > after(now))
    return Question(room=room, course=running, planned=planned, now=after(now), facts=FACTS)


def helped_on(now: float, lines: str = "", **changed):
    """By the life of the organism."""
    return helped(question(room_of(lines, now, **changed), now))


def progress_on(now: float, lines: str = "", **changed):
    """The whole judgement."""
    room = room_of(lines, now, **changed)
    heads = progress(room, "t7", after(now), FACTS)
    return by_life(heads, helped(question(room, now)), room, after(now))
