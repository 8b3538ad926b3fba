"""What a worried keeper waits for: the causes with their ranges, the next question, what can be done."""

from __future__ import annotations

from collections.abc import Callable

from run import within

from tankward.desk.remedy import remedies_said
from tankward.desk.walk import Walk, read
from tankward.judge.asking import next_question
from tankward.judge.causes import causes
from tankward.judge.network_of import network_of
from tankward.judge.told import evidence_of
from tankward.knowledge.loader import load

SEEN = ["white_stringy_faeces", "belly_sunken", "lethargy", "clamped_fins"]
ABSENT = ["worms_at_vent", "white_spots", "flashing"]
ANIMALS = "8 kuhli_loach 8cm; 12 harlequin_rasbora 3.5cm; 30 cherry_shrimp; moss"
WATER = "ammonia 0 mg/L as N, nitrite 0 mg/L as N, pH 7.0, 24C, KH 4 dKH"


@within(seconds=0.1)
def bench_causes() -> Callable[[], object]:
    """Every cause with its range: 256 draws, up to three causes together."""
    facts = load()
    network, evidence = network_of(facts), evidence_of(SEEN, ABSENT, facts, onset="weeks", share="some")
    return lambda: causes(evidence, network)


@within(seconds=0.2)
def bench_next_question() -> Callable[[], object]:
    """The question that tells most of all signs left."""
    facts = load()
    network, evidence = network_of(facts), evidence_of(SEEN, ABSENT, facts)
    return lambda: next_question(evidence, network, facts, ())


@within(seconds=0.2)
def bench_options() -> Callable[[], object]:
    """What can be done about one cause, judged against everyone who lives there."""
    facts = load()
    told = read(Walk(animals=ANIMALS, volume="58 L", water=WATER), facts)
    return lambda: remedies_said(("white_spot",), told, facts, region="", gone=())
