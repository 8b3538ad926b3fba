"""A calculation is one function; its command, help, form and JSON are read off the function itself.

    @calculation("level", unit="mg/L", says="That makes {shown}.", source="none")
    def level(amount: Annotated[float, Ask("mass", "how much active goes in")],
              volume: Annotated[float, Ask("volume", "the water")]) -> Answer: ...

Parameters are floats in the base unit of their dimension (a `text` or a choice is a str; `strength` is a
Strength; `amount` is a pair of value and unit). A range typed for any of them is carried through by computing
at spread points; the 5th and 95th centile come out.
"""

from __future__ import annotations

import inspect
import re
import types
import typing
from collections.abc import Callable, Iterable, Mapping
from typing import Any

import msgspec

from .digits import shown_range
from .faults import BadInput
from .parse import NUMBER, Estimate, Taste, amount, is_unknown, quantity
from .strength import Strength, strength
from .units import BASE, EXAMPLES, plain, unit_of
from .working import Answer, Named

POINTS = 63


class Ask(msgspec.Struct, frozen=True):
    """One input: its dimension (of units.py, or "text", "strength"), what it is, what it may be."""

    dimension: str
    says: str
    at_least: float | None = None
    at_most: float | None = None
    above: float | None = None
    choices: tuple[str, ...] = ()
    synonyms: Mapping[str, str] = {}  # how else people write a choice
    # (dimension, input): what is written in that dimension is handed on to that other input.
    or_as: tuple[str, str] | None = None


class Input(msgspec.Struct, frozen=True, kw_only=True):
    """An input as a face shows it."""

    name: str
    ask: Ask
    optional: bool
    default: Any = None
    parameter: str = ""  # of the function; "as" is as_ there

    @property
    def unit(self) -> str:
        return BASE.get(self.ask.dimension, "")

    @property
    def example(self) -> str:
        return " / ".join(self.ask.choices) or EXAMPLES.get(self.ask.dimension, "")


class Calculation(msgspec.Struct, frozen=True, kw_only=True):
    """A calculation with all that its faces need."""

    name: str
    purpose: str
    unit: str
    formula: str
    source: str
    group: str
    inputs: tuple[Input, ...]
    function: Callable[..., Answer]

    def run(self, given: Mapping[str, str], taste: Taste | None = None) -> Answer:
        """Parse what was typed and compute; ranges are carried through.

        Raises
        ------
        BadInput
            Naming the input, what was typed and what is accepted.
        Refused
            Where the result would harm.
        """
        values = self.parse(given, taste or Taste())
        likely = {k: v.value if isinstance(v, Estimate) else v for k, v in values.items()}
        result = self.function(**likely)
        ranged = {k: v for k, v in values.items() if isinstance(v, Estimate) and v.ranged}
        return self._with_range(result, likely, ranged) if ranged else result

    def parse(self, given: Mapping[str, str], taste: Taste) -> dict[str, Any]:
        known = {i.name: i for i in self.inputs}
        given = _handed_on(known, given)
        for name, text in given.items():
            if name not in known:
                raise BadInput(
                    name,
                    text,
                    f"is not asked for by {self.name}; it takes {', '.join(known)}.",
                )
        for item in self.inputs:
            if not item.optional and not given.get(item.name, "").strip():
                raise BadInput(
                    item.name,
                    "",
                    f"is missing. Write {item.name}={item.example or 'text'}.",
                )
        read = {n: _read(known[n], t, taste) for n, t in given.items() if t.strip()}
        return {known[n].parameter: v for n, v in read.items() if v is not None}

    def _with_range(self, result: Answer, likely: dict[str, Any], ranged: Mapping[str, Estimate]) -> Answer:
        points = [self._at_point(row, likely, ranged) for row in range(POINTS)]
        ends = _ends(points)
        if ends is None:
            return result
        low, high = ends
        says = (
            result.says.replace(result.shown_range, shown_range(low, high, result.unit))
            if result.shown_range != result.shown
            else result.says
        )
        also = tuple(_named_range(n, points) for n in result.also)
        return msgspec.structs.replace(result, low=low, high=high, says=says, also=also)

    def _at_point(self, row: int, likely: dict[str, Any], ranged: Mapping[str, Estimate]) -> Answer:
        """The answer at one of the spread points of what was typed as a range."""
        point = {
            k: e.low + (e.high - e.low) * _spread_point(row, i) for i, (k, e) in enumerate(ranged.items())
        }
        return self.function(**{**likely, **point})


def _ends(found: Iterable[Answer | Named]) -> tuple[float, float] | None:
    """5th centile of the low ends, 95th of the high ends."""
    known = [(x.low, x.high) for x in found if x.low is not None and x.high is not None]
    if not known:
        return None
    return _centile([low for low, _ in known], 0.05), _centile([high for _, high in known], 0.95)


def _named_range(named: Named, points: Iterable[Answer]) -> Named:
    """A number beside the answer, with the range it has over the same points."""
    ends = _ends(n for p in points for n in p.also if n.name == named.name)
    return named if ends is None else msgspec.structs.replace(named, low=ends[0], high=ends[1])


def _spread_point(row: int, dimension: int) -> float:
    """Halton points: evenly spread without a pattern, the same every time."""
    base, index, f, out = (2, 3, 5, 7, 11, 13, 17, 19)[dimension % 8], row + 1, 1.0, 0.0
    while index:
        f /= base
        out += f * (index % base)
        index //= base
    return out


def _centile(values: list[float], share: float) -> float:
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, max(0, round(share * (len(ordered) - 1))))]


def _handed_on(known: Mapping[str, Input], given: Mapping[str, str]) -> dict[str, str]:
    """What was typed, with "15 uL/L" for a level moved to the input that takes it."""
    out = dict(given)
    for name, text in given.items():
        other = known[name].ask.or_as if name in known else None
        if other and other[1] not in given and _written_in(text, other[0]):
            out[other[1]] = out.pop(name)
    return out


def _written_in(text: str, dimension: str) -> bool:
    try:
        quantity(text, dimension)
    except BadInput:
        return False
    return True


def _read(item: Input, text: str, taste: Taste) -> Any:
    ask, name = item.ask, item.name
    if is_unknown(text):
        if item.optional:
            return None
        raise BadInput(name, text, f"has to be known here. Write {item.example}.")
    if ask.choices:
        for choice in ask.choices:
            if plain(text) in {plain(choice), *(plain(k) for k, v in ask.synonyms.items() if v == choice)}:
                return choice
        raise BadInput(name, text, f"is not one of {', '.join(ask.choices)}.")
    if ask.dimension == "text":
        return text.strip()
    if ask.dimension == "strength":
        return strength(text, name, taste)
    if ask.dimension == "amount":
        return amount(text, name, taste)
    if ask.dimension == "shares":
        return tuple(
            check(ask, quantity(part, "share", name, taste).value, name, part) for part in text.split(",")
        )
    if unit_of(name, ask.dimension) and re.fullmatch(NUMBER, text.strip()):
        text = f"{text} {name}"  # days=5, minutes=30: the name says the unit
    found = quantity(text, ask.dimension, name, taste)
    for end in (found.low, found.high):
        check(ask, end, name, text)
    return found.estimate


def check(ask: Ask, value: float, name: str, given: str) -> float:
    """The value if it lies where it may lie.

    Raises
    ------
    BadInput
        Naming the bounds.
    """
    unit = BASE.get(ask.dimension, "")
    share = ask.dimension in {"share", "shares"}
    low, high = (
        (0.0, 1.0) if share and ask.at_least is None and ask.at_most is None else (ask.at_least, ask.at_most)
    )
    if ask.above is not None and value <= ask.above:
        raise BadInput(
            name,
            given,
            f"can't be right: it must be more than {ask.above:g} {unit}.".replace(" .", "."),
        )
    if (low is not None and value < low) or (high is not None and value > high):
        if share:
            raise BadInput(
                name,
                given,
                "can't be right: a share lies between "
                f"{100 * (low or 0):g} and {100 * (1 if high is None else high):g} %.",
            )
        span = (
            f"lies between {low:g} and {high:g}"
            if low is not None and high is not None
            else f"must be at least {low:g}"
            if low is not None
            else f"must be at most {high:g}"
        )
        raise BadInput(name, given, f"can't be right: it {span} {unit}.".replace(" .", "."))
    return value


def calculation(
    name: str, *, unit: str, formula: str, source: str = "none", group: str = "water"
) -> Callable[[Callable[..., Answer]], Calculation]:
    """Make a function into a Calculation; its first docstring line is its purpose."""

    def wrap(function: Callable[..., Answer]) -> Calculation:
        hints = typing.get_type_hints(function, include_extras=True)
        inputs = tuple(_input(p, hints[p.name]) for p in inspect.signature(function).parameters.values())
        purpose = (inspect.getdoc(function) or "").split("\n")[0]
        return Calculation(
            name=name,
            purpose=purpose,
            unit=unit,
            formula=formula,
            source=source,
            group=group,
            inputs=inputs,
            function=function,
        )

    return wrap


def _input(parameter: inspect.Parameter, hint: Any) -> Input:
    ask = _ask_in(hint)
    if ask is None:
        raise TypeError(f"{parameter.name} says nothing of what it is")
    has_default = parameter.default is not inspect.Parameter.empty
    return Input(
        name=parameter.name.rstrip("_").replace("_", "-"),
        ask=ask,
        optional=has_default,
        default=parameter.default if has_default else None,
        parameter=parameter.name,
    )


def _ask_in(hint: Any) -> Ask | None:
    for part in typing.get_args(hint):
        if isinstance(part, Ask):
            return part
        nested = isinstance(part, types.GenericAlias | types.UnionType) or typing.get_origin(part) is not None
        if nested and (found := _ask_in(part)) is not None:
            return found
    return None


__all__ = ["Ask", "Calculation", "Input", "Strength", "calculation", "check"]
