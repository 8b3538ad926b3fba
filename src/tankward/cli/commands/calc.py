"""`tankward calc NAME key=value ...`: every calculation, with its working."""

from __future__ import annotations

import sys
from typing import Annotated

from cyclopts import App, Parameter

from tankward.desk.calculations import CALCULATIONS
from tankward.quantities.calculation import Calculation
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Taste
from tankward.show.results import CalculationList, CalculationRow, InputRow, NumberResult, number_result

from ..common import Common, cited, pairs


def calculation(name: str) -> Calculation:
    """The calculation of that name.

    Raises
    ------
    BadInput
        If there is none.
    """
    if name not in CALCULATIONS:
        raise BadInput("calculation", name, f"is not one of {', '.join(CALCULATIONS)}.")
    return CALCULATIONS[name]


def row(c: Calculation) -> CalculationRow:
    """A calculation as it is listed."""
    inputs = [
        InputRow(name=i.name, says=i.ask.says, unit=i.unit, example=i.example, optional=i.optional)
        for i in c.inputs
    ]
    return CalculationRow(
        name=c.name,
        purpose=c.purpose,
        group=c.group,
        unit=c.unit,
        formula=c.formula,
        source=c.source,
        inputs=inputs,
    )


def shape_of(c: Calculation) -> str:
    """The line to type, with what has to be given left open."""
    return " ".join(["tankward calc", c.name, *(f"{i.name}=…" for i in c.inputs if not i.optional)])


def help_lines(c: Calculation) -> list[str]:
    """What `tankward calc NAME --help` says."""
    asks = [
        f"  {i.name:<14} {i.ask.says} ({i.example or 'text'})" + (", optional" if i.optional else "")
        for i in c.inputs
    ]
    return [
        c.purpose,
        "",
        *asks,
        "",
        f"  write     {shape_of(c)}",
        f"  gives     {c.unit or 'a number'}",
        f"  formula   {c.formula}",
        f"  source    {c.source}",
    ]


def calc_list(*, common: Common = Common()) -> CalculationList:
    """All calculations."""
    rows = [row(c) for c in CALCULATIONS.values()]
    return CalculationList(
        says=f"{len(rows)} calculations. tankward calc NAME --help tells what each takes.",
        calculations=rows,
        now=common.moment.isoformat(),
    )


def calc(name: str, *given: str, common: Common = Common()) -> NumberResult:
    """Work one thing out: tankward calc redose level=2mg/L now=0.9mg/L volume=54L change=30%.

    Parameters
    ----------
    name
        Which calculation.
    given
        key=value, as a person writes it.
    """
    answer = calculation(name).run(pairs(given), Taste())
    return number_result(answer, cited(answer), common.moment.isoformat())


def add_to(app: App) -> None:
    """Add the family's commands."""
    sub = App(name="calc", help="Work one thing out, with its working.", help_flags=[])
    sub.default(dispatch)
    app.command(sub)


def dispatch(
    *words: Annotated[str, Parameter(allow_leading_hyphen=True)], common: Common = Common()
) -> NumberResult | CalculationList | None:
    """Work one thing out, or list what can be worked out.

    Parameters
    ----------
    words
        Which calculation, and what it needs as name=value; without one, all that there are.
    """
    asked_help = any(w in {"--help", "-h"} for w in words)
    names = [w for w in words if w not in {"--help", "-h"}]
    if not names:
        return calc_list(common=common)
    if asked_help:
        sys.stdout.write("\n".join(help_lines(calculation(names[0]))) + "\n")
        return None
    return calc(names[0], *names[1:], common=common)
