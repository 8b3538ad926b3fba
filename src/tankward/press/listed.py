"""The sheets, in the order of the page "Print". A new one is one line here."""

from __future__ import annotations

from . import cards, case, course, hygiene, recipe, sitter, tub
from .sheet import Sheet

SHEETS: tuple[Sheet, ...] = (
    course.SHEET, sitter.SHEET, recipe.SHEET, tub.SHEET, case.SHEET, hygiene.SHEET, cards.SHEET,
)  # fmt: skip
BY_NAME = {sheet.name: sheet for sheet in SHEETS}
