"""The list of processes into one body: the layout of the state, one call for each role."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from types import ModuleType
from typing import Any

import msgspec

from .rows import ALL, Array, Rows, rows_of


class Body(msgspec.Struct, frozen=True):
    """What all processes own, and what they do together."""

    state: tuple[str, ...]
    pace_names: tuple[str, ...]
    paces: tuple[Callable[..., None], ...]
    rates_of: tuple[Callable[..., None], ...]
    acts: dict[type, tuple[Callable[..., None], ...]]
    # Row of a field, name of the pace at which it is pulled back, level below which it may empty in a step.
    stiff: tuple[tuple[int, str, float], ...]

    def pace(self, e: Rows, th: Rows, draws: int) -> Rows:
        """What environment and draw alone decide."""
        _, p = rows_of(self.pace_names, draws)
        self.pace_into(p, e, th)
        return p

    def pace_into(self, p: Rows, e: Rows, th: Rows) -> None:
        """The same into rows of any shape that ends in draws: so of many environments at once."""
        for one in self.paces:
            one(e, th, p, ALL)

    def rates(self, y: Rows, x: Rows, p: Rows, th: Rows, dy: Rows, block: Array) -> None:
        """The rates of all fields, into `dy`, whose memory is `block`."""
        block.fill(0.0)
        for one in self.rates_of:
            one(y, x, p, th, dy, ALL)

    def happens(self, y: Rows, what: Any, th: Rows) -> None:
        """What an act or an event does to the fields of each process."""
        for one in self.acts.get(type(what), ()):
            one(y, what, th, ALL)


def compose(processes: Sequence[ModuleType]) -> Body:
    """One body of all processes, in their order."""
    acts: dict[type, tuple[Callable[..., None], ...]] = {}
    for process in processes:
        for kind, does in getattr(process, "ACTS", {}).items():
            acts[kind] = (*acts.get(kind, ()), does)
    state = tuple(name for process in processes for name in process.STATE)
    stiff = [pull for process in processes for pull in getattr(process, "STIFF", {}).items()]
    scarce = {f: at for process in processes for f, at in getattr(process, "SCARCE_MG_L", {}).items()}
    return Body(
        state=state,
        pace_names=tuple(name for process in processes for name in process.PACE),
        paces=tuple(process.pace for process in processes),
        rates_of=tuple(process.rates for process in processes),
        acts=acts,
        stiff=tuple((state.index(field), at, scarce.get(field, 0.0)) for field, at in stiff),
    )
