"""A room in which something can go wrong, and how it is told. All of it invented."""

from datetime import UTC, datetime, timedelta

from tankward.desk.border import Border
from tankward.desk.slip_said import slips_told
from tankward.desk.what_now import AsIf, Now, as_if, what_now_in
from tankward.knowledge.loader import load
from tankward.room.acts import Change, Dose, Feed
from tankward.room.entries.acts import CourseBegun, Done, Step
from tankward.room.replay import replay
from tests.helpers.rooms import entries_from

FACTS = load()
NOW = datetime(2026, 5, 12, 21, 0, tzinfo=UTC)
# T7 of 35 L, pH like its tap's; T10 with shrimp; T11 empty, warm alike, read today.
ROOM = """
1 May 2026 08:00  tank  T7   volume="35 L" temp=25C filter=sponge tap=chlorine
1 May 2026 08:01  stock T7   kind=neon_rainbow name="dwarf rainbowfish" number=10 length=4cm
1 May 2026 08:02  stock T7   kind=amano_shrimp name="amano shrimp" number=8
1 May 2026 08:10  tank  T10  volume="15 L" temp=25C filter=sponge
1 May 2026 08:11  stock T10  kind=cherry_shrimp name="cherry shrimp" number=70
1 May 2026 08:20  tank  T11  volume="31 L" temp=25C filter=sponge
1 May 2026 08:30  supply sachet unit=sachet metronidazole="200 mg" left=9
10 May 2026 19:00 change T7  share=50% dechlorinated=yes
12 May 2026 20:00 reading T7 ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=25C
12 May 2026 20:05 reading T11 ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=25C
"""
COURSE = "019e1d00-0000-7000-8000-0000000000c0"
DOSED = "12 May 2026 18:30 dose T7 metronidazole=175mg"
BY_SACHET = "12 May 2026 18:30 dose T7 supply=sachet units=0.5 metronidazole=100mg"


def course(*steps: Step, substance: str = "metronidazole", tank: str = "t7", supply: str = "") -> CourseBegun:
    """A course that was begun on Sunday."""
    return CourseBegun(
        id=COURSE, at=datetime(2026, 5, 10, 18, tzinfo=UTC), tank=tank, name="course",
        substance=substance, route="water_long", cause="hexamita", supply=supply, steps=steps,
    )  # fmt: skip


def dose_step(name: str, at: datetime, mg: float = 175.0) -> Step:
    return Step(id=name, at=at, act=Dose(actives={"metronidazole": mg}))


def change_step(name: str, at: datetime, share: float = 0.5) -> Step:
    return Step(id=name, at=at, act=Change(share=share, dechlorinated=True))


def feed_step(name: str, at: datetime, mg_g: float = 2.0) -> Step:
    return Step(id=name, at=at, act=Feed(food_g=0.4, actives_mg_per_g={"metronidazole": mg_g}))


def done(step: Step, at: datetime, tank: str = "t7") -> Done:
    number = f"{ord(step.id[0]):012x}"
    return Done(id=f"019e1d00-0000-7000-8000-{number}", at=at, tank=tank, act=step.act, step=step.id)


class Slipped:
    """A room with more lines and entries, and what is said to have happened in it."""

    def __init__(self, lines: str = "", *entries, now: datetime = NOW) -> None:
        self.now = now
        self.entries = [*entries_from(f"{ROOM}\n{lines}"), *entries]
        self.room = replay(self.entries)

    @property
    def border(self) -> Border:
        return Border(room=self.room, facts=FACTS, now=self.now, entries=tuple(self.entries))

    def said(self, did: str, tank: str = "t7") -> AsIf:
        told = slips_told(did, self.room, tank, self.now, "UTC", FACTS)
        return as_if(self.border, tank, told)

    def now_after(self, did: str, tank: str = "t7", *, seen=()) -> Now:
        made = self.said(did, tank)
        every = [*self.entries, *made.entries]
        return what_now_in(made.room, made.tank, made.slips, self.now, "UTC", FACTS, seen=seen, entries=every)

    def acts(self, did: str, tank: str = "t7") -> dict:
        return {s.act: s for s in self.now_after(did, tank).urgent.steps}


def ago(hours: float, now: datetime = NOW) -> datetime:
    return now - timedelta(hours=hours)


def ahead(hours: float, now: datetime = NOW) -> datetime:
    return now + timedelta(hours=hours)
