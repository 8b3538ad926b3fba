"""How long the facts take: from the kept copy, and a word looked up in them."""

from run import within

from tankward.knowledge.find import find_sign
from tankward.knowledge.loader import FOLDER, load
from tankward.knowledge.temperature import parameters


@within(0.1)
def bench_load_from_the_kept_copy():
    return lambda: load(FOLDER)


@within(0.005)
def bench_find_a_word():
    facts = load()
    return lambda: find_sign(facts, "pine cone")


@within(0.05)
def bench_parameters_of_an_organism():
    organism = load().organisms["ichthyophthirius"]
    return lambda: parameters(organism)
