"""The next question: the one that tells most, at most a dozen, never one that was asked."""

import itertools

import msgspec
import numpy as np
import pytest

from tankward.judge.asking import information_of, next_question
from tankward.judge.inference import Posterior
from tankward.judge.network_of import network_of
from tankward.judge.told import evidence_of
from tankward.knowledge.loader import load

FACTS = load()
NET = network_of(FACTS)


def asked_of(evidence):
    """The questions that come while everything is answered with "not there", "days", "some"."""
    asked = []
    while question := next_question(evidence, NET, FACTS, asked):
        asked.append(question.id)
        answer = {"onset": {"onset": "days"}, "share": {"share": "some"}}.get(question.id)
        answer = answer or {"absent": (*evidence.absent, question.id)}
        evidence = msgspec.structs.replace(evidence, **answer)
    return asked


@pytest.mark.parametrize("seen", [[], ["white_stringy_faeces", "belly_sunken"]])
def test_at_most_a_dozen_and_none_twice(seen):
    asked = asked_of(evidence_of(seen, [], FACTS))
    assert 6 <= len(asked) <= 12
    assert len(set(asked)) == len(asked)
    assert not set(asked) & set(seen)


def test_what_was_skipped_or_is_not_known_is_not_asked_again():
    evidence = evidence_of(["lethargy"], [], FACTS)
    first = next_question(evidence, NET, FACTS, ())
    second = next_question(evidence, NET, FACTS, (first.id,))
    assert second.id != first.id
    unsure = msgspec.structs.replace(evidence, unsure=(second.id,), onset="days", share="some")
    assert next_question(unsure, NET, FACTS, ()).id != second.id


def test_none_is_asked_that_tells_more_a_minute_than_the_first():
    evidence = evidence_of(["flashing"], [], FACTS)
    asked, rates = [], []
    for _ in range(5):
        question = next_question(evidence, NET, FACTS, asked)
        asked.append(question.id)
        rates.append(question.gain_per_minute)
    assert rates == sorted(rates, reverse=True)


def test_what_a_fact_with_three_answers_tells_is_its_mutual_information():
    """By hand from the joint table: two causes, none and both together, three answers."""
    rng = np.random.default_rng(4)
    weights = rng.random(4)
    weights /= weights.sum()
    none, first, second, both = weights
    given, bare = rng.dirichlet((1, 1, 1), size=2), rng.dirichlet((1, 1, 1))
    after = Posterior(
        none=np.array([none]), one=np.array([[first, second]]), two=np.array([[[0.0, both], [0.0, 0.0]]]),
        three=np.zeros((1, 2)),
    )  # fmt: skip
    columns = [(given[None, :, k], bare[None, k]) for k in range(3)]
    rows = [bare, given[0], given[1], given.mean(axis=0)]
    joint = np.array([w * row for w, row in zip(weights, rows, strict=True)])
    by_hand = sum(
        p * np.log2(p / (joint[i].sum() * joint[:, k].sum()))
        for i, k in itertools.product(range(4), range(3))
        if (p := joint[i, k]) > 0
    )
    assert information_of(after, columns) == pytest.approx(by_hand, abs=1e-12)
