"""From evidence to chances: each sign, test and fact as the likelihood it has under each cause."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from .context import Row, moved_by, odds_factor, survey_rows
from .draws import DRAWS, Array, chance, factor
from .evidence import Evidence, Happened
from .inference import Observed
from .network import ONSETS, SHARES, Cause, Network, answers, leak, prior_odds, shows
from .trend import TRENDS, trend_column

Column = tuple[Array, Array]  # (chance that each cause does not show it, chance that it is there with none)


def observed(evidence: Evidence, net: Network) -> Observed:
    """The evidence as chances, ready for the sums."""
    odds = prior_odds(net)
    for i, cause in enumerate(net.causes):
        odds[:, i] *= odds_factor(cause.id, counting(cause, evidence, net)) * spoken_against(cause, evidence)
    there, gone = columns(evidence, net, there=True), columns(evidence, net, there=False)
    return Observed(
        odds=odds,
        seen_miss=_stacked([m for m, _ in there], len(net.causes) + 1),
        seen_leak=_stacked([k[:, None] for _, k in there], 1)[:, :, 0],
        absent_miss=_stacked([m for m, _ in gone], len(net.causes) + 1),
        absent_leak=_stacked([k[:, None] for _, k in gone], 1)[:, :, 0],
        facts=tuple(facts(evidence, net)),
    )


def counting(cause: Cause, evidence: Evidence, net: Network) -> list[tuple[Row, float]]:
    """Rows of a cause's context that count here, each with its weight."""
    groups = [h for h in evidence.hosts if h in net.host_groups]
    at_risk = (*evidence.happened, Happened(context="host", of=evidence.hosts, true=bool(evidence.hosts)))
    return moved_by(survey_rows(cause.survey, groups, cause.context), at_risk)


def spoken_against(cause: Cause, evidence: Evidence) -> Array:
    """What signs that speak against a cause do to its odds."""
    product = np.ones(DRAWS)
    for sign in sorted(set(evidence.seen) & set(cause.against)):
        product = product * factor(f"against {cause.id} {sign}", *cause.against[sign])
    return product


def columns(evidence: Evidence, net: Network, *, there: bool) -> list[Column]:
    """Signs and tests that were there (or were looked for and were not)."""
    signs = evidence.seen if there else evidence.absent
    found = [sign_column(net, s) for s in signs if s in net.leak]
    return found + [
        test_column(net, t.cause, t.test, t.degree) for t in evidence.tests if t.positive is there
    ]


def sign_column(net: Network, sign: str) -> Column:
    return 1.0 - shows(net, sign), leak(net, sign)


def test_column(net: Network, cause: str, name: str, degree: str) -> Column:
    """A test as a sign that its cause alone shows; `degree`: how many were found, where they were counted.

    Notes
    -----
    A few are found in healthy fish too: a slight count has the low end of the specificity of the facts, a
    marked or extreme one the high end (rule 35).
    The leak is the false positive share, 1 - specificity; the chance that the cause shows it makes the two
    together the sensitivity: 1 - (1 - leak)(1 - q) = sensitivity.
    """
    test = next(t for t in net.cause(cause).tests if t.name == name)
    sensitivity = chance(f"sensitivity {cause} {name}", *test.sensitivity)
    low, high = test.specificity
    ends = {"slight": (low, low), "marked": (high, high), "extreme": (high, high)}.get(degree, (low, high))
    specificity = chance(f"specificity {cause} {name}", *ends)
    miss = np.ones((DRAWS, len(net.causes) + 1))
    miss[:, net.index(cause)] = np.minimum((1.0 - sensitivity) / specificity, 1.0)
    return miss, 1.0 - specificity


def facts(evidence: Evidence, net: Network) -> Iterator[Column]:
    """How fast it came and how many are ill: each one fact with several answers."""
    if evidence.onset in ONSETS:
        yield fact_column(net, "onset", evidence.onset)
    if evidence.share in SHARES:
        yield fact_column(net, "share", evidence.share)
    if evidence.trend in TRENDS:
        yield trend_column(net, evidence.trend)


CHOICES = {"onset": ONSETS, "share": SHARES}


def fact_column(net: Network, fact: str, answer: str) -> Column:
    """An answer to how fast ("onset") or how many ("share"): its chance under each cause, and under none."""
    fast = fact == "onset"
    name = "course" if fast else "share"
    rows = [(f"{name} {c.id}", c.course if fast else c.share) for c in net.causes]
    rows.append((f"{name} unknown", net.course_unknown if fast else net.share_unknown))
    given = answers(rows, answer, CHOICES[fact])
    return given, given[:, -1]


def _stacked(arrays: Sequence[Array], width: int) -> Array:
    return np.stack(arrays, axis=1) if arrays else np.ones((DRAWS, 0, width))
