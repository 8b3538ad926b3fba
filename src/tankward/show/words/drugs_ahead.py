"""A medicine in the days to come, in words: how much, until when it works, whom it bothers until when."""

from __future__ import annotations

from tankward.knowledge.known import Facts
from tankward.model.falling import Fall, When
from tankward.treat.drugs_ahead import Drug, Line

from .acts import listed, upper
from .measured import level_range, level_shown
from .remedies import substance_name

SURE = 0.95
HOURS_UP_TO = 48.0


def drug_says(drug: Drug, facts: Facts) -> list[str]:
    """How much there is, then the lines that matter."""
    name = upper(substance_name(drug.substance, facts))
    now = level_range(drug.now.low, drug.now.high, drug.unit) if drug.now.high > 0 else "none"
    told = [f"{name} in the {drug.where}: {now} now."]
    if drug.where == "fish":
        return [*told, "  How much in a fish works, or harms it, nobody has measured for those kept here."]
    told.append(f"  {_works(drug)}")
    told += [f"  {line}" for line in _bothers(drug)]
    return told


def _works(drug: Drug) -> str:
    line = drug.works
    if line is None:
        return "From how much on it works is not known."
    return f"It works from {level_shown(line.level, line.unit)}: {falls_said(line.fall)}."


def _bothers(drug: Drug) -> list[str]:
    told = []
    if drug.never:
        told.append(f"No amount of it is known to be borne by {listed(drug.never)}.")
    if drug.bothers is not None:
        told.append(_tender(drug.bothers))
    if drug.unknown:
        told.append(f"What {listed(drug.unknown)} bear of it isn't known.")
    return told


def _tender(line: Line) -> str:
    who = listed(line.who)
    return f"Most tender: {who}, taken to bear {level_shown(line.level, line.unit)}: {last_said(line.fall)}."


def falls_said(fall: Fall) -> str:
    """Until when a level stays over a line; later doses are told of."""
    if fall.last.high == 0.0:
        return "it is under that, and stays so"
    again = _back(fall)
    if fall.over_now <= 1 - SURE:
        return f"under that now{again}"
    begins = "it falls under that" if fall.over_now >= SURE else "it is perhaps under that already, else"
    return f"{begins} {when_said(fall.first)}{again}"


def _back(fall: Fall) -> str:
    """Where what is planned brings it over the line again."""
    if fall.last == fall.first:
        return ""
    if fall.over_at_end >= SURE:
        return "; with what is planned it is over it again, to the end"
    return f"; with what is planned, under it for good {when_said(fall.last)}"


def last_said(fall: Fall) -> str:
    """From when on a level stays under a line."""
    if fall.last.high == 0.0:
        return "it is under that, and stays so"
    if fall.last.value == 0.0:
        return f"probably under that already, else {when_said(fall.last)}"
    return f"under that for good {when_said(fall.last)}"


def when_said(when: When) -> str:
    """ "in 5 to 30 hours", "in 3 days or not before the end"."""
    if when.low is None:
        return "not before the end"
    if when.high is None:
        return f"{_span(when.low, when.low)} at the earliest, perhaps not before the end"
    return _span(when.low, when.high)


def _span(low: float, high: float) -> str:
    hours = high <= HOURS_UP_TO
    ends = [round(v if hours else v / 24.0) for v in (low, high)]
    if ends[1] == 0:
        return "within the hour"
    unit = ("hour" if hours else "day") + ("" if ends[1] == 1 else "s")
    if ends[0] == 0:
        return f"within {ends[1]} {unit}" if ends[1] > 1 else f"within {'an hour' if hours else 'a day'}"
    return f"in {ends[0]} {unit}" if ends[0] == ends[1] else f"in {ends[0]} to {ends[1]} {unit}"
