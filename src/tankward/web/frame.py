"""What every page shares: its record, its template, its form token, and how a form is read."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import datetime
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any, ClassVar

import msgspec
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from tankward.desk.desk import Desk
from tankward.quantities.faults import BadInput
from tankward.show.drawings import drawn
from tankward.store.faults import StoreFault

from .guard import COOKIE, token_for, token_ok
from .kept import here, keep, kept_of

HERE = Path(__file__).parent
TOKEN = "form-token"


class Page(msgspec.Struct, frozen=True, kw_only=True):
    """The fields that one template may use; a test compares the two."""

    template: ClassVar[str] = ""
    place: ClassVar[str] = "Room"
    title: str
    place_line: str = ""
    tank: str = ""  # the tank the page is about, so that "I made a mistake" knows it


class Forged(Exception):
    """A form without the visitor's token."""


@cache
def static_name(name: str) -> str:
    """A static file's address with a digest of what it holds, so that it may be kept for ever."""
    digest = sha256((HERE / "static" / name).read_bytes()).hexdigest()[:10]
    return f"/static/{name}?v={digest}"


@cache
def environment() -> Environment:
    env = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    env.globals["static"] = static_name
    env.globals["drawn"] = drawn
    return env


def desk_of(request: Request) -> Desk:
    """The desk that this app sits at."""
    desk: Desk = request.app.state.desk
    return desk


def now_of(request: Request) -> datetime:
    """Now, by the clock that the app was given."""
    clock: Callable[[], datetime] = request.app.state.clock
    return clock()


def visitor_of(request: Request) -> str:
    return str(request.cookies.get(COOKIE) or getattr(request.state, "visitor", ""))


def _greet(request: Request) -> tuple[str, bool]:
    visitor = request.cookies.get(COOKIE, "")
    if visitor:
        return visitor, False
    request.state.visitor = secrets.token_urlsafe(16)
    return str(request.state.visitor), True


def _colours(desk: Desk) -> str:
    """Day or night where the keeper fixed it; a page about a broken logbook is shown all the same."""
    try:
        return desk.room().kit.colours
    except StoreFault:
        return ""


def page(request: Request, record: Page, status: int = 200, **extra: Any) -> Response:
    """The page of a record."""
    visitor, new = _greet(request)
    state = request.app.state
    html = (
        environment()
        .get_template(record.template)
        .render(
            page=record,
            demo=state.demo,
            token=token_for(state.secret, visitor),
            path=request.url.path,
            waits=bool(getattr(record, "pending", False)),
            only_read=state.desk.read_only,
            theme=_colours(state.desk),
            **{
                "place": record.place,
                "kept": kept_of(request),
                "here": here(request),
                "mistake_url": mistake_url(record),
                **extra,
            },
        )
    )
    response = HTMLResponse(html, status)
    if new:
        response.set_cookie(COOKIE, visitor, httponly=True, samesite="strict", max_age=400 * 24 * 3600)
    return response


async def read_form(request: Request) -> dict[str, str]:
    """What was typed, without the token; a field that comes several times is joined by ";".

    Raises
    ------
    Forged
        If the form token is not the visitor's.
    """
    form = await request.form()
    if not token_ok(request.app.state.secret, visitor_of(request), str(form.get(TOKEN, ""))):
        raise Forged
    typed = [(k, v) for k, v in form.multi_items() if k != TOKEN and isinstance(v, str)]
    found: dict[str, list[str]] = {}
    for name, value in typed:
        found.setdefault(name, []).extend([value] if value.strip() else [])
    return {name: ";".join(values) for name, values in found.items()}


def mistake_url(record: Page) -> str:
    """ "I made a mistake", about the page's tank where it has one."""
    return f"/tanks/{record.tank}/mistake" if record.tank else "/mistake"


def see_other(url: str) -> Response:
    """After a write: look at what it made."""
    return RedirectResponse(url, 303)


def fault_of(fault: BadInput) -> dict[str, str]:
    """A fault beside its field."""
    return {fault.field: str(fault)}


__all__ = [
    "Forged",
    "Page",
    "desk_of",
    "environment",
    "fault_of",
    "keep",
    "mistake_url",
    "now_of",
    "page",
    "read_form",
    "see_other",
    "static_name",
    "visitor_of",
]
