"""The sheets, in the order of the page "Print". A new one is one line here."""

from __future__ import annotations

from . import course
from .sheet import Sheet

SHEETS: tuple[Sheet, ...] = (course.SHEET,)
BY_NAME = {sheet.name: sheet for sheet in SHEETS}
