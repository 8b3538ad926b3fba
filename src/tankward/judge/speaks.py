"""What speaks for a cause and what against it: each look on its own, against the other causes."""

from __future__ import annotations

import msgspec

from .draws import Array, band
from .evidence import Evidence
from .inference import Observed
from .network import Network
from .observing import Column, facts, sign_column, test_column

TELLS = 1.25  # below this ratio, either way, a look is not worth a line (common-practice)


class Spoken(msgspec.Struct, frozen=True, kw_only=True):
    """One look and by what it multiplies the odds of a cause against the others."""

    what: str  # id of a sign, name of a test, "onset", "share" or "trend"
    state: str  # seen, absent, positive, negative, or the answer
    ratio: float
    low: float
    high: float


def looks(evidence: Evidence, net: Network) -> list[tuple[str, str, Array]]:
    """Every look with its chance under each cause alone. [256 draws, causes + 1]"""
    rows = [(s, "seen", _seen(sign_column(net, s))) for s in evidence.seen if s in net.leak]
    rows += [(s, "absent", 1.0 - _seen(sign_column(net, s))) for s in evidence.absent if s in net.leak]
    for t in evidence.tests:
        there = _seen(test_column(net, t.cause, t.test, t.degree))
        rows.append((t.test, "positive" if t.positive else "negative", there if t.positive else 1.0 - there))
    told = (("onset", evidence.onset), ("share", evidence.share), ("trend", evidence.trend))
    named = [(n, a) for n, a in told if a]
    rows += [(n, a, given) for (n, a), (given, _) in zip(named, facts(evidence, net), strict=True)]
    return rows


def _seen(column: Column) -> Array:
    miss, leak = column
    return 1.0 - (1.0 - leak[:, None]) * miss


def spoken(rows: list[tuple[str, str, Array]], seen: Observed, cause: int) -> tuple[Spoken, ...]:
    """Looks that tell for or against one cause, the loudest first.

    Notes
    -----
    Ratio of the chance of the look under this cause to its mean chance under the others, weighted by their
    odds before the looks.
    """
    others = seen.odds.copy()
    others[:, cause] = 0.0
    others /= others.sum(axis=1, keepdims=True)
    told = []
    for what, state, chance in rows:
        low, mid, high = band(chance[:, cause] / (chance * others).sum(axis=1))
        if max(mid, 1.0 / max(mid, 1e-9)) >= TELLS:
            told.append(Spoken(what=what, state=state, ratio=mid, low=low, high=high))
    return tuple(sorted(told, key=lambda s: -max(s.ratio, 1.0 / max(s.ratio, 1e-9))))
