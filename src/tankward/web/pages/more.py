"""More: a plain list of words."""

from __future__ import annotations

from typing import ClassVar

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ..frame import Page, page

PLACES = (
    ("Find", "/find", "notes, tanks, animals, substances, days"),
    ("Shelf", "/shelf", "packets, powders, what their labels say"),
    ("Kit", "/kit", "scale, spoons, hose, test kits, your hours; measuring step by step"),
    ("Work it out", "/work-it-out", "volumes, doses, water, food: each with its working"),
    ("What we know", "/know", "substances, animals, illnesses, signs: each figure with its source"),
    ("How to look closer", "/guide", "droppings, scrapes, a dead fish, samples; germs under the microscope"),
    ("Cases", "/cases", "what was seen, what was done, how it ended, what it cost"),
    ("Calendar", "/calendar", "steps, looks, days over; into your own calendar too"),
    ("Print", "/print", "a course, tank cards, every other sheet; your paper"),
    ("Medicine in the food", "/recipe", "what to weigh, how to make it, one square a meal"),
    ("Hospital tub", "/tub", "for fish that can't stay, or can't bear a medicine"),
    ("Quarantine", "/quarantine", "who came, where they go, the looks by their days, when they may join"),
    ("Hygiene", "/hygiene", "nets, hoses, bleach, the dead"),
    ("Several tanks at once", "/several", "changed half in row B; the same as last time"),
    ("Add a tank", "/tanks/new", "sizes, who lives there, filter and warmth"),
    ("Add tanks from a list", "/tanks/list", "one tank a line, shown before it is kept"),
    ("Three questions", "/settings", "units, tap water, whose law holds"),
    ("Your data", "/data", "export everything, copies, is it whole"),
)


class More(Page, frozen=True, kw_only=True):
    """What has no place in the bar."""

    template: ClassVar[str] = "more.html"
    place: ClassVar[str] = "More"
    places: tuple[tuple[str, str, str], ...] = PLACES
    folder: str


DEMO = ("Five minutes with the demo", "/five-minutes", "what to see first, and your own room next")


async def show(request: Request) -> Response:
    places = (DEMO, *PLACES) if request.app.state.demo else PLACES
    folder = str(request.app.state.desk.folder)
    return page(request, More(title="More", place_line="More", places=places, folder=folder))


ROUTES = [Route("/more", show)]
