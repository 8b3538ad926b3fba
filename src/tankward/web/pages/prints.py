"""Print: every sheet, what it is for, and its PDF on the keeper's paper."""

from __future__ import annotations

from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_tank
from tankward.knowledge.loader import load
from tankward.press.listed import BY_NAME, SHEETS
from tankward.press.sheet import Asked, Sheet, pressed, usual_paper
from tankward.quantities.faults import BadInput

from ..border import border_of
from ..frame import Page, desk_of, keep, now_of, page, read_form

# A reader of PDF inside the browser is a plugin to some; nothing else may come in.
POLICY = "default-src 'none'; object-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
PAPERS = (("a4", "A4"), ("letter", "US letter"))
OWN = ("tank", "paper")  # of the address, not of the sheet


class Row(msgspec.Struct, frozen=True, kw_only=True):
    """A sheet and the ways to it."""

    title: str
    use: str
    url: str  # its page, or its PDF where nothing is asked
    tanks: tuple[tuple[str, str], ...]  # (name, PDF) where only the tank is asked
    none: str  # what is said where no tank has one


class Prints(Page, frozen=True, kw_only=True):
    """The list."""

    template: ClassVar[str] = "prints.html"
    place: ClassVar[str] = "More"
    rows: tuple[Row, ...]
    paper: str
    papers: tuple[tuple[str, str], ...] = PAPERS


def asked_of(request: Request, tank: str = "", **typed: str) -> Asked:
    """What a sheet is made of, about a tank where one is named."""
    desk = desk_of(request)
    return Asked(
        desk=desk,
        facts=load(),
        now=now_of(request),
        zone=str(request.app.state.zone),
        demo=bool(request.app.state.demo),
        tank=find_tank(desk.room(), tank) if tank else None,
        typed=typed,
        address=str(request.base_url).rstrip("/"),
    )


def answered(sheet: Sheet, asked: Asked, paper: str) -> Response:
    """The PDF, shown in the browser."""
    made = pressed(sheet, asked, paper)
    headers = {
        "content-disposition": f'inline; filename="{made.file}"',
        "content-security-policy": POLICY,
    }
    return Response(made.pdf, media_type="application/pdf", headers=headers)


async def pdf(request: Request) -> Response:
    name, query = request.path_params["name"], request.query_params
    if name not in BY_NAME:
        raise BadInput("sheet", name, f"is not one of {', '.join(BY_NAME)}.")
    typed = {key: value for key, value in query.items() if key not in OWN and value.strip()}
    asked = asked_of(request, query.get("tank", ""), **typed)
    return answered(BY_NAME[name], asked, query.get("paper", ""))


def row(sheet: Sheet, request: Request) -> Row:
    pdf = f"/print/{sheet.name}.pdf"
    if sheet.page or sheet.about != "tank":
        return Row(title=sheet.title, use=sheet.use, url=sheet.page or pdf, tanks=(), none="")
    room = desk_of(request).room()
    fit = [t for t in room.tanks.values() if sheet.fits(asked_of(request, t.id))]
    return Row(
        title=sheet.title,
        use=sheet.use,
        url="",
        tanks=tuple((t.name, f"{pdf}?tank={t.id}") for t in fit),
        none="" if fit else "No tank has one now.",
    )


async def show(request: Request) -> Response:
    record = Prints(
        title="Print",
        place_line="Print",
        rows=tuple(row(sheet, request) for sheet in SHEETS),
        paper=usual_paper(desk_of(request).room().kit),
    )
    return page(request, record)


async def keep_paper(request: Request) -> Response:
    typed = await read_form(request)
    return keep(request, "/print", *border_of(request).kit({"paper": typed.get("paper", "")}).entries)


ROUTES = [
    Route("/print", show),
    Route("/print", keep_paper, methods=["POST"]),
    Route("/print/{name}.pdf", pdf),
]
