"""Words for looking at the animals: where, which sign, and what it is taken for."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from tankward.knowledge.known import Facts
from tankward.knowledge.records.cause import Sign

from .signs import clinical_words, sign_words

# What can be touched, in the order of a list; the places of the fish first.
PLACES: Mapping[str, str] = {
    "mouth": "Mouth",
    "eye": "Eyes",
    "head": "Head",
    "gills": "Gills",
    "back": "Back",
    "body": "Side",
    "belly": "Belly",
    "vent": "Vent",
    "fins": "Fins",
    "tail": "Tail",
    "swims": "It swims oddly",
    "eats": "Eating, growing, dying",
    "shrimp": "Shrimp or snails",
    "water": "The water",
}
ON_THE_FISH = tuple(PLACES)[:10]
GROUPS = {
    "swims": ("swimming", "behaviour", "breathing"),
    "eats": ("appetite", "deaths", "breeding", "growth", "share"),
}
OF_SHRIMP = ("shrimp_snails_ill",)
ASKED_APART = ("one_fish_only", "all_species")  # "how many have it?" asks these
NO_LOOK_ALIKE = ("", "-", "none", "never", "never for long", "rare", "bright red", "earthy")


def signs_of(place: str, facts: Facts) -> list[str]:
    """The signs that are looked for in a place; none for a place that is not known."""
    found = [s for s in facts.signs.values() if s.id not in ASKED_APART and _is_in(place, s)]
    return [s.id for s in sorted(found, key=lambda s: s.zone not in (place, "fins", "none"))]


def _is_in(place: str, sign: Sign) -> bool:
    if place == "shrimp":
        return sign.id in OF_SHRIMP
    if place == "water":
        return sign.group == "tank" and sign.id not in OF_SHRIMP
    if place in GROUPS:
        return sign.zone == "none" and sign.group in GROUPS[place]
    if place == "belly":
        return sign.zone == "belly" or sign.group == "belly"
    return sign.zone == {"tail": "fins"}.get(place, place)


def sign_head(sign: str, facts: Facts) -> str:
    """A sign as a heading."""
    return _upper(sign_words(sign, facts))


def sign_line(sign: str, facts: Facts) -> str:
    """How to look, what it must not be taken for, and its clinical name."""
    record = facts.signs[sign]
    parts = [] if _alike(record.plain, sign_words(sign, facts)) else [record.plain]
    parts += [record.look] if record.look not in ("", "-") else []
    told = ". ".join(_upper(p) for p in parts)
    normal = record.normal.removeprefix("never; ").removeprefix("none; ")
    usual = "" if normal in NO_LOOK_ALIKE else f"Usual: {normal}"
    clinical = clinical_words(sign, facts)
    behind = f"Vets call it {clinical}" if clinical else ""
    return ". ".join(p.rstrip(".") for p in (told, usual, behind) if p) + "."


def _alike(one: str, other: str) -> bool:
    """Whether two names say nearly the same, so that one is enough."""
    first, second = (set(re.findall(r"[a-z]+", text.lower())) for text in (one, other))
    return len(first & second) >= SAME * min(len(first), len(second)) and len(first) <= len(second) + 1


SAME = 0.7  # share of the words [our own choice]


def counted(seen: Iterable[str], absent: Iterable[str], unsure: Iterable[str]) -> str:
    """How far a place was looked at: "2 seen, 2 not there"."""
    numbers = ((len(list(seen)), "seen"), (len(list(absent)), "not there"), (len(list(unsure)), "not known"))
    return ", ".join(f"{n} {words}" for n, words in numbers if n)


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def place_of(sign: str, facts: Facts) -> str:
    """The first place in which a sign is looked for."""
    return next((p for p in PLACES if p != "tail" and sign in signs_of(p, facts)), "")
