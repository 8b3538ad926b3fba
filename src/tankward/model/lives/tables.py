"""Rows, flows, views and modifiers of one organism, gathered one by one, then as arrays of whole numbers."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from types import SimpleNamespace

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.model.rows import Array, Rows

Value = Array | float
Whole = NDArray[np.int64]
HOSTED = frozenset({"on_host", "in_host"})


class Herd(msgspec.Struct, frozen=True, kw_only=True):
    """The tank as the organism meets it; arrays of one number for each draw."""

    fish: Array  # how many at the beginning
    fish_g: Array  # of one
    volume_l: Array
    turnover_1_d: Array  # how often the water goes through the filter; 0 without one
    gravel: bool = True  # unknown counts as gravel, of which a siphon takes less

    @property
    def g_l(self) -> Array:
        """Grams of fish in a litre, of one fish."""
        return np.asarray(self.fish_g / self.volume_l)


class Around(msgspec.Struct, frozen=True, kw_only=True):
    """What the tank does to it at an instant, or at many: arrays of draws, or of instants × draws."""

    temp_c: Array
    stress: Array  # index, 0 to 1
    dark: bool | NDArray[np.bool_] = False  # of many instants a column: instants × 1


Pace = Callable[[Around], Value]


class Row(msgspec.Struct, frozen=True, kw_only=True):
    """One row of the state."""

    name: str
    place: str  # on_host, in_host, water, surface, carrier; host, corpse, count
    stage: str = ""
    germ: bool = True
    heals: int = 0  # where one goes that a substance or time has freed of its germ; 0: nowhere


class Flow(msgspec.Struct, frozen=True, kw_only=True):
    """From one row into another."""

    source: int
    gain: int
    rate: Pace  # 1/d
    give: Pace  # gained for each that goes
    lose: bool
    stays: int  # row in which one that is used up goes on, beside what it gives: a mother; 0: nowhere
    litter: bool  # a Poisson number of young, else each with this chance
    blocked: bool  # resistant fish let less of it through
    taken: int  # modifier of the rate
    given: int  # modifier of what is gained


class Table(msgspec.Struct, frozen=True, kw_only=True):
    """The same as whole numbers: what a body reads, and a compiled kernel after it."""

    rows: int
    source: Whole
    gain: Whole
    lose: Whole
    stays: Whole  # where the source goes on, beside what it gives; 0: nowhere
    taken: Whole
    given: Whole
    over: Whole  # of each modifier the view above the line
    under: Whole
    seen_view: Whole  # entries of the views
    seen_row: Whole
    views: int
    heals: Whole
    healing: Whole  # rows that heal into another
    hosted: Whole  # rows that die with their fish
    fish: int
    lost: int
    corpse: int
    burden: int  # view of all that sits on the fish
    grams: int
    harms: bool


class Gathering:
    """A table in the making. Row 0 stands for what lies outside, and is always 1; view 0 and modifier 0
    are 1 too.
    """

    def __init__(self, herd: Herd) -> None:
        self.herd = herd
        self.rows: list[Row] = [Row(name="outside", place="none", germ=False)]
        self.flows: list[Flow] = []
        self.views: list[list[tuple[int, Pace]]] = [[(0, _one)]]
        self.modifiers: list[tuple[int, int, Pace, Pace]] = [(0, 0, _one, _none)]
        self.die: dict[int, list[Pace]] = {}
        self.ages: dict[str, Array] = {}  # stage -> rows × draws: share of each row where all grow alike

    def row(self, name: str, place: str, **more: object) -> int:
        """One more row; its number."""
        self.rows.append(msgspec.convert({"name": name, "place": place, **more}, Row))
        return len(self.rows) - 1

    def flow(
        self,
        source: int,
        gain: int,
        rate: Pace,
        *,
        give: Pace | None = None,
        lose: bool = True,
        stays: int = 0,
        litter: bool = False,
        blocked: bool = False,
        taken: int = 0,
        given: int = 0,
    ) -> None:
        """One more flow."""
        made = Flow(
            source=source, gain=gain, rate=rate, give=give or _one, lose=lose, stays=stays, litter=litter,
            blocked=blocked, taken=taken, given=given,
        )  # fmt: skip
        self.flows.append(made)

    def dies(self, rows: Iterable[int], rate: Pace) -> None:
        """A rate of death of these rows. [1/d]"""
        for row in rows:
            self.die.setdefault(row, []).append(rate)

    def view(self, entries: Iterable[tuple[int, Pace]]) -> int:
        """A weighted sum of rows; its number."""
        self.views.append(list(entries))
        return len(self.views) - 1

    def modifier(self, over: int, under: int, low: Pace, slope: Pace) -> int:
        """max(low + slope × view / view, 0); its number."""
        self.modifiers.append((over, under, low, slope))
        return len(self.modifiers) - 1

    def of_stage(self, stage: str) -> list[int]:
        """Rows of a stage."""
        return [n for n, row in enumerate(self.rows) if row.stage == stage]

    def named(self, name: str) -> int:
        """Row of that name; 0 where there is none."""
        return next((n for n, row in enumerate(self.rows) if row.name == name), 0)

    def table(self, *, burden: int, grams: int, harms: bool) -> Table:
        """As whole numbers."""

        def whole(values: Iterable[int]) -> Whole:
            return np.array(list(values), dtype=np.int64)

        entries = [(view, row) for view, seen in enumerate(self.views) for row, _ in seen]
        return Table(
            rows=len(self.rows),
            source=whole(f.source for f in self.flows),
            gain=whole(f.gain for f in self.flows),
            lose=whole(int(f.lose) for f in self.flows),
            stays=whole(f.stays for f in self.flows),
            taken=whole(f.taken for f in self.flows),
            given=whole(f.given for f in self.flows),
            over=whole(m[0] for m in self.modifiers),
            under=whole(m[1] for m in self.modifiers),
            seen_view=whole(view for view, _ in entries),
            seen_row=whole(row for _, row in entries),
            views=len(self.views),
            heals=whole(row.heals for row in self.rows),
            healing=whole(n for n, row in enumerate(self.rows) if row.heals),
            hosted=whole(n for n, row in enumerate(self.rows) if row.place in HOSTED),
            fish=self.named("fish"),
            lost=self.named("lost"),
            corpse=self.named("corpse"),
            burden=burden,
            grams=grams,
            harms=harms,
        )

    def pace(self, e: Around, draws: int) -> Rows:
        """Every rate, share, weight and modifier: blocks of rows × draws, or of rows × instants × draws."""
        shape = np.broadcast_shapes(np.shape(e.temp_c), np.shape(e.stress), (draws,))
        known: dict[int, Array] = {}

        def of(rate: Pace) -> Array:
            if id(rate) not in known:  # the rows of a stage share theirs
                known[id(rate)] = np.broadcast_to(np.asarray(rate(e), dtype=float), shape)
            return known[id(rate)]

        def block(rates: Iterable[Pace]) -> Array:
            found = [of(rate) for rate in rates]
            return np.array(found) if found else np.zeros((0, *shape))

        return SimpleNamespace(
            rate=block(f.rate for f in self.flows),
            give=block(f.give for f in self.flows),
            low=block(m[2] for m in self.modifiers),
            slope=block(m[3] for m in self.modifiers),
            weight=block(weigh for seen in self.views for _, weigh in seen),
            die=np.array([
                sum((of(rate) for rate in self.die.get(n, ())), np.zeros(shape))
                for n in range(len(self.rows))
            ]),
        )  # fmt: skip


def _one(_e: Around) -> Value:
    return 1.0


def _none(_e: Around) -> Value:
    return 0.0


def fixed(value: Value) -> Pace:
    """A rate that does not depend on the instant."""
    return lambda _e: value
