"""A calculation asked as a keeper types it."""

from __future__ import annotations

from tankward.desk.calculations import CALCULATIONS
from tankward.quantities.working import Answer


def ask(name: str, **given: str) -> Answer:
    """`as_` is typed `as`, air_temp `air-temp`."""
    return CALCULATIONS[name].run({key.rstrip("_").replace("_", "-"): text for key, text in given.items()})


def also(answer: Answer, name: str) -> float:
    return next(n.value for n in answer.also if n.name == name)
