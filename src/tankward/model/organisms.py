"""Facts of an organism into tables: any organism is rows, flows, views and modifiers, and no code of its own.

The tables (`lives/tables.py`), as a body or a compiled kernel reads them; `r` counts rows, `f` flows:

| table | shape | holds |
| --- | --- | --- |
| `source`, `gain` | f | row that a flow comes from, row that gains; row 0 is what lies outside: always 1 |
| `lose` | f | 1: the source is used up (ageing, settling); 0: it stays (births, infection by it) |
| `stays` | f | row in which what is used up goes on, beside what it gives (a mother); 0: nowhere |
| `taken`, `given` | f | modifier of the rate, modifier of what arrives; modifier 0 is 1 |
| `over`, `under` | modifiers | views: max(low + slope × view/view, 0) |
| `seen_view`, `seen_row` | entries | view += weight × row; view 0 is 1 |
| `heals` | r | where one goes that is freed of its germ; 0: nowhere · `healing`: rows that do |
| `hosted` | rows | what dies with its fish · `fish`, `lost`, `corpse` rows · `burden`, `grams` views |

`Life.pace` gives, for an instant, blocks of numbers × draws: `rate` and `give` of flows [1/d, -], `low` and
`slope` of modifiers, `weight` of view entries, `die` of rows [1/d]; rows for harm: `half`, `hill`, `most`,
`shed`, `node` × draws and `share` × draws. It is worked out again only when warmth or stress changes; the
resistance of the fish is laid over it (`blocked` flows let less through, hosted rows die faster).

What a file must hold stands in facts/model/structures.toml; the load refuses an organism without it.
"""

from __future__ import annotations

from types import SimpleNamespace

import msgspec
import numpy as np
from numpy.typing import NDArray

from tankward.knowledge import rules
from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Organism
from tankward.quantities.faults import BadInput

from .lives.common import HOURS
from .lives.cycle import free_living, on_hosts
from .lives.harm import NODES, nodes
from .lives.invading import reservoir, slow
from .lives.numbers import Numbers
from .lives.tables import HOSTED, Around, Gathering, Herd, Table
from .rows import Array, Rows


class Life(msgspec.Struct, frozen=True, kw_only=True):
    """One organism in one tank, ready to run."""

    organism: Organism
    numbers: Numbers
    herd: Herd
    gathered: Gathering
    table: Table
    blocked: NDArray[np.bool_]  # flows
    resist_from_d: Array
    resist_full_d: Array
    resist_until_d: Array
    resist_share: Array
    resist_block: Array
    resist_kill: Array
    harm: Rows

    @property
    def draws(self) -> int:
        """How many draws."""
        return self.numbers.draws

    def pace(self, e: Around) -> Rows:
        """Everything that warmth and stress decide."""
        p = self.gathered.pace(e, self.draws)
        p.__dict__.update(self.harm.__dict__)
        p.most = self.harm.most * self.harm.stress**e.stress
        return p

    def resisting(self, p: Rows, days: float) -> Rows:
        """The same with fish that have carried it for so many days."""
        share = self.resistant(days)
        if not share.any():
            return p
        laid = SimpleNamespace(**p.__dict__)
        laid.give = p.give.copy()
        laid.give[self.blocked] *= 1.0 - share * (1.0 - self.resist_block)
        laid.die = p.die.copy()
        laid.die[self.table.hosted] += share * self.resist_kill
        return laid

    def resistant(self, days: float) -> Array:
        """Share of the fish that resist, so many days after the first were infected. [-]"""
        risen = np.clip((days - self.resist_from_d) / (self.resist_full_d - self.resist_from_d), 0.0, 1.0)
        left = self.resist_until_d - self.resist_from_d
        faded = np.clip((self.resist_until_d + self.resist_full_d - self.resist_from_d - days) / left, 0, 1)
        return np.asarray(self.resist_share * np.minimum(risen, faded))


def life_of(facts: Facts, organism: str, herd: Herd, draws: int) -> Life:
    """An organism in a tank.

    Parameters
    ----------
    facts : Facts
        Where every number comes from.
    organism : str
        Its id.
    herd : Herd
        The fish and the water.
    draws : int
        64, 128, 256, 512 or 1024.

    Raises
    ------
    BadInput
        If there is no such organism.
    """
    if organism not in facts.organisms:
        raise BadInput("organism", organism, "is no organism of the facts")
    found = facts.organisms[organism]
    n = Numbers(found, draws)
    gathered, table = _gathered(n, herd, facts)
    clock = table.harms  # where fish are counted, the spared ones are a row of their own
    onset = n.of("resist_onset") if clock else np.ones(draws)
    full = onset * (1.0 + rules.figure("resist_ramp"))
    zero = np.zeros(draws)
    return Life(
        organism=found,
        numbers=n,
        herd=herd,
        gathered=gathered,
        table=table,
        blocked=np.array([f.blocked for f in gathered.flows]),
        resist_from_d=onset,
        resist_full_d=full,
        resist_until_d=full + (n.of("resist_lasts") if clock else 1.0),
        resist_share=n.of("resist_share") if clock else zero,
        resist_block=n.of("resist_block") if clock else zero,
        resist_kill=n.of("resist_kill") if clock else zero,
        harm=_harm(n, table.harms),
    )


def _gathered(n: Numbers, herd: Herd, facts: Facts) -> tuple[Gathering, Table]:
    state = facts.tables.reference_state
    if n.organism.structure == "reservoir":
        return reservoir(n, herd)
    if n.organism.structure == "slow_seid":
        return slow(n, herd)
    if n.organism.host == "none":
        return free_living(n, herd)
    if state is None:
        raise BadInput("reference_state", "nothing", "is in the facts: reproduction has no meaning")
    return on_hosts(n, herd, state)


def _harm(n: Numbers, harms: bool) -> Rows:
    one = np.ones(n.draws)
    if not harms:
        none = np.zeros((0, n.draws))
        return SimpleNamespace(
            half=one, hill=one, most=0 * one, stress=one, shed=0 * one, node=none, share=none
        )
    share, hill = nodes(n.of("aggregation")), n.of("harm_hill")
    made = {
        "half": n.of("harm_half"), "hill": hill, "most": n.of("harm_max") / NODES,
        "stress": n.of("stress_factor"), "shed": n.of("corpse_share"), "node": share**hill, "share": share,
    }  # fmt: skip
    # Copies row after row: the compiled form knows arrays by how they lie and whether they may be written.
    return SimpleNamespace(**{name: np.array(rows, order="C") for name, rows in made.items()})


def start_of(life: Life, burden: Array | None, temp_c: Array) -> Array:
    """Rows at the beginning: what sits on the fish, spread over its stages by how long it stays in each.

    Parameters
    ----------
    burden : array, optional
        On one fish; for an illness counted in fish the share of them that are ill; None: what the facts say
        is usual when a keeper first sees it.
    temp_c : array
        Of the water.
    """
    n, g, table = life.numbers, life.gathered, life.table
    y = np.zeros((table.rows, life.draws))
    y[0] = 1.0
    start = n.of("start") if burden is None else burden
    counted = [s for s in n.organism.stage if s.place in HOSTED]
    if n.organism.host == "none":
        y[g.of_stage(n.organism.stage[0].id)] = start * life.herd.volume_l
        return y
    if not table.harms:
        start = np.minimum(start, 1.0)
        counted = [s for s in counted if s.id != "carrier" and not _last_of_reservoir(n, s.id)]
    stays = {s.id: _stays(n, s.id, temp_c) for s in counted}
    whole = sum(stays.values())
    for s in counted:
        rows = g.of_stage(s.id)
        y[rows] = start * life.herd.fish * stays[s.id] / whole * g.ages.get(s.id, 1.0 / len(rows))
    y[table.fish] = life.herd.fish * (1.0 if table.harms else 1.0 - start)
    return y


def _last_of_reservoir(n: Numbers, stage: str) -> bool:
    return n.organism.structure == "reservoir" and stage == n.organism.stage[-1].id


def _stays(n: Numbers, stage: str, temp_c: Array) -> Array:
    lost = np.maximum(n.of("natural", stage, temp_c), 1.0 / rules.figure("stand_still"))
    if not n.has("days", stage):
        return 1.0 / lost
    return np.minimum(n.of("days", stage, temp_c), 1.0 / lost)


def longest_stay_d(life: Life, temp_c: Array) -> float:
    """How long one stays on the fish before it goes on or dies, where it stays longest: median. [d]"""
    hosted = [s.id for s in life.organism.stage if s.place in HOSTED]
    return max((float(np.median(_stays(life.numbers, s, temp_c))) for s in hosted), default=0.0)


def fish_number(life: Life, y: Array) -> Array:
    """Fish that live."""
    rows = [r for r, row in enumerate(life.gathered.rows) if row.place == "host"]
    if not life.table.harms:
        rows += [r for r, row in enumerate(life.gathered.rows) if row.place in HOSTED]
    return np.asarray(y[rows].sum(axis=0))


__all__ = ["HOURS", "Life", "fish_number", "life_of", "longest_stay_d", "start_of"]
