"""The pages. A page is one module with ROUTES, named here, and its template."""

from __future__ import annotations

from . import (
    alike,
    cards,
    causes,
    course,
    data,
    entry,
    find,
    first,
    five_minutes,
    guide,
    hygiene,
    kit,
    know,
    log,
    look,
    mistake,
    mistake_after,
    more,
    move,
    options,
    photos,
    prints,
    recipe,
    room,
    settings,
    several,
    sheet,
    shelf,
    shelf_label,
    steps,
    stock,
    tank,
    today,
    tub,
    what_now,
    work_it_out,
)

PAGES = (
    mistake, mistake_after, today, room, first, move, alike, several, settings, tank, steps, stock,
    course, sheet, look, what_now, causes, options, log, entry, photos, find, shelf_label, shelf, kit,
    guide, know, work_it_out, prints, recipe, tub, hygiene, cards, data, more, five_minutes,
)  # fmt: skip
