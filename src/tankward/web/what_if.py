"""What if? Asked of a course that runs or is proposed, worked out beside its page, never written down."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Hashable, Sequence
from datetime import datetime

import msgspec
from starlette.requests import Request

from tankward.desk.background import Background
from tankward.desk.forecasts import Held
from tankward.knowledge.known import Facts
from tankward.room.acts import AnyAct
from tankward.room.replay import Room
from tankward.show.words.what_if import OtherRow, ask_words, head_words, not_asked, other_rows
from tankward.treat.course.acts import asked_by, planned_acts
from tankward.treat.course.records import Course
from tankward.treat.course.what_if import Kind, Offer, WhatIf, offers, proposed_if, warmth_now, what_if

from .frame import desk_of, now_of

A_MOMENT_S = 1.0
LOOK_S = 0.05


class WhatIfTold(msgspec.Struct, frozen=True, kw_only=True):
    """The section: what may be asked, and the answer to what was."""

    action: str
    hidden: list[tuple[str, str]]
    asks: list[tuple[str, str]]
    asked: str
    head: str
    rows: list[OtherRow]
    pending: bool
    fault: str
    not_asked: list[str]


async def soon(told: Callable[[], WhatIfTold | None]) -> WhatIfTold | None:
    """What was asked, with its answer where that comes within a moment: then nobody has to look again."""
    for _ in range(round(A_MOMENT_S / LOOK_S)):
        found = told()
        if found is None or not found.pending:
            return found
        await asyncio.sleep(LOOK_S)
    return told()


def what_if_told(
    request: Request, room: Room, held: Held, planned: Sequence[tuple[datetime, AnyAct]], facts: Facts
) -> WhatIfTold | None:
    """Of the course that runs; None where no step of it is to come, or no forecast is there yet."""
    found = held.forecast
    if found is None or not planned:
        return None
    made = offers(room, found.tank, warmth_now(found), planned, facts)
    told, kind = _asked(request, made, f"/tanks/{found.tank}", [])
    if kind is None:
        return told
    if not held.fresh:  # a new forecast is coming, and is what it would stand beside
        return msgspec.structs.replace(told, pending=not held.fault, fault=held.fault)
    return _answered(
        request,
        told,
        (found.tank, found.now, kind),
        lambda: what_if(room, kind, found, planned, facts),
        facts,
    )


def proposed_if_told(
    request: Request,
    room: Room,
    course: Course,
    warm_c: float | None,
    pairs: list[tuple[str, str]],
    facts: Facts,
) -> WhatIfTold | None:
    """Of a course that is proposed; None for one in a tub."""
    made = offers(room, course.tank, warm_c, planned_acts(course), facts) if course.place != "tub" else ()
    if not made:
        return None
    told, kind = _asked(request, made, f"/tanks/{course.tank}/course", pairs)
    if kind is None:
        return told
    now = now_of(request)
    question = (*asked_by(course), kind)
    return _answered(request, told, question, lambda: proposed_if(course, room, kind, now, facts), facts)


def _asked(
    request: Request, made: Sequence[Offer], action: str, hidden: list[tuple[str, str]]
) -> tuple[WhatIfTold, Kind | None]:
    asked = next((o for o in made if not o.why and o.kind == request.query_params.get("if")), None)
    told = WhatIfTold(
        action=action,
        hidden=hidden,
        asks=[(o.kind, ask_words(o)) for o in made if not o.why],
        asked=asked.kind if asked else "",
        head=head_words(asked) if asked else "",
        rows=[],
        pending=False,
        fault="",
        not_asked=[not_asked(o) for o in made if o.why],
    )
    return told, asked.kind if asked else None


def _answered(
    request: Request, told: WhatIfTold, question: Hashable, work: Callable[[], WhatIf], facts: Facts
) -> WhatIfTold:
    answers: Background[WhatIf] = request.app.state.what_ifs
    ready = answers.of((desk_of(request).digest, facts.digest, question), work)
    rows = other_rows(ready.answer, facts) if ready.answer else []
    return msgspec.structs.replace(told, rows=rows, pending=ready.pending, fault=ready.fault)
