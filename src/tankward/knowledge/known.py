"""Everything that is known, as one value, and the look-ups on it."""

from __future__ import annotations

from tankward.knowledge.bearing import Bearing, Borne, bearing, borne
from tankward.knowledge.records.animal import Animal, Bacterium, Group, Plant, SensitivityClass
from tankward.knowledge.records.base import Record, Source
from tankward.knowledge.records.cause import Cause, Context, Sign
from tankward.knowledge.records.feeding import Feed, Feeding
from tankward.knowledge.records.keeping import Hygiene
from tankward.knowledge.records.notes import Tables
from tankward.knowledge.records.organism import Default, Factor, Kit, Organism, Structure
from tankward.knowledge.records.remedy import Remedy
from tankward.knowledge.records.substance import Substance
from tankward.knowledge.records.water import Water
from tankward.quantities.faults import BadInput


class Facts(Record, frozen=True, kw_only=True):
    """All facts. `digest` is a hash of the files, for caches; `version` is the program's."""

    version: str
    digest: str
    substances: dict[str, Substance]
    organisms: dict[str, Organism]
    causes: dict[str, Cause]
    signs: dict[str, Sign]
    animals: dict[str, Animal]
    plants: dict[str, Plant]
    bacteria: dict[str, Bacterium]
    groups: dict[str, Group]
    feeds: dict[str, Feed]
    remedies: dict[str, Remedy]
    sources: dict[str, Source]
    contexts: dict[str, Context]
    structures: dict[str, Structure]
    tank: dict[str, Default]
    conversion: dict[str, Default]
    filter_effects: dict[str, Factor]
    oxygen_effects: dict[str, Factor]
    kits: dict[str, Kit]
    classes: dict[str, SensitivityClass]
    host_tags: dict[str, tuple[str, ...]]
    hygiene: Hygiene
    feeding: Feeding
    water: Water
    tables: Tables

    def source(self, key: str) -> Source:
        """The source with this key."""
        if key not in self.sources:
            raise BadInput("source", key, "is no key of the sources")
        return self.sources[key]

    def sensitivity(self, group: str, substance: str) -> Bearing:
        """How a group bears a substance at usual levels; a combination as its worst part; or "unknown"."""
        return bearing(self.substances, self.groups, group, substance)

    def tolerances(self, substance: str, animal: str) -> tuple[Borne, ...]:
        """Who survived how much of it, the animal's own figures first, then its group's, then others'."""
        return borne(self.substances, self.animals, substance, animal)
