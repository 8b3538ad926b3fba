"""The walk in an address: what was seen and told goes from page to page without being kept."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any
from urllib.parse import urlencode

from starlette.datastructures import QueryParams

from tankward.desk.walk import Walk, signs
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput

SIGN = "sign-"  # a radio group of a sign is named so, with its id behind it
ANSWERS = ("seen", "absent", "unsure")
LISTS = {"seen": "seen", "not-seen": "absent", "unsure": "unsure"}  # name in the address -> field
CHOICES = {
    "belly": ("1", "2", "3", "4", "5"),
    "onset": ("hours", "days", "weeks", "unsure"),
    "share": ("one", "some", "most", "unsure"),
    "eating": ("yes", "less", "no", "unsure"),
}
COUNT = "n-"  # how many fish show a sign, with its id behind it
COUNTED = {"looked-at": "looked_at", "beats": "beats", "beats-well": "beats_well"}  # name -> field
TEXTS = ("history", "animals", "volume", "water", "region")
ASKS = "asks"  # the question that a page asks; once it is sent, it was asked
FACTS_ASKED = ("onset", "share")  # asked one by one like signs
LONGEST = 2_000  # characters of one typed line


def walk_of(query: QueryParams, facts: Facts) -> Walk:
    """What an address tells. A sign answered on the page stands over what came with the address.

    Raises
    ------
    BadInput
        For a sign, an answer or a choice that is not known.
    """
    told = {field: dict.fromkeys(signs(query.getlist(name), facts)) for name, field in LISTS.items()}
    for name, answer in query.multi_items():
        if name.startswith(SIGN):
            sign = signs([name.removeprefix(SIGN)], facts)[0]
            for field in told.values():
                field.pop(sign, None)
            told[_one_of("sign", answer, ANSWERS)][sign] = None
    counts = _counts(query, facts, told["seen"])
    numbers = {field: _short(name, query.get(name, "")) for name, field in COUNTED.items()}
    chosen = {name: _one_of(name, query.get(name, ""), ("", *known)) for name, known in CHOICES.items()}
    typed = {name: _short(name, query.get(name, "")) for name in TEXTS}
    gone = tuple(w for text in query.getlist("gone") for w in text.split(",") if w)
    said: dict[str, Any] = {field: tuple(ids) for field, ids in told.items()}
    return Walk(**(said | chosen | typed | numbers), counts=counts, gone=gone, asked=_asked(query, facts))


def _counts(query: QueryParams, facts: Facts, seen: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """How many fish show each sign that was seen; "counts=white_spots 3;flashing 2" or a field for each."""
    typed = [(name.removeprefix(COUNT), text) for name, text in query.multi_items() if name.startswith(COUNT)]
    kept = [part.rpartition(" ")[::2] for part in query.get("counts", "").split(";") if part.strip()]
    found = {signs([word], facts)[0]: _short("counts", text) for word, text in [*kept, *typed] if word}
    there = set(seen)
    return tuple((sign, text) for sign, text in found.items() if text and sign in there)


def _asked(query: QueryParams, facts: Facts) -> tuple[str, ...]:
    """What was asked one by one, without what was asked twice."""
    known = {*facts.signs, *FACTS_ASKED}
    asked = [w for text in (*query.getlist("asked"), *query.getlist(ASKS)) for w in text.split(",") if w]
    for word in asked:
        if word not in known:
            raise BadInput("asked", word, "is nothing that is asked here.")
    return tuple(dict.fromkeys(asked))


def _one_of(field: str, text: str, known: Iterable[str]) -> str:
    if text not in known:
        raise BadInput(field, text, f"is not one of {', '.join(k for k in known if k)}.")
    return text


def _short(field: str, text: str) -> str:
    if len(text) > LONGEST:
        raise BadInput(field, text, f"is too long: {LONGEST} characters at most.")
    return text.strip()


def pairs_of(walk: Walk, without: Iterable[str] = ()) -> list[tuple[str, str]]:
    """The same as names and values, for hidden fields; signs in `without` are asked on the page itself."""
    asked = set(without)
    rows = []
    for name, field in LISTS.items():
        if kept := [s for s in getattr(walk, field) if s not in asked]:
            rows.append((name, ",".join(kept)))
    if counts := [f"{sign} {n}" for sign, n in walk.counts if sign not in asked]:
        rows.append(("counts", ";".join(counts)))
    rows += [(name, getattr(walk, field)) for name, field in COUNTED.items() if getattr(walk, field)]
    rows += [(name, getattr(walk, name)) for name in (*CHOICES, *TEXTS) if getattr(walk, name)]
    rows += [("asked", ",".join(walk.asked))] if walk.asked else []
    return rows + ([("gone", ",".join(walk.gone))] if walk.gone else [])


def address(path: str, walk: Walk | None = None, more: Mapping[str, str] | None = None) -> str:
    """A path with the walk behind it."""
    pairs = [*(pairs_of(walk) if walk else ()), *((k, v) for k, v in (more or {}).items() if v)]
    return f"{path}?{urlencode(pairs, safe=',')}" if pairs else path
