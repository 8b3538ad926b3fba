"""Steps put down one by one: each gets a stable id, and what a hazard is stands where it is first raised."""

from __future__ import annotations

from datetime import datetime, timedelta

import msgspec

from tankward.judge.choices import Choice
from tankward.knowledge.known import Facts
from tankward.knowledge.records.keeping import PeopleRow
from tankward.quantities.parse import Estimate
from tankward.quantities.working import Answer
from tankward.room.acts import Air, AnyAct, Change, Dose, Light, LookAgain, Media, Siphon
from tankward.treat.amounts.measure import Measured

from .changes import DECHLORINATOR, dechlorinator_of, litres_of, needs_dechlorinator, valued
from .records import CourseStep, Said, Valued
from .request import CourseRequest

MINUTES_WATCHED = 5.0  # after a dose [common practice: watch the first minutes]
MG_PER_G = 1000.0
HALF_FLOOR = 0.5  # of the floor siphoned at once (safety rule 21)
CARBON = "activated_carbon"


def exactly(value: float, unit: str = "", source: str = "none", status: str = "computed") -> Valued:
    return Valued(value=value, low=value, high=value, unit=unit, source=source, status=status)


def estimate(value: Estimate, unit: str, source: str = "none", status: str = "computed") -> Valued:
    return Valued(value=value.value, low=value.low, high=value.high, unit=unit, source=source, status=status)


class Steps:
    """The steps of one course, in the order in which they are done."""

    def __init__(
        self, key: str, facts: Facts, people: tuple[PeopleRow, ...] = (), *, tub: bool = False
    ) -> None:
        self.key = key
        self.tub = tub
        self.facts = facts
        self.people = people
        self.found: list[CourseStep] = []
        self.thiosulfate: dict[tuple[float, Estimate], Answer] = {}

    def add(
        self,
        at: datetime,
        kind: str,
        act: AnyAct,
        *,
        how: str = "",
        why: str = "",
        values: dict[str, Valued | str] | None = None,
        amount: Answer | None = None,
        measured: Measured | None = None,
        hazard: bool = False,
    ) -> CourseStep:
        number = sum(s.kind == kind for s in self.found) + 1
        step = CourseStep(
            id=f"{self.key}-{kind}-{number}",
            at=at,
            kind=kind,
            act=act,
            amount=amount,
            measured=measured,
            how=Said(kind=how or kind, values=values or {}),
            why=Said(kind=why or kind, values=values or {}),
            hazard=self._hazard() if hazard else (),
            tub=self.tub,
        )
        self.found.append(step)
        return step

    def _hazard(self) -> tuple[PeopleRow, ...]:
        """Beside the step that raises it, once."""
        return () if any(s.hazard for s in self.found) else self.people

    def done(self) -> tuple[CourseStep, ...]:
        return tuple(sorted(self.found, key=lambda s: s.at))

    def acts(self) -> list[tuple[datetime, AnyAct]]:
        """What the water sees of it so far."""
        return [(s.at, s.act) for s in self.found if not isinstance(s.act, LookAgain)]


def read_water(steps: Steps, at: datetime) -> None:
    """Water first: before any medicine (safety rule 20)."""
    steps.add(at, "read-water", LookAgain(what="ammonia, nitrite, pH, temperature"))


def dead_out(steps: Steps, at: datetime) -> None:
    """The dead out, after a look at one (safety rules 13, 25)."""
    steps.add(at, "dead-out", LookAgain(what="the dead"))


def air_and_calm(steps: Steps, at: datetime, dark: bool) -> None:
    """Air, calm and dim light (safety rule 13)."""
    steps.add(at, "air", Air(more=True))
    if dark:
        steps.add(at, "light", Light(hours_per_day=0.0))


def carbon_out(steps: Steps, at: datetime) -> None:
    steps.add(at, "carbon-out", Media(medium=CARBON, into=False))


def carbon_in(steps: Steps, at: datetime) -> None:
    row = next(r for r in steps.facts.hygiene.carbon if r.id == "dose")
    low, high = row.span or (1.0, 3.0)
    grams = Valued(
        value=(low + high) / 2, low=low, high=high, unit=row.unit, source=row.source, status=row.status
    )
    steps.add(at, "carbon-in", Media(medium=CARBON, into=True), values={"grams": grams})


def change(
    steps: Steps,
    at: datetime,
    share: float,
    request: CourseRequest,
    volume_l: Estimate,
    *,
    why: str,
    choice: Choice | None = None,
) -> None:
    """A change with matched, dechlorinated water; the floor siphoned with it."""
    if needs_dechlorinator(request):
        dechlorinate(steps, at, share, request, volume_l)
    within = next(r for r in steps.facts.hygiene.change_limit if r.id == "t_fish")
    values: dict[str, Valued | str] = {
        "share": valued(choice) if choice else exactly(share, "share"),
        "within": exactly(within.high or 0.0, within.unit, within.source, within.status),
    }
    act = Change(share=share, dechlorinated=True)
    steps.add(at, "change", act, why=why, values=values, amount=litres_of(volume_l, share))


def dechlorinate(
    steps: Steps, at: datetime, share: float, request: CourseRequest, volume_l: Estimate
) -> None:
    """Thiosulfate into the new water, for its real volume."""
    if (share, volume_l) not in steps.thiosulfate:
        found = dechlorinator_of(volume_l, share, steps.facts)
        told = found.says.replace("for the whole tank", "for the new water")
        steps.thiosulfate[share, volume_l] = msgspec.structs.replace(found, says=told)
    grams = steps.thiosulfate[share, volume_l]
    act = Dose(actives={DECHLORINATOR: (grams.value or 0.0) * MG_PER_G})
    values: dict[str, Valued | str] = {"tap": request.tank.tap or "not known"}
    steps.add(at, "dechlorinate", act, values=values, amount=grams)


def siphon(steps: Steps, at: datetime) -> None:
    steps.add(at, "siphon", Siphon(floor_share=HALF_FLOOR), values={"floor": exactly(HALF_FLOOR, "share")})


def watch(steps: Steps, at: datetime) -> None:
    """Look for five minutes after each dose; stop signs beside it."""
    minutes = exactly(MINUTES_WATCHED, "min", status="common-practice")
    steps.add(
        at + timedelta(minutes=MINUTES_WATCHED),
        "watch",
        LookAgain(what="breathing, balance, shrimp"),
        values={"minutes": minutes},
    )


def decide(steps: Steps, at: datetime, values: dict[str, Valued | str], *, how: str = "") -> None:
    steps.add(at, "decide", LookAgain(what="is it helping"), how=how, values=values)


def look(steps: Steps, at: datetime, values: dict[str, Valued | str]) -> None:
    """The last look for an organism, one cycle after the course."""
    steps.add(at, "look", LookAgain(what="the same signs"), values=values)
