"""The border as a page uses it: the room as it is now, the facts, the app's clock."""

from __future__ import annotations

from starlette.requests import Request

from tankward.desk.border import Border
from tankward.knowledge.loader import load

from .frame import desk_of, now_of


def border_of(request: Request) -> Border:
    """Reads what a form holds."""
    desk = desk_of(request)
    return Border(
        room=desk.room(),
        facts=load(),
        now=now_of(request),
        zone=request.app.state.zone,
        entries=tuple(desk.entries()),
    )
