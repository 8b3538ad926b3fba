"""A shape as rows that a keeper can change: each dose, change and siphoning with its instant and amount."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Literal

import msgspec
from msgspec.structs import replace

from tankward.quantities.faults import BadInput, gathered
from tankward.quantities.parse import amount as amount_read
from tankward.quantities.parse import number, quantity
from tankward.room.time import add_hours, hours_between, local, moment
from tankward.treat.course.records import DosePlan
from tankward.treat.course.shape import Changed, Given, Shape, checked

Kind = Literal["siphon", "change", "dose"]  # in the order in which they are done at one instant
ORDER: tuple[Kind, ...] = ("siphon", "change", "dose")
NEXT_H = 24.0  # a row that is added comes a day after the last [our own choice]
ADDED = {"dose": 1.0, "change": 0.3, "siphon": 0.0}
MG_PER_G, ML_PER_L = 1000.0, 1000.0


class Row(msgspec.Struct, frozen=True, kw_only=True):
    """One thing that is done: when, and how much (of a whole dose, of the water)."""

    kind: Kind
    at: datetime
    share: float = 0.0


def rows_of(shape: Shape, start: datetime) -> list[Row]:
    """In order of time."""
    found = [Row(kind="siphon", at=add_hours(start, h)) for h in shape.siphons]
    found += [Row(kind="change", at=add_hours(start, c.at_h), share=c.share) for c in shape.changes]
    found += [Row(kind="dose", at=add_hours(start, d.at_h), share=d.factor) for d in shape.doses]
    return sorted(found, key=lambda r: (r.at, ORDER.index(r.kind)))


def shape_with(rows: Sequence[Row], start: datetime, ends: datetime, like: Shape) -> tuple[Shape, datetime]:
    """The shape of these rows, and when it begins: with the first of them where something is dosed.

    Raises
    ------
    BadInput
        If a row lies before the beginning, after the end, or holds too much.
    """
    begins = min((r.at for r in rows), default=start) if like.doses else start
    if any(r.at < begins for r in rows):
        raise BadInput("at", f"{min(r.at for r in rows):%d %b %H:%M}", "lies before the course begins.")

    def h(at: datetime) -> float:
        return round(hours_between(begins, at), 4)

    made = replace(
        like,
        doses=tuple(sorted(Given(h(r.at), round(r.share, 4)) for r in rows if r.kind == "dose")),
        changes=tuple(sorted(Changed(h(r.at), round(r.share, 6)) for r in rows if r.kind == "change")),
        siphons=tuple(sorted({h(r.at) for r in rows if r.kind == "siphon"})),
        end_h=max(h(ends), 0.0),
    )
    return checked(made), begins


def said_at(at: datetime, zone: str) -> str:
    """As it stands in its field, and is read back from there."""
    return f"{local(at, zone):%Y-%m-%dT%H:%M}"


def said_dose(share: float, full: DosePlan | None, unit: str) -> str:
    """Part of a whole dose in the keeper's own measure; as a share where nothing is known of that."""
    if full is None:
        return f"{100 * share:.4g} %"
    if full.units is not None:
        return f"{full.units * share:.3g} {unit}"
    m = full.measured
    if m.unit == "mg":
        return f"{m.amount * share / MG_PER_G:.3g} g"
    return f"{m.amount * share * ML_PER_L:.3g} mL"


def read_dose(text: str, full: DosePlan | None, unit: str, field: str) -> float:
    """A part of a whole dose from a share, or from an amount in the keeper's own measure.

    Raises
    ------
    BadInput
        If it is neither.
    """
    if text.strip().endswith("%"):
        return quantity(text, "share", field).value
    if full is None:
        raise BadInput(field, text, "is no share of a whole dose. Write it like 50 %.")
    if full.units is not None:
        return _pieces(text, unit, field) / full.units
    value, name = amount_read(text, field)
    if name != full.measured.unit:
        raise BadInput(field, text, f"is not like {said_dose(1.0, full, unit)} or 50 %.")
    return value / full.measured.amount


def _pieces(text: str, unit: str, field: str) -> float:
    """So many sachets; their name may be left out."""
    head, _, word = text.strip().partition(" ")
    if word and word.rstrip("s").lower() not in (unit.rstrip("s").lower(), ""):
        raise BadInput(field, text, f"is not a number of {unit}s, nor a share like 50 %.")
    return float(number(head, field))


def read_rows(
    typed: Mapping[str, str], shape: Shape, start: datetime, full: DosePlan | None, unit: str, now: datetime,
    zone: str,
) -> list[Row]:  # fmt: skip
    """The rows as they were changed; what was not touched stays as exact as it was.

    Raises
    ------
    BadInput
        Of every field that can't be read.
    """
    found: list[Row] = []
    faults: list[BadInput] = []
    for n, row in enumerate(rows_of(shape, start)):
        if typed.get("remove", "") == str(n):
            continue
        try:
            found.append(_changed(row, n, typed, full, unit, now, zone))
        except BadInput as fault:
            faults.append(fault)
    gathered(faults)
    kind = typed.get("add", "")
    if kind in ORDER:
        last = max((r.at for r in found), default=start)
        share = next((r.share for r in reversed(found) if r.kind == kind), ADDED[kind])
        found.append(Row(kind=kind, at=add_hours(last, NEXT_H), share=share))
    return sorted(found, key=lambda r: (r.at, ORDER.index(r.kind)))


def _changed(
    row: Row, n: int, typed: Mapping[str, str], full: DosePlan | None, unit: str, now: datetime, zone: str
) -> Row:
    at_text, much = typed.get(f"at-{n}", ""), typed.get(f"much-{n}", "")
    same_at = not at_text.strip() or at_text.strip() == said_at(row.at, zone)
    at = row.at if same_at else moment(at_text, now, zone, f"at-{n}").at
    share = row.share
    if row.kind == "change" and much.strip() and much.strip() != said_share(row.share):
        share = quantity(much, "share", f"much-{n}").value
    if row.kind == "dose" and much.strip() and much.strip() != said_dose(row.share, full, unit):
        share = read_dose(much, full, unit, f"much-{n}")
    return replace(row, at=at, share=share)


def said_share(share: float) -> str:
    """Of the water, or of the usual food."""
    return f"{100 * share:.4g} %"
