"""The sums of the network against exact inference by a general library for Bayesian networks (pyAgrum).

The library is given every cause as a node of its own, every sign as a noisy OR with leak, every fact with
several answers as a node, and a node that says whether at most three causes are at work.
"""

from itertools import product

import numpy as np
import pyagrum as gum
import pytest

from tankward.judge.inference import Observed, posterior

CAUSES, SIGNS, ANSWERS, MOST = 5, 6, 3, 3


def chances(rng, *shape):
    return rng.uniform(0.02, 0.9, shape)


def drawn(seed):
    """A network of random numbers and what was seen of it."""
    rng = np.random.default_rng(seed)
    answers = rng.dirichlet(np.ones(ANSWERS), CAUSES + 1)  # of each cause, then of none
    return {
        "prior": rng.uniform(0.01, 0.5, CAUSES),
        "shows": chances(rng, SIGNS, CAUSES) * (rng.random((SIGNS, CAUSES)) < 0.6),
        "leak": rng.uniform(0.01, 0.3, SIGNS),
        "answers": answers,
        "states": rng.choice([1, 0, -1], SIGNS),  # seen, absent, not looked for
        "answer": int(rng.integers(ANSWERS)),
    }


def ours(net):
    seen, absent = net["states"] == 1, net["states"] == 0
    given = net["answers"][:, net["answer"]]
    after = posterior(
        Observed(
            odds=(net["prior"] / (1 - net["prior"]))[None],
            seen_miss=1 - net["shows"][seen][None],
            seen_leak=net["leak"][seen][None],
            absent_miss=1 - net["shows"][absent][None],
            absent_leak=net["leak"][absent][None],
            facts=((given[:-1][None], given[-1:]),),
        )
    )
    return np.array([*after.each[0], after.none[0]])


def by_library(net):
    bn = gum.BayesNet()
    causes = [bn.add(gum.LabelizedVariable(f"cause{i}", "", 2)) for i in range(CAUSES)]
    for i, cause in enumerate(causes):
        bn.cpt(cause)[:] = [1 - net["prior"][i], net["prior"][i]]
    asked = {}
    for k in range(SIGNS):
        sign = bn.addNoisyORNet(gum.LabelizedVariable(f"sign{k}", "", 2), float(net["leak"][k]))
        for i in range(CAUSES):
            if net["shows"][k, i] > 0:
                bn.addWeightedArc(causes[i], sign, float(net["shows"][k, i]))
        if net["states"][k] >= 0:
            asked[f"sign{k}"] = int(net["states"][k])
    fact = bn.add(gum.LabelizedVariable("fact", "", ANSWERS))
    few = bn.add(gum.LabelizedVariable("few", "", 2))
    none = bn.add(gum.LabelizedVariable("none", "", 2))
    for cause in causes:
        for node in (fact, few, none):
            bn.addArc(cause, node)
    for at_work in product([0, 1], repeat=CAUSES):
        told = {f"cause{i}": on for i, on in enumerate(at_work)}
        rows = [net["answers"][i] for i, on in enumerate(at_work) if on] or [net["answers"][-1]]
        bn.cpt(fact)[told] = list(np.mean(rows, axis=0))
        bn.cpt(few)[told] = [float(sum(at_work) > MOST), float(sum(at_work) <= MOST)]
        bn.cpt(none)[told] = [float(any(at_work)), float(not any(at_work))]
    engine = gum.LazyPropagation(bn)
    engine.setEvidence(asked | {"fact": net["answer"], "few": 1})
    engine.makeInference()
    return np.array([engine.posterior(name)[1] for name in (*(f"cause{i}" for i in range(CAUSES)), "none")])


@pytest.mark.parametrize("seed", range(40))
def test_random_networks_agree_with_the_library(seed):
    net = drawn(seed)
    assert ours(net) == pytest.approx(by_library(net), rel=1e-9, abs=1e-12)


def test_the_library_sees_a_wrong_sum():
    """A leak forgotten moves the answer by far more than the limit of the test above."""
    net = drawn(1)
    wrong = net | {"leak": net["leak"] * 0.5}
    assert np.abs(ours(wrong) - by_library(net)).max() > 1e-3
