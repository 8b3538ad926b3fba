"""Two plain ways of ranking causes, to be held beside ours in the same run."""

import numpy as np


def by_prior(net):
    """The causes as common as they are, whatever was seen: id -> chance, adding up to 1."""
    return _shared({c.id: sum(c.prior) / 2.0 for c in net.causes})


def naive(evidence, net):
    """Naive Bayes: one cause at work, each sign, answer and test on its own, middles of all ranges.

    Context and signs against are left out: they are rows of odds that this kind of sum does not know.
    """
    weight = {}
    for cause in net.causes:
        w = sum(cause.prior) / 2.0
        for sign in evidence.seen:
            w *= _shows(cause, sign, net)
        for sign in evidence.absent:
            w *= 1.0 - _shows(cause, sign, net)
        if evidence.onset in cause.course:
            w *= _answer(cause.course, evidence.onset)
        if evidence.share in cause.share:
            w *= _answer(cause.share, evidence.share)
        for outcome in evidence.tests:
            w *= _tested(cause, outcome, net)
        weight[cause.id] = w
    return _shared(weight)


def _shows(cause, sign, net):
    leak = sum(net.leak[sign]) / 2.0 if sign in net.leak else 0.0
    own = sum(cause.sign[sign]) / 2.0 if sign in cause.sign else 0.0
    return 1.0 - (1.0 - own) * (1.0 - leak)


def _answer(row, answer):
    return sum(row[answer]) / sum(sum(pair) for pair in row.values())


def _tested(cause, outcome, net):
    test = next(t for t in net.cause(outcome.cause).tests if t.name == outcome.test)
    positive = sum(test.sensitivity) / 2.0 if cause.id == outcome.cause else 1.0 - sum(test.specificity) / 2.0
    return positive if outcome.positive else 1.0 - positive


def _shared(weight):
    total = sum(weight.values())
    return {name: w / total for name, w in sorted(weight.items(), key=lambda row: (-row[1], row[0]))}


def log_score(chance):
    """-ln of the chance given to what was confirmed; lower is better."""
    return float(-np.log(max(chance, 1e-12)))
