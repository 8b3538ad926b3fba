"""The hygiene sheet."""

from __future__ import annotations

from tankward.desk.hygiene import Hygiene, hygiene_wanted
from tankward.desk.sources import titles
from tankward.show.sheets.hygiene import hygiene_sheet
from tankward.show.sheets.records import HygieneSheet

from .sheet import Asked, Sheet


def worked(asked: Asked) -> Hygiene:
    """The way of making clean that is asked about."""
    room = asked.desk.room()
    tank = asked.tank.id if asked.tank else ""
    return hygiene_wanted(room, tank, asked.typed, asked.now, asked.facts, room.kit.taste)


def sources_of(given: Hygiene) -> list[str]:
    """What it rests on, each once."""
    keys = [b.source for b in given.plan.baths]
    return [*keys, given.alcohol[2], given.clean_first[0], *given.amount.source_keys()]


def record(asked: Asked) -> HygieneSheet:
    given = worked(asked)
    return hygiene_sheet(
        given,
        asked.facts,
        tank=asked.tank.name if asked.tank else "",
        sources=[f"{key}: {title}" for key, title, _ in titles(sources_of(given), asked.facts) if title],
        foot=asked.foot("" if asked.tank else "Hygiene, for all tanks"),
    )


SHEET = Sheet(
    name="hygiene",
    title="Hygiene",
    use="for the wall: how nets and hoses are made clean, step by step, with your own bleach",
    about="either",
    layout="hygiene",
    record=record,
    page="/hygiene",
    asks=(
        ("against", "general, wasting, worm_eggs, mycobacteria, or a cause"),
        ("strength", "chlorine in your bleach, like 5 %"),
        ("volume", "water of the bath, like 10 L"),
    ),
)
