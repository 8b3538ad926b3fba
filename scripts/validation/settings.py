"""The settings of experiments as the model reads them. Nothing is fitted; a model made wrong on purpose is
told the same.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.knowledge.loader import load
from tankward.knowledge.records.organism import Organism
from tankward.model.draws import GOLDEN
from tankward.model.events import Timed
from tankward.model.lives.kills import reaches
from tankward.model.lives.tables import Herd, fixed
from tankward.model.organisms import Life, life_of
from tankward.model.outbreak import Course, step_min
from tankward.model.rows import Array
from tankward.model.standing import Standing
from tankward.model.surroundings import LEAST, Surroundings
from tankward.room.acts import AnyAct

DAY, HOUR = 1440, 60
DRAWS = 256
LOW, HIGH = 0.05, 0.95
AS_IT_IS = "as it is"
PACE = {"reproduction": 1.0, "natural": 1.0, "first_birth": -1.0, "next_birth": -1.0}  # of growth


class Model(msgspec.Struct, frozen=True, kw_only=True):
    """The facts as they stand; `growth` and `resists` make it wrong on purpose."""

    facts: Facts
    growth: float = 1.0
    resists: bool = True

    def with_rows(self, name: str, rows: Mapping[str, int]) -> Model:
        """The same with other numbers of rows for some stages of an organism: other spreads of their time."""
        found = self.facts.organisms[name]
        stages = tuple(msgspec.structs.replace(s, rows=rows.get(s.id, s.rows)) for s in found.stage)
        other = {**self.facts.organisms, name: msgspec.structs.replace(found, stage=stages)}
        return msgspec.structs.replace(self, facts=msgspec.structs.replace(self.facts, organisms=other))

    def organism(self, name: str) -> Organism:
        """An organism, its growth times `growth`."""
        found = self.facts.organisms[name]
        if self.growth == 1.0:
            return found
        by_age = {p.stage for p in found.parameter if p.name == "first_birth"}  # all of such a life is faster
        rows = []
        for p in found.parameter:
            faster = p.name == "reproduction" or p.stage in by_age
            by = self.growth ** PACE[p.name] if faster and p.name in PACE else 1.0
            rows.append(msgspec.structs.replace(p, low=p.low * by, high=p.high * by))
        return msgspec.structs.replace(found, parameter=rows)

    def life(self, name: str, herd: Herd, draws: int = DRAWS) -> Life:
        """An organism in a tank."""
        told = msgspec.structs.replace(self.facts, organisms={name: self.organism(name)})
        life = life_of(told, name, herd, draws)
        return life if self.resists else msgspec.structs.replace(life, resist_share=np.zeros(draws))


def as_it_is() -> Model:
    """The model as it forecasts."""
    return Model(facts=load())


def made_otherwise() -> dict[str, Model]:
    """The model beside others that it has to be told from."""
    facts = load()
    return {
        AS_IT_IS: Model(facts=facts),
        "growth a third": Model(facts=facts, growth=1 / 3),
        "growth doubled": Model(facts=facts, growth=2.0),
        "no fish resists": Model(facts=facts, resists=False),
        "growth doubled, no fish resists": made_wrong(),
    }


def made_wrong() -> Model:
    """Growth doubled and no fish resists."""
    return Model(facts=load(), growth=2.0, resists=False)


def even(low: float, high: float, draws: int = DRAWS, turn: int = 1) -> Array:
    """Numbers spread evenly from low to high, in an order of its own for each `turn`."""
    return low + (high - low) * ((np.arange(draws) + 0.5) * GOLDEN * turn % 1.0)


def herd(
    *, fish: float, gram: Array | float, litres: float, draws: int = DRAWS, turnover_1_d: float = 0.0
) -> Herd:
    """Fish in still water, unless it is said to go through a filter."""
    full = np.full
    return Herd(
        fish=full(draws, fish),
        fish_g=np.broadcast_to(gram, (draws,)) * 1.0,
        volume_l=full(draws, litres),
        turnover_1_d=full(draws, turnover_1_d),
        gravel=False,
    )


def water(
    model: Model,
    *,
    days: int,
    temp_c: Array | float,
    levels: Mapping[str, Array] | None = None,
    acts: Sequence[tuple[float, AnyAct]] = (),
    standing: Sequence[tuple[int, Standing]] = (),
    draws: int = DRAWS,
    stress: Array | None = None,
) -> Surroundings:
    """Constant warmth; levels by the hour; the stress of a tank of which nothing is known."""
    minutes = np.arange(0, days * DAY + HOUR, HOUR)
    flat = np.ones((minutes.size, draws))
    usual = model.facts.tank["stress_index"]
    told = even(usual.low, usual.high, draws, 3) if stress is None else stress
    return Surroundings(
        minutes=minutes,
        temp_c=flat * temp_c,
        stress=flat * told,
        logs={s: np.log(np.maximum(level, LEAST))[:, None] * flat for s, level in (levels or {}).items()},
        happening=tuple(Timed(round(d * DAY), act) for d, act in acts),
        standing=((0, Standing()), *standing),
        steady=True,
    )


def hours(days: int) -> Array:
    """Days at which a level is told."""
    return np.arange(0, days * DAY + HOUR, HOUR) / DAY


def course(
    life: Life,
    around: Surroundings,
    start: Array,
    *,
    days: int,
    units: Mapping[str, str] | None = None,
    feed: Mapping[str, tuple[float, str]] | None = None,
) -> Course:
    """Everything that the kernels and the whole animals read."""
    draws = life.draws
    levels = {s: float(np.exp(log.max())) for s, log in around.logs.items()}
    found, _ = reaches(life.organism, life.gathered, "water", levels, units or {}, draws)
    fed = {s: level for s, (level, _) in (feed or {}).items()}
    eaten, _ = reaches(
        life.organism, life.gathered, "feed", fed, {s: u for s, (_, u) in (feed or {}).items()}, draws
    )
    now = around.around(0, after=True)
    every = step_min(life, now, dosed=bool(found or eaten))
    return Course(
        life=life,
        around=around,
        begin=0,
        end=days * DAY,
        start=start,
        reach=tuple(found),
        feed=tuple(eaten),
        every=every,
    )


def on_fish(life: Life, stage: str, each: Array | float) -> Array:
    """Rows at the beginning: so many of one stage on each fish, all fresh, and nothing elsewhere."""
    y = np.zeros((life.table.rows, life.draws))
    y[0] = 1.0
    y[life.table.fish] = life.herd.fish
    y[life.gathered.of_stage(stage)[0]] = each * life.herd.fish
    return y


def flowing(life: Life, per_h: float) -> Life:
    """The same in water that is replaced so many times an hour: what swims goes with it."""
    for n, row in enumerate(life.gathered.rows):
        if row.place == "water":
            life.gathered.dies([n], fixed(24.0 * per_h * life.numbers.of("wash", row.stage)))
    return life


def band(values: Array) -> tuple[float, float, float]:
    """5th, 50th and 95th centile of the draws."""
    low, middle, high = np.quantile(values, (LOW, 0.5, HIGH))
    return float(low), float(middle), float(high)


def shown(values: Array, unit: str = "", digits: int = 2) -> str:
    """A band in words."""
    low, _, high = band(values)
    return f"{low:.{digits}g} to {high:.{digits}g}{' ' + unit if unit else ''}"


def holds(values: Array, published: float) -> bool:
    """Whether the band holds a published number; its ends are known to one draw."""
    low, high = np.quantile(values, (LOW - 1 / values.size, HIGH + 1 / values.size))
    return bool(low <= published <= high)


def looked_at(on_all: Array, fish: Array | float) -> float:
    """Chance that a fish that is looked at carries none, over the draws; so many sit on all of them."""
    return float(np.exp(-np.maximum(on_all, 0.0) / np.maximum(fish, 1e-9)).mean())
