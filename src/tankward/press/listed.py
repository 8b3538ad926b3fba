"""The sheets, in the order of the page "Print". A new one is one line here."""

from __future__ import annotations

from . import cards, case, course, hygiene, recipe, tub
from .sheet import Sheet

SHEETS: tuple[Sheet, ...] = (course.SHEET, recipe.SHEET, tub.SHEET, case.SHEET, hygiene.SHEET, cards.SHEET)
BY_NAME = {sheet.name: sheet for sheet in SHEETS}
