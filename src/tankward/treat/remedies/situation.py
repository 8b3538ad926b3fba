"""All that a remedy is judged against: causes, who lives there, water, shelf, law."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

import msgspec

from tankward.judge.causes import Ranking
from tankward.judge.conditions import People
from tankward.judge.figures import usual
from tankward.judge.finding import Finding
from tankward.judge.findings import Gate, findings, medicine_gate
from tankward.judge.germs import Germs
from tankward.judge.inhabitant import inhabitants
from tankward.judge.trials import Trial
from tankward.judge.waterstate import WaterState
from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.things import Stock, Supply

SEEN_PARASITES = ("visible_parasite", "worms_at_vent", "segments_in_faeces")
ALL_BUT_CERTAIN = 0.95  # "extremely likely" and above, by judge.likely


class Situation(msgspec.Struct, frozen=True, kw_only=True):
    """The tank and its keeper, as far as they are known."""

    causes: tuple[str, ...]
    stock: tuple[Stock, ...]
    facts: Facts
    volume_l: Estimate | None = None
    water: WaterState | None = None
    region: str = ""
    shelf: tuple[Supply, ...] = ()
    still_in: Mapping[str, float] = {}  # substance -> what is left of earlier doses, in its own unit
    findings: Sequence[Finding] = ()
    ranking: Ranking | None = None
    seen: Collection[str] = ()
    trials: Sequence[Trial] = ()
    not_there: Collection[str] = ()
    people: People | None = None
    given: Mapping[str, int] = {}  # substance -> courses begun here within six months
    seen_cause: bool = False  # something was seen that shows the cause itself
    germs: Mapping[str, Germs] = {}  # cause -> its germs counted under the lens

    @property
    def fish(self) -> tuple[Stock, ...]:
        """Those who can be caught and treated apart: all but plants, shrimp and snails."""
        kinds = {one.stock.id: one.kind for one in inhabitants(self.stock, self.facts, ("fry", "egg"))}
        return tuple(s for s in self.stock if kinds[s.id] in ("fish", "amphibian"))

    def usual(self, substance: str) -> float | None:
        """Its highest recommended level in a tank. [own unit]"""
        return usual(substance, "water", self.facts).highest

    @property
    def gate(self) -> Gate:
        """Whether a medicine may be thought of as the water stands."""
        found = self.findings or findings(self.water or WaterState(), self.facts, self.seen)
        return medicine_gate(found, sure_parasite=self.sure_parasite)

    @property
    def sure_parasite(self) -> bool:
        """A parasite that was seen, or that is all but certain."""
        if set(self.seen) & set(SEEN_PARASITES):
            return True
        if self.ranking is None:
            return False
        ranked = [self.ranking.of(c) for c in self.causes]
        return any(r.group == "parasite" and r.value >= ALL_BUT_CERTAIN for r in ranked)

    @property
    def temp_c(self) -> Estimate | None:
        read = self.water.of("temp_c") if self.water else None
        return None if read is None else Estimate(read.value, read.low, read.high)
