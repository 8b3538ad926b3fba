"""One touch that tells a slip to the end."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.room.entries.acts import Done, Step
from tankward.room.things import Stock


class Touch(msgspec.Struct, frozen=True, kw_only=True):
    """One touch: which slip, how it is told, and the texts that the form of that slip would have sent."""

    slip: str
    kind: str
    texts: dict[str, str]
    dose: Done | None = None
    change: Done | None = None
    step: Step | None = None
    stock: Stock | None = None
    tank: str = ""
    value: float | None = None
    since: datetime | None = None
