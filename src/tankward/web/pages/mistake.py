"""I made a mistake: danger first, then the slip, then what, when, how much; written down as it was."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar
from urllib.parse import parse_qsl, urlencode

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.border import Written
from tankward.desk.find import find_tank
from tankward.desk.slip_said import slips_told
from tankward.desk.slip_touches import touches
from tankward.desk.slips import NEW, happened
from tankward.desk.slips_around import taken_back_by
from tankward.desk.what_now import as_if
from tankward.judge.slips import what_now
from tankward.judge.urgent import Told
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.entries.notes import Note
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.show.words.days import moment_line
from tankward.show.words.judge import step_ask
from tankward.show.words.mistake import (
    ASKED,
    BENEATH,
    MORE_SAID,
    ROWS,
    SLIPS,
    SOFT,
    done_heading,
    mistake_heading,
)
from tankward.show.words.slip_touches import Group, groups_of, touch_said
from tankward.show.words.slip_touches import Told as TouchTold
from tankward.show.words.urgent import act_head, act_soft
from tankward.treat.mend.touch import Touch

from ..border import border_of
from ..faults import by_field
from ..fields import Shown
from ..frame import Page, desk_of, keep, now_of, page, read_form, see_other
from ..slips import Asking, Choice, asked

ELSE = "something-else"
SHORT, MIDDLE = 9, 14  # letters that fit a button of a quarter and of a third of a phone's width


class Act(msgspec.Struct, frozen=True, kw_only=True):
    """One act, with its question where an answer decides it; `done` ticks it off."""

    head: str
    soft: str
    ask: str
    more: list[str] = []
    url: str = ""
    when: str = ""
    danger: bool = False
    how: list[dict[str, str]] = []
    done: str = ""


class Way(msgspec.Struct, frozen=True, kw_only=True):
    """A slip to choose."""

    words: str
    soft: str
    url: str


class Mistake(Page, frozen=True, kw_only=True):
    """The slips to choose from; without a tank, what to do about the one that was chosen."""

    template: ClassVar[str] = "mistake.html"
    place: ClassVar[str] = "Look"
    name: str
    now_url: str
    beneath: str
    others: list[tuple[str, str]]  # tanks: name and address
    ways: list[Way]
    acts: list[Act]
    tell: list[str]


class Button(msgspec.Struct, frozen=True, kw_only=True):
    """One touch that writes a slip down; `value` is what the form of that slip would have sent."""

    words: str
    soft: str
    value: str


class Touches(msgspec.Struct, frozen=True, kw_only=True):
    """Touches that answer one question, and where more can be said."""

    head: str
    soft: str
    buttons: list[Button]
    room: str  # that their words need: short, "", wide
    more: str


class Telling(Page, frozen=True, kw_only=True):
    """One touch for what is likeliest; what, when, how much for the rest."""

    template: ClassVar[str] = "mistake_told.html"
    place: ClassVar[str] = "Look"
    slip: str
    groups: list[Touches]
    more: str  # above the form
    more_open: bool
    choices: list[Choice]
    fields: list[Shown]
    unwritten: list[Shown]  # for a dose that is not in the log yet
    unwritten_open: bool
    fault: str


def slip_of(word: str) -> str:
    """A slip that is known.

    Raises
    ------
    BadInput
        Naming them all.
    """
    if word not in SLIPS:
        raise BadInput("slip", word, f"is not one of {', '.join(SLIPS)}.")
    return word


async def show(request: Request) -> Response:
    """The slips; with one chosen and no tank, the acts for any water."""
    room = desk_of(request).room()
    word = request.path_params.get("tank", "")
    tank = find_tank(room, word) if word else None
    slip = request.query_params.get("slip", "")
    if slip and tank:
        return see_other(f"/tanks/{tank.id}/mistake/{slip_of(slip)}")
    found = what_now((), SLIPS[slip_of(slip)][1], Told(), load()) if slip else None
    record = Mistake(
        title=_title(slip, tank),
        place_line=_place(tank, request),
        tank=tank.id if tank else "",
        name=tank.name if tank else "",
        now_url=f"/tanks/{tank.id}/now" if tank else "/now",
        beneath="" if slip else BENEATH,
        others=_others(room, tank),
        ways=_ways(tank, slip),
        acts=[Act(head=act_head(s), soft=act_soft(s), ask=step_ask(s)) for s in found.steps] if found else [],
        tell=[a.says for a in found.ask] if found else [],
    )
    return page(request, record, mistake_url="")


def _title(slip: str, tank: Tank | None) -> str:
    if slip == ELSE:
        return ASKED[ELSE]
    return done_heading(slip, "") if slip else mistake_heading(tank.name if tank else "")


def _place(tank: Tank | None, request: Request) -> str:
    told = moment_line(now_of(request), request.app.state.zone)
    return f"{tank.name}, {told}" if tank else told


def _others(room: Room, tank: Tank | None) -> list[tuple[str, str]]:
    tanks = sorted(room.tanks.values(), key=lambda t: t.place)
    return [(t.name, f"/tanks/{t.id}/mistake") for t in tanks if tank is None or t.id != tank.id]


def _ways(tank: Tank | None, slip: str) -> list[Way]:
    """Five plain slips; the rest behind "something else"."""
    if slip and slip != ELSE:
        return []
    base = f"/tanks/{tank.id}/mistake/" if tank else "/mistake?slip="
    rows = [s for s in SLIPS if s not in ROWS] if slip == ELSE else ROWS
    return [Way(words=SLIPS[s][0], soft=SOFT.get(s, ""), url=base + s) for s in rows]


def _groups(request: Request, slip: str, room: Room, tank: Tank) -> list[Touches]:
    """The touches of a slip, each a button of one form."""
    facts, now, zone = load(), now_of(request), str(request.app.state.zone)
    found = touches(room, tank.id, now, zone, facts)
    told = TouchTold(room=room, facts=facts, now=now, zone=zone)
    return [_touches(g, tank.id, slip, told) for g in groups_of(slip, found, told)]


def _touches(group: Group, tank: str, slip: str, told: TouchTold) -> Touches:
    buttons = [_button(t, told) for t in group.touches]
    longest = max(len(b.words) for b in buttons)
    return Touches(
        head=group.head,
        soft=group.soft,
        buttons=buttons,
        room="wide" if longest > MIDDLE else "short" if longest <= SHORT else "",
        more=f"/tanks/{tank}/mistake/{group.slip}?more=open" if slip == ELSE else "",
    )


def _button(t: Touch, told: TouchTold) -> Button:
    said = touch_said(t, told)
    return Button(words=said.words, soft=said.soft, value=urlencode({"slip": t.slip, **t.texts}))


def _page(request: Request, slip: str, typed: Mapping[str, str], fault: BadInput | None) -> Response:
    room, now, zone = desk_of(request).room(), now_of(request), str(request.app.state.zone)
    tank = find_tank(room, request.path_params["tank"])
    faults = by_field(fault) if fault else {}
    ask = Asking(room=room, tank=tank, now=now, zone=zone, typed=typed, faults=faults)
    choices, fields, unwritten = asked(slip, ask)
    groups = _groups(request, slip, room, tank)
    named = {f.name for f in (*fields, *unwritten)}
    record = Telling(
        title=ASKED[slip],
        place_line=f"{tank.name}, {SLIPS[slip][0].lower()}",
        tank=tank.id,
        slip=slip,
        groups=groups,
        more=MORE_SAID if groups and slip != ELSE else "",
        more_open=bool(fault) or not groups or bool(request.query_params.get("more")),
        choices=choices,
        fields=fields,
        unwritten=unwritten,
        unwritten_open=any(c.name == "dose" and c.chosen == NEW for c in choices),
        fault=" ".join(s for f, s in faults.items() if f not in named),
    )
    return page(request, record, 422 if fault else 200, mistake_url="")


async def tell(request: Request) -> Response:
    return _page(request, slip_of(request.path_params["slip"]), {}, None)


async def write(request: Request) -> Response:
    """What happened becomes entries; the next page begins with what to do now."""
    slip = slip_of(request.path_params["slip"])
    typed = await read_form(request)
    if typed.get("touch"):
        typed = dict(parse_qsl(typed["touch"]))
        slip = slip_of(typed.pop("slip", slip))
    tank = find_tank(desk_of(request).room(), request.path_params["tank"]).id
    if slip == ELSE and (answer := _own_words(request, tank, typed)):
        return answer
    try:
        written = happened(border_of(request), slip, tank, typed)
    except BadInput as fault:
        return _page(request, slip, typed, fault)
    there = written.entry.tank if written is not None and slip == "wrong-tank" else tank
    told = {"step": typed.get("step", ""), "without": tank if there != tank else ""}
    if slip == ELSE and written is not None:
        told["note"] = written.entry.id
    query = urlencode({k: v for k, v in told.items() if v})
    url = f"/tanks/{there}/mistake/{slip}/after{'?' if query else ''}{query}"
    if written is None:
        return see_other(url)
    return keep(request, url, *written.entries, undo=taken_back_by(written))


def _own_words(request: Request, tank: str, typed: Mapping[str, str]) -> Response | None:
    """What was told in the keeper's own words, where a slip is known by them: as entries, beside the note.

    At another time than now, or where the words name none, they stay a note.
    """
    border, facts, now = border_of(request), load(), now_of(request)
    if typed.get("when", "").strip():
        return None
    said = slips_told(typed.get("text", ""), border.room, tank, now, border.zone, facts)
    known = [s for s in said if s.slip != ELSE]
    if not known:
        return None
    made, note = as_if(border, tank, known), happened(border, ELSE, tank, typed)
    told = [e for e in made.entries if not isinstance(e, Note)]
    kept = Written(entries=(*(note.entries if note else ()), *told))
    url = f"/tanks/{made.tank}/mistake/{known[0].slip}/after"
    return keep(request, url, *kept.entries, undo=taken_back_by(kept))


ROUTES = [
    Route("/mistake", show),
    Route("/tanks/{tank}/mistake", show),
    Route("/tanks/{tank}/mistake/{slip}", tell),
    Route("/tanks/{tank}/mistake/{slip}", write, methods=["POST"]),
]
