"""An entry: what it says, what became of it, putting it right, taking it back, and back again."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.find import find_entry
from tankward.desk.history import Event, Standing, standing_of
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.entries.acts import CourseBegun, CourseStopped, StepSkipped
from tankward.room.entries.base import Entry
from tankward.room.entries.ends import CourseClosed
from tankward.room.entries.photos import PhotoAdded, PhotoRemoved
from tankward.room.forms import form_of, texts_of
from tankward.room.questions import Question
from tankward.room.replay import Room
from tankward.show.words.acts import upper
from tankward.show.words.days import clock, day_margin, moment_line
from tankward.show.words.kept import BEGINS
from tankward.show.words.log import entry_row, entry_words

from ..border import border_of
from ..faults import by_field
from ..fields import Shown, asked
from ..frame import Page, desk_of, keep, now_of, page, read_form
from ..photos import PHOTO_FIELDS, PhotoShown
from ..photos import shown as photos_shown
from .log import of_the_room, rest_of

# A course is stopped and begun anew; half of it can't be put right.
WHOLE = (CourseBegun, CourseStopped, CourseClosed, StepSkipped, PhotoRemoved)
WHEN = Question("When? Nothing: as it stands above.", "text")
OWN_WORDS = ("when", "who", "note")


class EventRow(Page, frozen=True, kw_only=True):
    """One thing that was done to an entry. `title` is its margin."""

    sub: str
    head: str
    soft: str


class EntryPage(Page, frozen=True, kw_only=True):
    """One entry with its history."""

    template: ClassVar[str] = "entry.html"
    id: str
    soft: str
    when: str
    mark_words: str  # "" where it holds
    events: list[EventRow]
    back: str  # what to undo, so that it holds again
    correction: str  # what to undo, so that the version before holds again
    newer: str
    fields: list[Shown]
    photos: list[PhotoShown]
    can_add: bool  # a photo
    photo_fault: str
    fault: str


def told_texts(entry: Entry) -> dict[str, str]:
    """An entry's fields as a keeper writes them: a share in per cent."""
    questions = form_of(entry).questions
    told = texts_of(entry)
    shares = [k for k in told if k in questions and questions[k].dimension == "share"]
    return told | {k: f"{100 * float(told[k].removeprefix('=')):g} %" for k in shares} | {"note": entry.note}


def fields_of_entry(
    entry: Entry, room: Room, typed: Mapping[str, str] | None, faults: Mapping[str, str]
) -> list[Shown]:
    """The entry's own form, filled with what it says."""
    form = form_of(entry)
    told = told_texts(entry) if typed is None else dict(typed)
    own = {k: v for k, v in told_texts(entry).items() if k not in form.questions and k != "note"}
    rest = rest_of(form.word, room, told, faults)
    named = {f.name for f in rest}
    rest += [
        Shown(name=k, label=upper(k.replace("_", " ")), value=told.get(k, v), error=faults.get(k, ""))
        for k, v in own.items()
        if k not in named
    ]
    named |= set(own)
    rows = [f for f in asked({**form.questions, "when": WHEN}, told, faults) if f.name not in named]
    rows = of_the_room(rows, form.questions, room, entry.tank)
    return [*rest, *rows, *_tank(entry, room, told, faults)]


def _tank(entry: Entry, room: Room, told: Mapping[str, str], faults: Mapping[str, str]) -> list[Shown]:
    """In which tank it was, for what was written down for the wrong one."""
    if form_of(entry).slot == "thing" or entry.tank not in room.tanks or len(room.tanks) < 2:
        return []
    choices = tuple((t.id, t.name) for t in room.tanks.values())
    return [
        Shown(name="of", label="In which tank?", value=told.get("of") or entry.tank, choices=choices,
              error=faults.get("of", ""))
    ]  # fmt: skip


def changed(entry: Entry, typed: Mapping[str, str]) -> dict[str, str]:
    """What the form says otherwise than the entry; a field that was emptied is not known any more."""
    before = told_texts(entry) | {"of": entry.tank}
    texts = {}
    for key, text in typed.items():
        if text.strip() == before.get(key, "").strip():
            continue
        texts[key] = text if text.strip() or key in OWN_WORDS else "dont-know"
    return texts


def _row(event: Event, room: Room, now: datetime, zone: str) -> EventRow:
    return EventRow(
        title=day_margin(event.by.at, now, zone),
        sub=clock(event.by.at, zone),
        head=BEGINS[event.what],
        soft=entry_words(event.entry, room, load()),
    )


def mark_words(stands: Standing) -> str:
    """How an entry stands that does not hold."""
    if stands.holds:
        return ""
    return "Put right since" if stands.replaced_by else "Taken back"


def entry_page(
    request: Request, entry: Entry, typed: Mapping[str, str] | None, fault: BadInput | None
) -> Response:
    desk, now, zone = desk_of(request), now_of(request), str(request.app.state.zone)
    room = desk.room()
    stands = standing_of(desk.entries(), entry)
    found = stands.entry
    faults = by_field(fault) if fault else {}
    open_form = stands.holds and not isinstance(found, WHOLE) and not desk.read_only
    rows = fields_of_entry(found, room, typed, faults) if open_form else []
    named = {f.name for f in rows}
    head, soft = entry_row(found, room, load())
    tank = room.tanks.get(found.tank)
    is_photo = isinstance(found, PhotoAdded | PhotoRemoved)
    record = EntryPage(
        title=head, place_line=f"{tank.name}, log" if tank else "Log", tank=tank.id if tank else "",
        id=found.id, soft=soft, when=moment_line(found.at, zone),
        mark_words=mark_words(stands), events=[_row(e, room, now, zone) for e in stands.events],
        back=stands.back, correction=stands.correction.id if stands.correction else "",
        newer=f"/entries/{stands.replaced_by.id}" if stands.replaced_by else "", fields=rows,
        photos=photos_shown(desk, {found.id}, room, load()).get(found.id, []),
        can_add=stands.holds and not is_photo and not desk.read_only,
        photo_fault=" ".join(s for f, s in faults.items() if f in PHOTO_FIELDS),
        fault=" ".join(s for f, s in faults.items() if f not in named and f not in PHOTO_FIELDS),
    )  # fmt: skip
    return page(request, record, 422 if fault else 200)


def _entry(request: Request) -> Entry:
    return find_entry(desk_of(request).entries(), request.path_params["entry"])


async def show(request: Request) -> Response:
    return entry_page(request, _entry(request), None, None)


async def correct(request: Request) -> Response:
    """Put right what the form says otherwise; a form that says the same writes nothing."""
    typed, entry = await read_form(request), _entry(request)
    texts = changed(entry, typed)
    try:
        if not texts:
            raise BadInput("form", "", "says what the entry says already. Change a field, or take it back.")
        written = border_of(request).correct(entry.id, texts)
    except BadInput as fault:
        return entry_page(request, entry, typed, fault)
    new, correction = written.entries
    return keep(request, f"/entries/{new.id}", new, correction, undo=(correction,))


async def undo(request: Request) -> Response:
    """Take entries back, or put back what was taken back; all or none."""
    typed = await read_form(request)
    border = border_of(request)
    ids = dict.fromkeys(typed.get("entries", "").replace(";", ",").split(","))
    undone = [border.undo(i).entry for i in ids]
    return keep(request, _back(request, typed.get("back", ""), undone), *undone)


def _back(request: Request, back: str, undone: list[Entry]) -> str:
    """Where the keeper was; a tank that goes with its entry has no page any more."""
    if not back.startswith("/") or back.startswith(("//", "/\\")):
        return "/"
    gone = {e.entry for e in undone if hasattr(e, "entry")}
    tanks = {e.tank for e in desk_of(request).entries() if e.id in gone and form_of(e).word == "tank"}
    return "/" if any(back.startswith(f"/tanks/{t}") for t in tanks) else back


ROUTES = [
    Route("/entries/undo", undo, methods=["POST"]),
    Route("/entries/{entry}", show),
    Route("/entries/{entry}", correct, methods=["POST"]),
]
