"""The calculations by what a keeper asks, in the order in which it is asked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tankward.knowledge.plain import plain
from tankward.quantities.calculation import Calculation

QUESTIONS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("How much to give?", ("dose", "level", "bath", "stock-solution", "copper")),
    ("How much to put back, and what is left?",
     ("redose", "wash-out", "dilute-out", "build-up", "half-life", "cycle")),
    ("How do I measure it?", ("measure", "dilute", "bleach", "convert")),
    ("How much water is it?", ("volume", "volume-by-salt", "evaporation")),
    ("Is the water poisonous?", ("ammonia", "ammonia-criterion", "ammonia-made", "salt-for-nitrite", "tub")),
    ("What goes into new water?", ("dechlorinate", "match-water", "mix-water")),
    ("How hard, how salty?", ("hardness", "buffer", "alkalinity-use", "salinity")),
    ("Is there enough air?", ("oxygen-saturation", "oxygen-use", "carbon-dioxide")),
    ("How much food, and what is in it?", ("biomass", "ration", "medicated-feed", "feed-dose")),
)  # fmt: skip
# What else people call it while they look.
ALSO = {
    "volume": "litres gallons size tank water line",
    "volume-by-salt": "litres gallons conductivity tracer",
    "dose": "medicine sachet packet amount",
    "level": "strength medicine concentration ppm",
    "bath": "dip tub",
    "redose": "put back water change top up",
    "wash-out": "fading left change",
    "measure": "spoon scale syringe drops weigh",
    "cycle": "egg to egg, how often, days between doses, parasite life",
    "ammonia": "NH3 toxic free",
    "dechlorinate": "chloramine tap conditioner",
    "hardness": "GH minerals",
    "buffer": "KH alkalinity bicarbonate soda",
    "medicated-feed": "gel pellets drug",
    "convert": "ppm dKH gallons Fahrenheit hydrate units",
    "oxygen-saturation": "air gas",
}
REST = "What else?"  # a calculation that no question names yet

Groups = list[tuple[str, list[Calculation]]]


def by_question(calculations: Mapping[str, Calculation]) -> Groups:
    """Every calculation once, under the question that it answers."""
    named = {name for _, names in QUESTIONS for name in names}
    groups = [(ask, [calculations[n] for n in names if n in calculations]) for ask, names in QUESTIONS]
    rest = [c for name, c in calculations.items() if name not in named]
    return [(ask, rows) for ask, rows in (*groups, (REST, rest)) if rows]


def fitting(groups: Groups, words: str) -> Groups:
    """Only those that speak of all the words, in the beginning of one of theirs."""
    wanted = plain(words).split()
    found = [(ask, [c for c in rows if _speaks_of(c, ask, wanted)]) for ask, rows in groups]
    return [(ask, rows) for ask, rows in found if rows]


def _speaks_of(one: Calculation, ask: str, wanted: Iterable[str]) -> bool:
    spoken = (
        one.name,
        one.purpose,
        ask,
        one.group,
        ALSO.get(one.name, ""),
        *(i.ask.says for i in one.inputs),
    )
    told = plain(" ".join(spoken)).split()
    return all(any(word.startswith(w) for word in told) for w in wanted)
