"""The words and figures in which hours are written."""

from __future__ import annotations

import re

from .time import MONTHS, WEEKDAYS

SHORT = tuple(w[:3].capitalize() for w in WEEKDAYS)
ALL_DAYS = tuple(range(7))

CLOCK = r"(\d{1,2})(?:[:.h](\d{2})|h)?\s*(am|pm)?(?!\d)"
TO = r"\s*(?:-|to\b|until\b|till\b)\s*"
NTH = r"(?:st|nd|rd|th)?"
MONTH = r"(" + "|".join(f"{m[:3]}(?:{m[3:]})?" for m in MONTHS) + r"|sept)\b\.?"
DAY = rf"(\d{{1,2}}){NTH}(?![\d:.h])"
YEAR = r"(?:,?\s+(\d{4})(?![\d:]))?"
WEEKDAY = r"(mon|tue|wed|thu|fri|sat|sun)((?:s|nes|rs?|ur)?(?:days?)?)\b\.?"
EXACT = r"(?=\d{1,2}(?:[:.h]|\s*(?:am|pm)))"  # an hour that can't be a day of a month
NO_MONTH = rf"(?!{NTH}\s*(?:of\s+)?{MONTH.replace('(', '(?:', 1)})"
TOKENS = [
    (kind, re.compile(pattern))
    for kind, pattern in (
        ("blank", r"[\s,:]+|(?:and|at|on|in|the|for|of|i am|i'm|we are)\b"),
        ("iso", r"(\d{4})-(\d{2})-(\d{2})(?!\d)"),
        ("days_month", rf"{DAY}(?:{TO}{DAY})?\s+(?:of\s+)?{MONTH}{YEAR}"),
        ("month_days", rf"{MONTH}\s+{DAY}(?:{TO}{DAY})?{YEAR}"),
        ("two_days", r"\d{1,2}[/.]\d{1,2}[/.](?:\d{2,4})?|\d{1,2}/\d{1,2}"),
        ("length", r"(\d{1,3}|an?|one|two|three|ten) (day|week)s?\b"),
        ("span", rf"(?:from\s+)?{CLOCK}{TO}{CLOCK}{NO_MONTH}"),
        ("span", rf"between\s+{CLOCK}\s+and\s+{CLOCK}"),
        ("after", rf"(?:after|from)\s+{EXACT}{CLOCK}"),
        ("before", rf"(?:before|until|till)\s+{EXACT}{CLOCK}"),
        ("clock", CLOCK),
        ("weekdays", rf"{WEEKDAY}{TO}{WEEKDAY}"),
        ("weekday", WEEKDAY),
        ("workdays", r"(weekdays|working days)\b"),
        ("weekend", r"weekends?\b"),
        ("odd", r"odd weeks?\b"),
        ("even", r"even weeks?\b"),
        ("a", r"week a\b"),
        ("b", r"week b\b"),
        ("both", r"(?:every|all|both) weeks?\b"),
        ("daily", r"(?:every day|daily|all days)\b"),
        ("every", r"(?:every|always|each)\b"),
        ("this_week", r"(this|next) week\b"),
        ("near", r"(today|tonight|tomorrow)\b"),
        ("away", r"(?:away|absent|holidays?|gone)\b"),
        ("never", r"(?:not|never|off|no)\b"),
        ("quiet", r"(?:quiet|silent)(?: hours)?\b"),
        ("until", r"(?:until|till)\b"),
        ("from", r"from\b"),
        ("to", r"(?:-|to\b)"),
        ("strange", r"[^\s,;]+"),
    )
]  # fmt: skip
