"""All that is said of a course that runs, in one record."""

from __future__ import annotations

from datetime import datetime

import msgspec

from tankward.judge.causes import Ranked
from tankward.judge.next_look import NextLook
from tankward.judge.progress import Progress

from .failing import Failing
from .when_to_stop import Ending


class Helping(msgspec.Struct, frozen=True, kw_only=True):
    """A course that runs, judged. `fits`: how well what is seen now fits its cause; `why_not`: why the life
    of the organism was not asked.
    """

    found: Progress
    fits: Ranked | None
    failing: tuple[Failing, ...]
    next_look: NextLook | None
    ending: Ending
    now: datetime
    why_not: str = ""
