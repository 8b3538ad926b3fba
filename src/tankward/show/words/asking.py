"""Words of the questions that are asked one after the other."""

from __future__ import annotations

from collections.abc import Mapping

from tankward.judge.causes import Ranking
from tankward.knowledge.known import Facts

from .causes import short_name
from .chance import chance_words

FACT_ASKED: Mapping[str, str] = {"onset": "How fast did it come?", "share": "How many have it?"}
FACT_ANSWERS: Mapping[str, tuple[tuple[str, str], ...]] = {
    "onset": (("hours", "Hours"), ("days", "Days"), ("weeks", "Weeks"), ("unsure", "Don't know")),
    "share": (("one", "One"), ("some", "Some"), ("most", "Most"), ("unsure", "Don't know")),
}
SHOWN = 3  # causes told while asking


def count_words(number: int, most: int) -> str:
    """Which question this is."""
    return f"Question {number} of at most {most}."


def so_far(ranking: Ranking, facts: Facts) -> list[tuple[str, str]]:
    """The likeliest causes, each with its chance in words; something not on the list is always among them."""
    rows = [(short_name(r.id, facts), chance_words(r.low, r.high, r.value)) for r in ranking.ranked[:SHOWN]]
    other = ranking.unlisted
    told = chance_words(other.low, other.high, other.value)
    named = [(name[:1].upper() + name[1:], chance) for name, chance in rows]
    return [*named, ("Something not on this list", told)]
