"""Walks an answer and finds numbers that nobody could check: no working and no source where they stand.

A number is covered by the object it stands in, or by a plain object around that one, up to and with the
nearest row of a list. The working at the root covers the answer itself (`value`, `low`, `high` and the rows
of `also`), and no row below it.
"""

from collections.abc import Iterator
from typing import Any

ROOT_NUMBERS = {"value", "low", "high"}
AXES = {"times"}  # moments at which something is told; they claim nothing
BELONG_TO_HOLDER = {"also"}  # rows whose working is that of the answer which holds them


def bare_numbers(answer: dict[str, Any]) -> list[str]:
    """Where the uncovered numbers stand, like `steps[2].amount.value`."""
    return list(_object(answer, "", covered=False, root=True))


def _object(found: dict[str, Any], at: str, *, covered: bool, root: bool = False) -> Iterator[str]:
    own = bool(found.get("how")) if root else has_working(found)
    inside = own or covered
    for key, value in found.items():
        path = f"{at}.{key}" if at else key
        if root and key in AXES:
            continue
        if is_number(value):
            if not (own and key in ROOT_NUMBERS if root else inside):
                yield path
        elif isinstance(value, dict):
            yield from _object(value, path, covered=inside and not root)
        elif isinstance(value, list):
            yield from _list(value, path, inside and not root, own and key in BELONG_TO_HOLDER)


def _list(found: list[Any], at: str, covered: bool, belongs: bool) -> Iterator[str]:
    for n, value in enumerate(found):
        path = f"{at}[{n}]"
        if is_number(value) and not covered:
            yield path
        elif isinstance(value, dict):
            yield from _object(value, path, covered=belongs)
        elif isinstance(value, list):
            yield from _list(value, path, covered, belongs)


def is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def has_working(found: dict[str, Any]) -> bool:
    """Steps of a working, a named source, or a status where there is none to name."""
    if found.get("how") or found.get("sources"):
        return True
    source, status = found.get("source", ""), found.get("status", "")
    return bool(source) and (source != "none" or bool(status))
