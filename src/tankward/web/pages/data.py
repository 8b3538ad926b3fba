"""Data: where it lies, copies, looking whether it is whole, carrying it out and in."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from tempfile import SpooledTemporaryFile
from typing import IO, ClassVar

import msgspec
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse
from starlette.routing import Route

from tankward import __version__
from tankward.desk import carrying, data
from tankward.desk.fault_report import fault_report
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.time import local
from tankward.show.words import data as words
from tankward.show.words.days import day_month
from tankward.store.check import checked

from ..frame import Page, desk_of, now_of, page, read_form

PIECE = 64 * 1024  # bytes of an export sent at a time
IN_MEMORY = 16 * 1024 * 1024  # bytes of one that needs no file


class CopyShown(msgspec.Struct, frozen=True, kw_only=True):
    """A copy in the list."""

    day: str
    head: str
    made: str
    url: str


class DataPage(Page, frozen=True, kw_only=True):
    """Where the data lies and what can be done with it."""

    template: ClassVar[str] = "data.html"
    place: ClassVar[str] = "More"
    folder: str
    holds: tuple[tuple[str, str], ...] = words.FOLDER
    copies: list[CopyShown]
    told: str  # what was just done
    cautions: list[str]
    fault: str  # why an import was not taken
    empty: bool  # nothing was written yet
    photos: str  # how many there are, "" for none


class CopyPage(Page, frozen=True, kw_only=True):
    """One copy, before it is put back."""

    template: ClassVar[str] = "data_copy.html"
    place: ClassVar[str] = "More"
    name: str
    head: str
    made: str
    says: str
    whole: bool


class ReportPage(Page, frozen=True, kw_only=True):
    """What a fault report holds, before it is saved."""

    template: ClassVar[str] = "fault_report.html"
    place: ClassVar[str] = "More"
    lines: list[str]


def _page(request: Request, told: str = "", fault: str = "", cautions: list[str] | None = None) -> Response:
    desk, zone, state = desk_of(request), request.app.state.zone, request.app.state
    broken = data.cant_open(desk)
    pictures = len(desk.store.pictures_named()) if not broken else 0
    record = DataPage(
        title="Your data",
        place_line="Your data",
        folder=str(desk.folder),
        copies=[
            CopyShown(
                day=day_month(c.made, now_of(request), zone),
                head=words.copy_head(c.name),
                made=f"made {words.made_words(c.made, zone)}",
                url=f"/data/copies/{c.name}",
            )
            for c in data.copies(desk)
        ],
        told=told,
        cautions=[c for c in (broken, desk.read_only, state.not_copied, *(cautions or ())) if c],
        fault=fault,
        empty=not broken and not desk.store.last(),
        photos=words.photos_said(pictures) if pictures else "",
    )
    return page(request, record, 422 if fault else 200)


async def show(request: Request) -> Response:
    return _page(request)


async def back_up(request: Request) -> Response:
    await read_form(request)
    made = await run_in_threadpool(data.back_up, desk_of(request), now_of(request))
    return _page(request, words.copied_says(made.file.name, made.found.entries, len(made.found.pictures)))


async def check(request: Request) -> Response:
    seen = await run_in_threadpool(data.check, desk_of(request), now_of(request))
    whole = seen.logbook
    says = words.check_says(seen, whole.entries, len(seen.copies), len(whole.pictures))
    cautions = [] if not seen.faults else [says]
    return _page(request, "" if cautions else says, cautions=[*cautions, *words.check_cautions(seen)])


def _copy(request: Request) -> Path:
    return data.copy_named(desk_of(request), request.path_params["name"])


async def show_copy(request: Request) -> Response:
    file = _copy(request)
    copy = next(c for c in data.copies(desk_of(request)) if c.file == file)
    found = await run_in_threadpool(checked, copy.file)
    record = CopyPage(
        title=words.copy_head(copy.name),
        place_line="Your data",
        name=copy.name,
        head=words.copy_head(copy.name),
        made=words.made_words(copy.made, request.app.state.zone),
        says=words.copy_says(found.entries, found.faults),
        whole=not found.faults,
    )
    return page(request, record)


async def put_back(request: Request) -> Response:
    await read_form(request)
    copy = _copy(request)
    done = await run_in_threadpool(data.put_back, desk_of(request), copy, now_of(request))
    kept = done.kept.stem if done.kept else ""
    return _page(request, words.put_back_says(copy.stem, done.found.entries, kept, done.lacking))


def _saved(body: bytes, kind: str, name: str) -> Response:
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(body, media_type=kind, headers=headers)


def _day(now: datetime, zone: str) -> str:
    return local(now, zone).date().isoformat()


async def export(request: Request) -> Response:
    """The zip grows in a file without a name: photos may be more than the memory holds."""
    packed, now = SpooledTemporaryFile(max_size=IN_MEMORY), now_of(request)  # noqa: SIM115  _pieces closes it
    await run_in_threadpool(carrying.export, desk_of(request), packed, load(), __version__, now)
    length = packed.tell()
    packed.seek(0)
    headers = {
        "content-disposition": f'attachment; filename="tankward-{_day(now, request.app.state.zone)}.zip"',
        "content-length": str(length),
    }
    return StreamingResponse(_pieces(packed), headers=headers, media_type="application/zip")


def _pieces(packed: IO[bytes]) -> Iterator[bytes]:
    with packed:
        while piece := packed.read(PIECE):
            yield piece


async def export_text(request: Request) -> Response:
    text = await run_in_threadpool(carrying.as_text, desk_of(request))
    name = f"tankward-{_day(now_of(request), request.app.state.zone)}.txt"
    return _saved(text.encode(), "text/plain; charset=utf-8", name)


async def bring_in(request: Request) -> Response:
    await read_form(request)
    sent = (await request.form()).get("file")
    if not isinstance(sent, UploadFile) or not sent.filename:
        return _page(request, fault="Choose a file first: what Export everything gave you.")
    zone, name = request.app.state.zone, sent.filename
    try:
        done = await run_in_threadpool(carrying.bring_in, desk_of(request), sent.file, name, zone, load())
    except BadInput as fault:
        return _page(request, fault=str(fault))
    strange = words.strange_says(done.strange)
    return _page(request, words.brought_says(done.new, done.known, done.photos), cautions=strange)


def _report(request: Request) -> list[str]:
    return words.report_lines(fault_report(desk_of(request), load(), __version__))


async def show_report(request: Request) -> Response:
    lines = await run_in_threadpool(_report, request)
    return page(request, ReportPage(title="A fault report", place_line="Your data", lines=lines))


async def save_report(request: Request) -> Response:
    lines = await run_in_threadpool(_report, request)
    return _saved(
        ("\n".join(lines) + "\n").encode(), "text/plain; charset=utf-8", "tankward-fault-report.txt"
    )


ROUTES = [
    Route("/data", show),
    Route("/data/backup", back_up, methods=["POST"]),
    Route("/data/check", check),
    Route("/data/copies/{name}", show_copy),
    Route("/data/copies/{name}", put_back, methods=["POST"]),
    Route("/data/export.zip", export),
    Route("/data/export.txt", export_text),
    Route("/data/import", bring_in, methods=["POST"]),
    Route("/data/fault-report", show_report),
    Route("/data/fault-report.txt", save_report),
]
