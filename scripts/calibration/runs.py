"""Many invented tanks: the ranks of what was true, by a learner that is right and by two that are wrong."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec
import numpy as np

from tankward.knowledge.beliefs import drawn
from tankward.knowledge.known import Facts
from tankward.knowledge.records.organism import Kit

from .statistic import LIMIT, by_chance, rank
from .tanks import NUMBERS, Kits, invented, learned, lived

WAYS = ("as it is", "kit errors halved in the learner", "feeding doubled in the truth")


KIT, BOTTLE = "ammonia_drops", "how strong the bottle of the ammonia kit shows"
RANKED = (*NUMBERS, BOTTLE)


class Ranked(msgspec.Struct, frozen=True):
    """Ranks of each number in one way of doing it; how it went with the draws."""

    way: str
    ranks: dict[str, np.ndarray]
    effective: np.ndarray
    tempered: int

    @property
    def chances(self) -> dict[str, float]:
        """By number: how likely evenly spread ranks are to look at least as uneven."""
        return {name: by_chance(r) for name, r in self.ranks.items() if r.size}

    @property
    def passes(self) -> bool:
        """Whether none is below its limit."""
        return all(chance > LIMIT / len(RANKED) for chance in self.chances.values())


def wrong(way: str, facts: Facts) -> tuple[Facts, Facts]:
    """Facts of the truth and of the learner."""
    if way == WAYS[1]:
        return facts, msgspec.structs.replace(facts, kits={k: _sharper(v) for k, v in facts.kits.items()})
    if way == WAYS[2]:
        usual = facts.tank["feed_share"]
        more = msgspec.structs.replace(usual, low=2 * usual.low, high=2 * usual.high)
        return msgspec.structs.replace(facts, tank=facts.tank | {"feed_share": more}), facts
    return facts, facts


def _sharper(kit: Kit) -> Kit:
    """Half the error of the eye, and a lot half as far off."""
    error = msgspec.structs.replace(kit.error, low=kit.error.low / 2, high=kit.error.high / 2)
    if kit.lot.low <= 0:
        return msgspec.structs.replace(kit, error=error)
    lot = msgspec.structs.replace(kit.lot, low=kit.lot.low**0.5, high=kit.lot.high**0.5)
    return msgspec.structs.replace(kit, error=error, lot=lot)


def _lot_rank(lot: float, chances: np.ndarray, kit: Kit) -> float:
    """Where the true lot lies: all below its own, and the part of its own that lies below it."""
    fine = np.linspace(0.0, 1.0, 100 * chances.size + 1)
    share = float(np.interp(lot, drawn(kit.lot, np.clip(fine, 1e-6, 1 - 1e-6)), fine))
    return float(np.interp(share * chances.size, np.arange(chances.size + 1), [0.0, *np.cumsum(chances)]))


def ranked(facts: Facts, tanks: Iterable[int], draws: int, way: str = WAYS[0]) -> Ranked:
    """Rank what was true in each of these tanks.

    Parameters
    ----------
    facts : Facts
        What truth and learner share, but for what is made wrong.
    tanks : iterable of int
        Each number is a tank of its own, the same whenever it is asked for.
    draws : int
        Of the learner.
    way : str
        One of WAYS.
    """
    of_truth, of_learner = wrong(way, facts)
    ranks: dict[str, list[float]] = {name: [] for name in RANKED}
    effective, tempered = [], 0
    for seed in tanks:
        rng = np.random.default_rng([seed, 2026])
        told = invented(rng, facts)
        true = lived(told, of_truth, rng, Kits(rng, of_truth))
        found = learned(told, true, of_learner, draws)
        effective.append(found.effective)
        tempered += not found.fits
        if KIT in found.lots:
            ranks[BOTTLE].append(_lot_rank(true.lots[KIT], found.lots[KIT], of_learner.kits[KIT]))
        for name, value in true.numbers.items():
            values = NUMBERS[name](found.record)
            ranks[name].append(rank(value, values, found.weights, found.effective, float(rng.random())))
    return Ranked(
        way=way,
        ranks={name: np.array(r) for name, r in ranks.items()},
        effective=np.array(effective),
        tempered=tempered,
    )
