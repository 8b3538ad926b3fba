"""What is known of a thing, for a page: its finding, its rows by what they are of, what is not known."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from tankward.knowledge.bears import Bears, bears_of
from tankward.knowledge.find import KINDS, Kind
from tankward.knowledge.known import Facts
from tankward.knowledge.linked import Link
from tankward.knowledge.looked_up import Where
from tankward.knowledge.records.base import Record
from tankward.knowledge.tell import Page, Told, name_of, thing_of

from .acts import listed, upper
from .know_rows import CLASS_WORDS, NOT_MEASURED, FactRow, fact_row, number_words
from .know_tables import (
    EXPECTED,
    FIELDS,
    FIRST,
    FOLDED,
    GROUPS,
    LAST,
    MARK,
    OF_KIND,
    OPEN,
    QUANTITIES,
    TITLES,
    USES,
)
from .remedies import substance_name
from .signs import sign_words
from .status import status_words


class LinkRow(msgspec.Struct, frozen=True, kw_only=True):
    """A thing that belongs to this one. `soft`: how much."""

    name: str
    url: str
    soft: str = ""


class Section(msgspec.Struct, frozen=True, kw_only=True):
    """Rows of one table. `folded`: shown at a touch."""

    title: str
    rows: list[FactRow]
    folded: bool


class Parted(msgspec.Struct, frozen=True, kw_only=True):
    """Two claims that disagree, and which is used here."""

    topic: str
    one: str
    other: str
    used: str
    sources: tuple[str, ...]


class BearsRow(msgspec.Struct, frozen=True, kw_only=True):
    """How an animal bears a substance."""

    kind: str  # of the mark
    name: str
    url: str
    words: str
    soft: str


def url_of(kind: Where, thing: str) -> str:
    """The address of a thing's page."""
    return f"/know/{kind}-{thing}"


def thing_name(facts: Facts, kind: Where, thing: str) -> str:
    """What a person calls it."""
    match kind:
        case "substance":
            return substance_name(thing, facts)
        case "sign":
            return sign_words(thing, facts)
        case "kit":
            return facts.kits[thing].id.replace("_", " ")
        case "hygiene" | "water" | "food":
            return thing.replace("_", " ")
    return name_of(thing_of(facts, _kind(kind), thing))


def _kind(kind: Where) -> Kind:
    return next(known for known in KINDS if known == kind)


def latin_of(facts: Facts, kind: Where, thing: str) -> str:
    """The Latin name, where it is another one."""
    if kind == "animal":
        return facts.animals[thing].scientific
    if kind == "plant":
        return facts.plants[thing].scientific
    if kind == "organism":
        return ", ".join(facts.organisms[thing].common)
    return ""


def heading(page: Page, facts: Facts) -> str:
    """The finding of a thing's page."""
    name = upper(page.name)
    if page.kind == "substance":
        return f"{upper(substance_name(page.id, facts))}: {USES[facts.substances[page.id].use]}"
    if page.kind in ("animal", "plant"):
        return _killed_by(name, page, facts)
    if page.kind == "cause":
        return f"{name}. The first look: {facts.causes[page.id].first_look}"
    return name


def _killed_by(name: str, page: Page, facts: Facts) -> str:
    group = facts.animals[page.id].group if page.kind == "animal" else facts.plants[page.id].group
    deadly = [b for b in bears_of(facts, group) if b.bearing.cls == "lethal"]
    if not deadly:
        return f"{name}: what it needs and what it bears"
    names = [substance_name(b.bearing.substance, facts) for b in deadly]
    kept = listed(names) if len(names) <= 2 else f"{names[0]} and {len(names) - 1} other substances"
    return f"{name}: {kept} {'kills' if len(names) == 1 else 'kill'} it"


def counted(page: Page) -> str:
    """How many things are known, and how sure they are."""
    every = sum(page.statuses.values())
    parts = [f"{n} {status_words(status)}" for status, n in page.statuses.items()]
    things = "One thing is" if every == 1 else f"{every} things are"
    told = f"{things} known of it: {listed(parts)}." if every else "Nothing is known of it yet."
    if page.disagree:
        n = len(page.disagree)
        told += f" Sources disagree in {'one place' if n == 1 else f'{n} places'}."
    return told


def sections(page: Page, facts: Facts) -> list[Section]:
    """The rows by table, what a keeper asks first first, in the words of a page."""
    tables: dict[str, list[Told]] = {}
    for told in page.rows:
        if told.table in ("itself", "sensitivity") and page.kind in ("animal", "plant", "sign", "feed"):
            continue
        tables.setdefault(_table(told, page), []).append(told)
    order = sorted(tables, key=lambda t: (_place(t), t))
    return [
        Section(
            title=_title(t),
            rows=[fact_row(told, facts) for told in tables[t]],
            folded=len(tables[t]) > FOLDED and t not in OPEN,
        )
        for t in order
    ]


def _table(told: Told, page: Page) -> str:
    if page.kind == "water" and told.table == "fact":
        return told.says["topic"]
    return told.table.partition(",")[0]


def _place(table: str) -> int:
    if table in FIRST:
        return FIRST.index(table)
    return 100 + LAST.index(table) if table in LAST else 50


def _title(table: str) -> str:
    return TITLES.get(table) or upper(table.replace("_", " "))


def parted(page: Page, facts: Facts) -> list[Parted]:
    """Where sources disagree, and what is used here."""
    return [
        Parted(
            topic=upper(t.says.get("topic", "")), one=t.says.get("one", t.says.get("statement", "")),
            other=t.says.get("other", ""), used=t.says.get("use", ""),
            sources=tuple(k for k in t.source.split() if k != "none"),
        )
        for t in page.disagree
    ]  # fmt: skip


def link_groups(links: Iterable[Link], kind: Where, facts: Facts) -> list[tuple[str, list[LinkRow]]]:
    """Links by what they are."""
    found: dict[str, list[LinkRow]] = {}
    for link in links:
        title = OF_KIND.get((link.group, kind)) or GROUPS[link.group]
        name = upper(thing_name(facts, link.kind, link.id))
        found.setdefault(title, []).append(
            LinkRow(name=name, url=url_of(link.kind, link.id), soft=_chance(link))
        )
    return list(found.items())


def _chance(link: Link) -> str:
    if link.low is None or link.high is None:
        return ""
    low, high = round(100 * link.low), round(100 * link.high)
    told = f"{low} of 100" if low == high else f"{low} to {high} of 100"
    return f"seen in {told} ({status_words(link.status)})"


def bears_rows(found: Iterable[Bears], facts: Facts) -> tuple[list[BearsRow], list[BearsRow]]:
    """What an animal bears: known, and not known."""
    rows = [(b.bearing.cls, _bears(b, facts)) for b in found]
    return [r for cls, r in rows if cls != "unknown"], [r for cls, r in rows if cls == "unknown"]


def _bears(found: Bears, facts: Facts) -> BearsRow:
    one = found.bearing
    measured = one.status in ("published-read", "computed")
    # A class that is only recalled never says that it is borne.
    recalled = one.cls == "ok" and not measured
    told = []
    if one.cls != "unknown":
        told.append(status_words(one.status))
    if one.decided_by != one.substance:
        told.append(f"by its part {substance_name(one.decided_by, facts)}")
    if found.measured is not None and found.measured.span:
        low, high = found.measured.span
        figure = number_words(None, low, high)
        of = "of its own kind" if found.near == "own species" else "of a relative"
        told.append(f"{found.measured.endpoint} {figure} {found.measured.unit}, {of}")
    return BearsRow(
        kind="unknown" if recalled else MARK[one.cls],
        name=upper(substance_name(one.substance, facts)), url=url_of("substance", one.substance),
        words=NOT_MEASURED if recalled else CLASS_WORDS[one.cls], soft="; ".join(told),
    )  # fmt: skip


def not_known(page: Page, facts: Facts) -> list[str]:
    """What nobody has told us of it."""
    tables = {t.table.partition(",")[0] for t in page.rows}
    missing = [words for table, words in EXPECTED.get(page.kind, ()) if table not in tables]
    if page.kind == "animal":
        told = {t.says.get("quantity", "") for t in page.rows}
        missing = [words for q, words in QUANTITIES.items() if q not in told] + missing
    if page.kind == "substance":
        known = {s.group for s in facts.substances[page.id].sensitivity}
        groups = [g.name for i, g in facts.groups.items() if i not in known]
        if groups and not facts.substances[page.id].parts:
            missing.append(f"how it is borne by {listed(groups)}")
    return [upper(m) for m in missing]


def short_rows(page: Page, record: Record, facts: Facts) -> list[tuple[str, str]]:
    """What a thing is, field by field: for what a keeper asks of it first."""
    found = []
    for name, label in FIELDS.get(page.kind, ()):
        value = getattr(record, name, "")
        text = (
            ", ".join(map(str, value))
            if isinstance(value, tuple)
            else f"{value:g}"
            if isinstance(value, float)
            else str(value or "")
        )
        if text and text not in ("-", "none"):
            found.append((label, upper(text.replace("_", " "))))
    return found


def _said(value: object) -> str:
    if isinstance(value, tuple):
        return ", ".join(map(str, value))
    return f"{value:g}" if isinstance(value, float) else str(value or "")
