"""A new tank, step by step: its size, drawn as it is typed; who lives there; filter and warmth."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from tankward.desk.several import new_name
from tankward.knowledge.loader import load
from tankward.room.forms import form
from tankward.room.holds import water_of
from tankward.room.replay import Room
from tankward.room.things import Tank
from tankward.show.drawings import drawn
from tankward.show.drawings.svg import Svg
from tankward.show.words import first as words
from tankward.show.words.states import who_words

from ..border import border_of
from ..fields import Shown, asked
from ..first import GROUP, MOST_GROUPS, SIZES, Read, Typed, read, tank_texts
from ..frame import TOKEN, Page, desk_of, keep, page, read_form

STEPS = {"size": "1 of 3", "who": "2 of 3", "rest": "3 of 3"}
FILTERS = (
    ("sponge", "Sponge"), ("box", "Box"), ("canister", "Canister"), ("internal", "Internal"),
    ("none", "None"), ("dont-know", "Don't know"),
)  # fmt: skip
DRAWN_BESIDE = 2  # tanks that are there already, drawn beside the new one
WIDE, HIGH, FILL = 40.0, 29.0, 25.0  # of an outline whose sizes are not known yet [cm]


class GroupRow(msgspec.Struct, frozen=True, kw_only=True):
    """One group of animals as it is typed."""

    row: int
    number: str
    kind: str
    long: str
    number_error: str
    kind_error: str
    long_error: str


class Step(Page, frozen=True, kw_only=True):
    """One step of a new tank."""

    template: ClassVar[str] = "tank_step.html"
    why: str
    step: str
    racks: Svg
    unit: str
    degrees: str
    fields: dict[str, Shown]
    groups: list[GroupRow]
    animals: list[str]  # names to choose from while typing
    more: int  # rows of the next, larger form; 0: no more
    said: str  # what was understood, on the button
    seen: str  # the sizes that the drawing shows
    like: list[tuple[str, str]]
    filters: tuple[tuple[str, str], ...]
    kept: list[tuple[str, str]]  # typed on the other steps
    faults: list[str]


class FullForm(Page, frozen=True, kw_only=True):
    """Every field of a tank at once."""

    template: ClassVar[str] = "tank_new.html"
    fields: list[Shown]
    kept: list[tuple[str, str]]
    fault: str


ASKED = {
    "size": (*SIZES, "glass", "volume"),
    "who": (),
    "rest": ("filter", "temp", "name", "shelf"),
}
LABELS = {
    "length": "Long", "width": "Deep", "fill": "Water, high", "glass": "Glass, if you measured outside",
    "volume": "Or its litres, if you know them", "temp": "How warm?", "name": "What is it called?",
    "shelf": "Where does it stand?", "filter": "Which filter?",
}  # fmt: skip
HINTS = {"volume": "like 32 L, 10 US gal", "shelf": "like row B; the room is drawn so"}


class Alone(msgspec.Struct, frozen=True, kw_only=True):
    """A step and why it is this one."""

    step: str
    faults: dict[str, str]


def _due(typed: Typed, found: Read) -> Alone:
    """The next step only once what was typed is understood and was shown; else the same with its faults."""
    go, at = typed.get("go"), typed.get("step")
    faults = dict(found.faults) if at else {}
    if go == "who" and at == "size":
        if not typed.sized:
            faults.setdefault("length", "Write all three lengths, or touch Don't know.")
        shown_it = typed.get("seen") == typed.signature
        return Alone(step="size" if faults or not shown_it else "who", faults=faults)
    if go == "skip":
        return Alone(step="who", faults={})
    if go == "rest":
        return Alone(step="who" if faults else "rest", faults=faults)
    return Alone(step=go if go in STEPS else "size", faults=faults)


def _heading(step: str, name: str, tanks: int) -> tuple[str, str]:
    if step == "size":
        return words.size_heading(
            tanks
        ), "Inside, to the water line. A guess will do; we say how much it matters."
    if step == "who":
        return f"Who lives in {name}?", "About 40 is a number. What isn't known may stay empty."
    return f"The filter and the warmth of {name}?", "What isn't known may stay empty, and be said later."


def _drawing(room: Room, found: Read, name: str) -> Svg:
    """The last tanks, and the new one dashed beside them, in true proportion."""
    there = sorted(room.tanks.values(), key=lambda t: t.place)[-DRAWN_BESIDE:]
    new = found.tank
    width = (new.length_cm or new.diameter_cm if new else None) or WIDE
    fill = (new.fill_cm if new else None) or FILL
    this = drawn.RackTank(
        name=name, width_cm=width, height_cm=fill + HIGH - FILL, water_cm=fill, planned=True,
        litres=found.litres, caption=("this one", found.litres), short="this one",
    )  # fmt: skip
    return drawn.rack_views([*(_there(room, t) for t in there), this], f"{name}, drawn to scale")


def _there(room: Room, tank: Tank) -> drawn.RackTank:
    water = water_of(tank, room)
    fill = tank.fill_cm or FILL
    litres = water.shown if water.value is not None else ""
    return drawn.RackTank(
        name=tank.name, width_cm=tank.length_cm or WIDE, height_cm=tank.height_cm or fill + HIGH - FILL,
        water_cm=fill, litres=litres, caption=(who_words(room.stock_of(tank.id)), litres), short=litres,
    )  # fmt: skip


def _group_rows(typed: Typed, faults: Mapping[str, str]) -> list[GroupRow]:
    return [
        GroupRow(
            row=n, number=typed.get(f"number-{n}"), kind=typed.get(f"kind-{n}"), long=typed.get(f"long-{n}"),
            number_error=faults.get(f"number-{n}", ""), kind_error=faults.get(f"kind-{n}", ""),
            long_error=faults.get(f"long-{n}", ""),
        )
        for n in range(1, typed.rows + 1)
    ]  # fmt: skip


def _elsewhere(typed: Typed, step: str) -> list[tuple[str, str]]:
    """What was typed on the other steps, as it goes along."""
    own = {*ASKED[step], "step", "go", "seen", "rows", "then", TOKEN}
    own |= {"size": {"unit"}, "who": set(), "rest": {"degrees"}}[step]
    return [
        (k, v)
        for k, v in typed.texts.items()
        if v.strip() and k not in own and not (step == "who" and GROUP.fullmatch(k))
    ]


def _fields(typed: Typed, step: str, name: str, faults: Mapping[str, str]) -> dict[str, Shown]:
    return {
        k: Shown(name=k, label=LABELS[k], hint=HINTS.get(k, ""), error=faults.get(k, ""),
                 value=typed.texts.get(k, name if k == "name" else ""))
        for k in ASKED[step]
    }  # fmt: skip


def _names() -> list[str]:
    facts = load()
    return sorted([*(a.common for a in facts.animals.values()), *(p.common for p in facts.plants.values())])


def _said(step: str, found: Read, name: str) -> str:
    if step == "size":
        return words.next_words(found.litres)
    if step == "who":
        return "Next: filter and warmth"
    return words.add_words(name, found.litres, found.written.entries if found.written else ())


def _last(room: Room) -> list[tuple[str, str]]:
    """The tanks that a new one may be like, the newest first."""
    tanks = sorted(room.tanks.values(), key=lambda t: t.place)
    return [(t.name, f"/tanks/alike?like={t.id}") for t in reversed(tanks)]


async def show(request: Request) -> Response:
    """The step that is due; nothing is kept by looking."""
    texts = dict(request.query_params)
    if texts.get("go") == "skip":
        texts = {k: v for k, v in texts.items() if k not in ASKED["size"]}
    typed = Typed(texts=texts)
    if typed.get("go") == "all":
        return _full(request, typed, {})
    found = read(typed, border_of(request), animals=typed.get("step") != "size")
    due = _due(typed, found)
    return _page(request, typed, found, due.step, due.faults)


def _page(request: Request, typed: Typed, found: Read, step: str, faults: Mapping[str, str]) -> Response:
    room = desk_of(request).room()
    name = typed.get("name") or new_name(room)
    title, why = _heading(step, name, len(room.tanks))
    taste = room.kit.taste
    groups = _group_rows(typed, faults) if step == "who" else []
    named = {*ASKED[step], *(f"{k}-{g.row}" for g in groups for k in ("number", "kind", "long"))}
    record = Step(
        title=title, why=why, place_line=f"{name}, {STEPS[step]}", step=step,
        racks=_drawing(room, found, name),
        unit=typed.get("unit") or ("cm" if taste.metric else "in"),
        degrees=typed.get("degrees") or taste.temperature,
        fields=_fields(typed, step, name, faults), groups=groups,
        animals=_names() if groups else [],
        more=typed.rows + 1 if groups and typed.rows < MOST_GROUPS else 0,
        said=_said(step, found, name), seen=typed.signature if found.litres else "",
        like=_last(room)[:1] if step == "size" else [],
        filters=FILTERS, kept=_elsewhere(typed, step),
        faults=[s for f, s in faults.items() if f not in named],
    )  # fmt: skip
    return page(request, record, 422 if faults else 200, whole=True)


def _full(request: Request, typed: Typed, faults: Mapping[str, str]) -> Response:
    """Every field at once: for a round tank, for gravel and wood, and for what the steps don't ask."""
    rows = asked(form("tank").questions, {**tank_texts(typed), **_raw(typed)}, faults)
    named = {f.name for f in rows}
    record = FullForm(
        title="A new tank", place_line="New tank", fields=rows,
        kept=[(k, v) for k, v in typed.texts.items() if GROUP.fullmatch(k) and v],
        fault=" ".join(s for f, s in faults.items() if f not in named),
    )  # fmt: skip
    return page(request, record, 422 if faults else 200)


def _raw(typed: Typed) -> dict[str, str]:
    """What was refused stays as it was typed."""
    return {"name": typed.texts["name"]} if "name" in typed.texts else {}


async def add(request: Request) -> Response:
    """The tank and everybody in it, all or none."""
    typed = Typed(texts=await read_form(request))
    found = read(typed, border_of(request))
    if found.written is None:
        step = next((s for s in STEPS if _all_on(s, found.faults)), "")
        full = not step or "full" in typed.texts
        return (
            _full(request, typed, found.faults) if full else _page(request, typed, found, step, found.faults)
        )
    tank = found.written.entry.tank
    url = "/tanks/new" if typed.get("then") == "another" else f"/tanks/{tank}"
    return keep(request, url, *found.written.entries)


def _all_on(step: str, faults: Mapping[str, str]) -> bool:
    """Whether one step asks for everything that is at fault."""
    return all(f in ASKED[step] or (step == "who" and GROUP.fullmatch(f)) for f in faults)


ROUTES = [Route("/tanks/new", show), Route("/tanks/new", add, methods=["POST"])]
