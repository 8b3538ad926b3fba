"""What is known of one thing, from where, how sure, what contradicts it: rows for a page, no sentences."""

from __future__ import annotations

from collections.abc import Iterator

from tankward.knowledge.find import Kind, anything
from tankward.knowledge.known import Facts
from tankward.knowledge.plain import plain
from tankward.knowledge.records.base import NO_SOURCE, Record, Row, Source, Status
from tankward.knowledge.topics import TOPICS, Place, topics
from tankward.knowledge.topics import rows as topic_rows
from tankward.knowledge.walk import rows_of
from tankward.quantities.faults import BadInput

LEFT_OUT = {"source", "status", "where", "note", "value", "low", "high", "unit", "basis", "id"}
DISAGREE = "contradiction"


class Told(Record, frozen=True, kw_only=True):
    """One row of a thing: its table, what it says field by field, its figure, and how sure that is."""

    table: str
    says: dict[str, str]
    value: float | None
    low: float | None
    high: float | None
    unit: str
    basis: str
    source: str
    where: str
    status: Status | None
    note: str
    used: bool  # false: kept as evidence, never drawn or proposed


class Page(Record, frozen=True, kw_only=True):
    """All that is known of one thing, or of a topic."""

    kind: Kind | Place
    id: str
    name: str
    rows: tuple[Told, ...]
    disagree: tuple[Told, ...]
    sources: dict[str, Source]
    statuses: dict[str, int]  # how many rows of each status


def tell(facts: Facts, words: str) -> tuple[Page, ...]:
    """A page for everything these words mean; BadInput when they mean nothing."""
    things = tuple(page(facts, kind, thing) for kind, thing in anything(facts, words))
    named = [
        t for place in TOPICS for t in topics(facts, place) if plain(words) in (plain(t.title), plain(t.id))
    ]
    found = (*things, *(topic_page(facts, t.place, t.id) for t in named))
    if not found:
        raise BadInput("name", words, "is nothing known here; tankward facts lists what is known")
    return found


def page(facts: Facts, kind: Kind, thing: str) -> Page:
    """What is known of one thing."""
    record = thing_of(facts, kind, thing)
    return _page(facts, kind, thing, name_of(record), tuple(_told(facts, record)))


def topic_page(facts: Facts, place: Place, topic: str) -> Page:
    """What is known of a topic of keeping, of water, of food, or of a kit."""
    found = next((t for t in topics(facts, place) if t.id == topic), None)
    if found is None:
        raise BadInput(place, topic, "is no topic known here")
    told = tuple(_row(table, row) for table, row in topic_rows(facts, place, topic))
    name = facts.kits[topic].reads if place == "kit" else found.title
    return _page(facts, place, topic, name, told)


def _page(facts: Facts, kind: Kind | Place, thing: str, name: str, told: tuple[Told, ...]) -> Page:
    return Page(
        kind=kind,
        id=thing,
        name=name,
        rows=tuple(t for t in told if not t.table.startswith(DISAGREE)),
        disagree=tuple(t for t in told if t.table.startswith(DISAGREE)),
        sources={key: facts.sources[key] for t in told for key in t.source.split() if key != NO_SOURCE},
        statuses=_counted(told),
    )


def thing_of(facts: Facts, kind: Kind, thing: str) -> Record:
    """The record of a kind and an id."""
    tables: dict[Kind, dict[str, Record]] = {
        "sign": {**facts.signs},
        "cause": {**facts.causes},
        "substance": {**facts.substances},
        "animal": {**facts.animals},
        "organism": {**facts.organisms},
        "plant": {**facts.plants},
        "feed": {**facts.feeds},
        "context": {**facts.contexts},
        "group": {**facts.groups},
    }
    if thing not in tables[kind]:
        raise BadInput(kind, thing, f"is no {kind} known here")
    return tables[kind][thing]


def name_of(record: Record) -> str:
    """What a person calls it."""
    for field in ("name", "common", "plain", "ask"):
        name = getattr(record, field, "")
        if isinstance(name, str) and name:
            return name
    names = getattr(record, "names", ())
    return names[0] if names else str(getattr(record, "id", ""))


def _told(facts: Facts, record: Record) -> Iterator[Told]:
    for at, row in rows_of(record):
        if isinstance(row, Row) or (at and hasattr(row, "source")):
            yield _row(at.partition(" row ")[0] or "itself", row)
    yield from _meetings(facts, str(getattr(record, "id", "")))


def _meetings(facts: Facts, thing: str) -> Iterator[Told]:
    """What must not meet this substance, and rows of other files that name it."""
    for row in facts.tables.pair:
        if thing in (row.a, row.b):
            yield _row("must not meet", row)


def _row(table: str, row: Record) -> Told:
    return Told(
        table=table,
        says=dict(_says(row)),
        value=_number(row, "value"),
        low=_number(row, "low"),
        high=_number(row, "high"),
        unit=getattr(row, "unit", ""),
        basis=getattr(row, "basis", "") if isinstance(getattr(row, "basis", ""), str) else "",
        source=getattr(row, "source", NO_SOURCE),
        where=getattr(row, "where", ""),
        status=getattr(row, "status", None),
        note=getattr(row, "note", ""),
        used=bool(getattr(row, "use", True)) and bool(getattr(row, "recommended", True)),
    )


def _says(row: Record) -> Iterator[tuple[str, str]]:
    """Every other field that holds something, as text."""
    for field, written in zip(row.__struct_fields__, row.__struct_encode_fields__, strict=True):
        value = getattr(row, field)
        plain_value = value if not isinstance(value, tuple) else _joined(value)
        if field in LEFT_OUT or plain_value in ("", None, {}) or isinstance(plain_value, Record | dict):
            continue
        yield written, _text(plain_value)


def _joined(values: tuple[object, ...]) -> str:
    return "" if any(isinstance(v, Record) for v in values) else ", ".join(_text(v) for v in values)


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _number(row: Record, field: str) -> float | None:
    value = getattr(row, field, None)
    return float(value) if isinstance(value, int | float) else None


def _counted(told: tuple[Told, ...]) -> dict[str, int]:
    statuses = [t.status for t in told if t.status]
    return {status: statuses.count(status) for status in dict.fromkeys(statuses)}
