"""From a tank, its course and the days to the sheet of somebody who knows nothing of fish."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from itertools import groupby
from typing import Protocol

from tankward.quantities.working import Answer
from tankward.room.acts import Dose, LookAgain
from tankward.room.things import Tank
from tankward.room.time import day_of
from tankward.show.drawings.rack import RackTank, rack
from tankward.show.words import sitter as words
from tankward.show.words.acts import ended
from tankward.show.words.days import clock
from tankward.show.words.room import Lives, count
from tankward.show.words.sheet import RING
from tankward.treat.course.for_sitter import SitterStep

from .records import Foot, Pair, Seen, SitterRow, SitterSheet

MAP_PX = 400.0
FULL_NAMES = 9  # of so many days the names have room for three letters
FILL_CM, RIM_CM, WIDTH_CM = 25.0, 4.0, 40.0  # drawn where no size is known
MOST_COUNTED = 3
ORDER = (
    "dead-out", "air", "carbon-out", "siphon", "dechlorinate", "change", "carbon-in", "dose", "put-back",
    "feed", "watch",
)  # fmt: skip
STYLE = (
    "text{font-family:'DejaVu Sans',sans-serif;font-size:16px;fill:#000}"
    ".number{font-size:20px;font-weight:700}.touch{fill:none}.ears{fill:none}"
    ".wall,.shelf{fill:none;stroke:#000;stroke-width:1.6}.shelf{stroke-width:2.5}"
    ".sick{stroke-width:4}.water{fill:none;stroke:#000;stroke-width:1.5}"
    ".none,.dash{stroke-dasharray:2 5}.sand{fill:none;stroke:#000;stroke-width:1;stroke-dasharray:1.4 3.6}"
    ".m-danger{fill:#000}"
)


class ToSit(Protocol):
    """What a sitter's sheet is made of."""

    @property
    def tank(self) -> Tank: ...
    @property
    def water(self) -> Answer: ...
    @property
    def lives(self) -> Sequence[Lives]: ...
    @property
    def tanks(self) -> Sequence[Tank]: ...
    @property
    def days(self) -> Sequence[date]: ...
    @property
    def steps(self) -> Sequence[SitterStep]: ...
    @property
    def danger(self) -> Sequence[str]: ...


def sitter_sheet(given: ToSit, *, zone: str, foot: Foot) -> SitterSheet:
    """The sheet, every sentence said."""
    here = [s for s in given.steps if day_of(s.step.at, zone) in given.days]
    letters = 3 if len(given.days) <= FULL_NAMES else 2
    rows = (*_every_day(given), *_of_course(given, here, zone))
    wait = tuple(_wait(here, zone))
    bags = tuple(_bags(here, zone))
    return SitterSheet(
        title=f"{given.tank.name}, while we are away", period=words.span_said(given.days[0], given.days[-1]),
        ring=RING, map=_map(given), map_says=f"Where {given.tank.name} stands", rules_heading="Three rules",
        rules=words.RULES, danger=tuple(given.danger),
        days=tuple((f"{d:%a}"[:letters], str(d.day)) for d in given.days),
        rows_heading=words.ticks_head(_most(rows)), rows=rows, late=words.LATE_ANY,
        wait_heading=words.WAIT_HEAD if wait else "", wait=wait,
        bags_heading=words.BAGS_HEAD if bags else "", bags=bags, see_heading="If you see this",
        ring_heading="ring us", see=tuple(_see()), foot=foot,
    )  # fmt: skip


def _most(rows: Sequence[SitterRow]) -> int:
    """The most boxes that a day has."""
    return max((sum(day) for day in zip(*(r.boxes for r in rows), strict=True)), default=0)


def _every_day(given: ToSit) -> Iterable[SitterRow]:
    every = (True,) * len(given.days)
    groups = [f"{count(g.stock.number)} {g.stock.name or g.common}" for g in given.lives[:MOST_COUNTED]]
    counted = (words.count_head(groups), "Fewer: write how many")
    for head, soft in (*words.EVERY_DAY, counted):
        yield SitterRow(head=head, soft=soft, time="", boxes=every)


def _of_course(given: ToSit, here: Sequence[SitterStep], zone: str) -> Iterable[SitterRow]:
    """A row for each kind of step that is the sitter's; the bag of a day is one row, whatever is in it."""
    mine = [s for s in here if not s.whys]
    heads = {s.step.id: words.row_head([s]) if isinstance(s.step.act, Dose) else s.kind for s in mine}
    for key in dict.fromkeys(heads[s.step.id] for s in sorted(mine, key=_turn)):
        steps = [s for s in mine if heads[s.step.id] == key]
        times = dict.fromkeys(clock(s.step.at, zone) for s in steps)
        days = {day_of(s.step.at, zone) for s in steps}
        how = "" if isinstance(steps[0].step.act, Dose | LookAgain) else steps[0].step.how
        soft = " ".join(t for t in (how, words.late_words(steps)) if t)
        yield SitterRow(
            head=words.row_head(steps), soft=soft, time=", ".join(times),
            boxes=tuple(d in days for d in given.days),
        )  # fmt: skip


def _turn(one: SitterStep) -> int:
    """Where a kind of step stands among those of one hour: water out before a dose goes in."""
    return ORDER.index(one.kind) if one.kind in ORDER else len(ORDER)


def _wait(here: Sequence[SitterStep], zone: str) -> Iterable[Pair]:
    """What waits for the keeper: days that wait for the same reasons together."""
    held: dict[str, list[SitterStep]] = {}
    for _, group in groupby((s for s in here if s.whys), key=lambda s: s.step.at):
        steps = list(group)
        why = words.why_words(w for s in steps for w in s.whys if w != "with")
        held.setdefault(why, []).extend(steps)
    for why, steps in held.items():
        days = words.days_said([day_of(s.step.at, zone) for s in steps])
        yield Pair(what=days, says=f"{ended(words.wait_head(steps))} {why}")


def _bags(here: Sequence[SitterStep], zone: str) -> Iterable[str]:
    """What the keeper measures before going, a bag a day and thing."""
    for one in here:
        if isinstance(one.step.act, Dose) and not one.whys:
            day = words.day_said(day_of(one.step.at, zone))
            yield f"{words.BAG_OF.format(day=day, at=clock(one.step.at, zone))}: {ended(one.step.says)}"


def _see() -> Iterable[Seen]:
    yield Seen(see=words.GASPING, do=(words.GASP_DO,), ring="at once")
    for see, do, ring in (words.NO_AIR, words.TWICE, words.DEAD, words.FORGOT):
        yield Seen(see=see, do=(do,), ring=ring)


def _map(given: ToSit) -> str:
    """The racks as they stand, this tank with its mark."""
    drawn = [_tank(t, t.id == given.tank.id) for t in given.tanks]
    return str(rack(drawn, width=MAP_PX, title=f"Where {given.tank.name} stands", style=STYLE))


def _tank(tank: Tank, here: bool) -> RackTank:
    width = tank.length_cm or tank.diameter_cm or 2 * (tank.side_cm or 0) or WIDTH_CM
    return RackTank(
        name=tank.name, width_cm=width, height_cm=tank.height_cm or (tank.fill_cm or FILL_CM) + RIM_CM,
        water_cm=tank.fill_cm, mark="danger" if here else "", mark_words="this one" if here else "",
        shelf=tank.shelf,
    )  # fmt: skip
