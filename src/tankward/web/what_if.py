"""What if? Asked of the course on a tank's page, worked out beside it, never written down."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import msgspec
from starlette.requests import Request

from tankward.desk.background import Background
from tankward.desk.forecasts import Held
from tankward.knowledge.known import Facts
from tankward.room.acts import AnyAct
from tankward.room.replay import Room
from tankward.show.words.what_if import OtherRow, ask_words, head_words, not_asked, other_rows
from tankward.treat.course.what_if import WhatIf, offers, what_if

from .frame import desk_of


class WhatIfTold(msgspec.Struct, frozen=True, kw_only=True):
    """The section: what may be asked, and the answer to what was."""

    asks: list[tuple[str, str]]
    asked: str
    head: str
    rows: list[OtherRow]
    pending: bool
    fault: str
    not_asked: list[str]


def what_if_told(
    request: Request, room: Room, held: Held, planned: Sequence[tuple[datetime, AnyAct]], facts: Facts
) -> WhatIfTold | None:
    """The section for a tank; None where no step of a course is to come, or no forecast is there yet."""
    found = held.forecast
    if found is None or not planned:
        return None
    made = offers(room, found, planned, facts)
    asked = next((o for o in made if not o.why and o.kind == request.query_params.get("if")), None)
    told = WhatIfTold(
        asks=[(o.kind, ask_words(o)) for o in made if not o.why],
        asked=asked.kind if asked else "",
        head=head_words(asked) if asked else "",
        rows=[],
        pending=False,
        fault="",
        not_asked=[not_asked(o) for o in made if o.why],
    )
    if asked is None:
        return told
    if not held.fresh:  # a new forecast is coming, and is what it would stand beside
        return msgspec.structs.replace(told, pending=not held.fault, fault=held.fault)
    kind = asked.kind
    answers: Background[WhatIf] = request.app.state.what_ifs
    question = (desk_of(request).digest, facts.digest, found.tank, found.now, kind)
    ready = answers.of(question, lambda: what_if(room, kind, found, planned, facts))
    rows = other_rows(ready.answer, facts) if ready.answer else []
    return msgspec.structs.replace(told, rows=rows, pending=ready.pending, fault=ready.fault)
