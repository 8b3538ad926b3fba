"""What one group of inhabitants bears of one substance."""

from __future__ import annotations

from typing import Literal

import msgspec

from tankward.knowledge.records.base import Status
from tankward.knowledge.records.substance import Sensitive

from .figures import Figure, Usual

Kind = Literal["published-no-effect", "lc50-share", "class", "jar-trial", "unknown"]
Near = Literal["own species", "own group", "another group", ""]


class Limit(msgspec.Struct, frozen=True, kw_only=True):
    """A level that one group bears of one substance (of one part, where it is a combination), and why.

    `level` None: unknown, neither zero nor safe. `number` is infinite where young are presumed.
    """

    stock: str
    who: str
    number: float
    animal: str
    group: str
    kind_of: str  # fish, shrimp, snail, plant ...
    stage: str
    substance: str
    part: str
    route: str
    cls: Sensitive
    cls_status: Status
    cls_because: str = ""
    level: float | None = None
    unit: str = "mg/L"
    kind: Kind = "unknown"
    near: Near = ""
    factor: float | None = None
    lc50: float | None = None
    hours: float | None = None  # tested for so long
    cap: float | None = None  # over it nothing is offered, whatever was recommended
    lower: tuple[Figure, ...] = ()  # lower figures of other animals: they stay on the screen
    harmed_at: Figure | None = None
    usual: Usual = Usual()
    presumed: str = ""  # fry, egg, or "unknown animal"
    tried: float | None = None  # no harm in a jar of this tank for a day, up to this level
    source: str = "none"
    status: Status = "memory"

    @property
    def measured(self) -> bool:
        """Whether the level rests on a published figure of its own species or group."""
        figure = self.kind in ("published-no-effect", "lc50-share")
        return figure and self.near in ("own species", "own group")
