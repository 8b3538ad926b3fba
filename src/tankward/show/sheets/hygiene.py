"""From a way of making clean to the sheet on the wall."""

from __future__ import annotations

from collections.abc import Iterable

from tankward.knowledge.known import Facts
from tankward.show.words import hygiene as words

from .records import Clean, Foot, HygieneSheet
from .tub import lines


def hygiene_sheet(
    given: words.Wanted, facts: Facts, *, tank: str, sources: Iterable[str], foot: Foot
) -> HygieneSheet:
    """The sheet, every sentence said; `tank` is "" where it is for all nets."""
    return HygieneSheet(
        title=f"{tank}: {words.TITLE.lower()}" if tank else words.TITLE,
        foot=foot,
        finding=words.finding(given),
        why=words.why(given, facts),
        order_heading="In this order, each ticked before the next",
        order=_clean(words.order(given)),
        never_heading="Never",
        never=words.NEVER,
        instead_heading="Or, instead of bleach",
        instead=_clean(words.instead(given)),
        round_heading="So that nothing is carried on",
        round=_told(words.CARRIED),
        dead_heading="A dead one is evidence",
        dead=_told(words.DEAD),
        working_heading="How we got this",
        working=tuple(lines(given.amount.how)),
        notes=(
            *(() if given.strength_known else (words.OLD_BLEACH,)),
            words.PRACTICE,
            *(f"{s}." for s in sources),
        ),
    )


def _clean(rows: Iterable[tuple[str, str, str, str]]) -> tuple[Clean, ...]:
    return tuple(Clean(head=head, how=how, hazard=hazard, sure=sure) for head, how, hazard, sure in rows)


def _told(rows: Iterable[tuple[str, str]]) -> tuple[Clean, ...]:
    return tuple(Clean(head=head, how=how) for head, how in rows)
