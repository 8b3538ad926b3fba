"""The page of the calibration of verdicts: what is counted, what is allowed, the picture."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import msgspec
import numpy as np

from scripts.calibration_page import distance, limit
from tankward.judge.hypotheses import MOVED, SAID_HELPING, SAID_NOT
from tankward.model.rows import Array

HELPING, NOT = "helping", "not-helping"
MOST_WRONG = 0.05  # of A and of B
EDGES = (0.0, SAID_NOT.value, 0.4, 0.65, SAID_HELPING.value, 1.0)  # bins of the stated chance
SURE_Z = 3.09  # of Wilson's bounds: five bins together false once in 100 pages
GROUPS = {"bites": ("bites",), "too little": ("weak", "idle"), "another cause": ("other",)}
WIDE, HIGH, GAP = 300, 220, 46
HEAD = """# Is "helping" said as surely as it is meant?

Made by `make calibrate` (`scripts/calibration_progress.py`). {number} outbreaks were invented, each treated:

{names}

In half of them the medicine bites, that is, it leaves at most half of what would be carried after eight days;
in a quarter it does less, or nothing; in a quarter it was another cause, whose signs drift. The numbers of
each are a draw of the facts that the learner never uses, its course is the model's, and a keeper counts
twenty fish, three times before and three or four times since, by the count model. The learner gets the counts
and the dead, and says how likely it is that the course bites. From {helping} up it says "helping", up to
{not_} "not helping", where the counts moved the odds that way by {moved:g} times at least; else "too early".

**Named beforehand**: A: "helping" is said in at most {most} % of those in which it does not bite. B: "not
helping" in at most {most} % of those in which it does. C: in each bin of the stated chance, Wilson's bounds
(1927) on the share in which it bites hold the mean of what was stated (one false alarm in 100 pages). D:
where the last count lies among what was expected of it, if that is so which is so, is even: Kolmogorov's
statistic stays under {limit:.2f}, which even ranks pass once in 100 pages of {tests} tests (Kolmogorov 1933,
Smirnov 1948; Bonferroni). As it is, all four must hold; where skin flukes grow twice as fast as the facts
say, at least one must fail.

"""


class Asking(msgspec.Struct, frozen=True, kw_only=True):
    """One outbreak: what was so, how likely it was said to bite, where the last count lay."""

    kind: str
    truth: str  # bites, weak, idle, other
    helping: float
    rank: float
    said: str = ""  # helping, not-helping; "" too early
    power: float = 1.0

    @property
    def bites(self) -> bool:
        return self.truth == "bites"


class Bin(msgspec.Struct, frozen=True, kw_only=True):
    """Askings with about the same stated chance."""

    number: int
    stated: float
    share: float
    low: float
    high: float

    @property
    def holds(self) -> bool:
        return self.low <= self.stated <= self.high


def wilson(successes: int, of: int, z: float = SURE_Z) -> tuple[float, float]:
    """Bounds on a share (Wilson 1927)."""
    share, middle = successes / of, z * z / of
    half = z * np.sqrt(share * (1.0 - share) / of + z * z / (4.0 * of * of))
    return float((share + middle / 2.0 - half) / (1.0 + middle)), float(
        (share + middle / 2.0 + half) / (1.0 + middle)
    )


def bins(found: Sequence[Asking]) -> list[Bin]:
    """The stated chance against what was so."""
    rows = []
    for low, high in pairwise(EDGES):
        here = [a for a in found if low <= a.helping < high or (high == 1.0 and a.helping == 1.0)]
        if here:
            right = sum(a.bites for a in here)
            ends = wilson(right, len(here))
            rows.append(
                Bin(
                    number=len(here), stated=float(np.mean([a.helping for a in here])),
                    share=right / len(here), low=ends[0], high=ends[1],
                )
            )  # fmt: skip
    return rows


def said(found: Sequence[Asking], what: str) -> float:
    """Share of which it is said."""
    return float(np.mean([a.said == what for a in found])) if found else 0.0


def wrong_helping(found: Sequence[Asking]) -> float:
    """A."""
    return said([a for a in found if not a.bites], HELPING)


def wrong_not(found: Sequence[Asking]) -> float:
    """B."""
    return said([a for a in found if a.bites], NOT)


def distances(found: Sequence[Asking]) -> dict[tuple[str, str], float]:
    """D, for each kind and each truth."""
    out: dict[tuple[str, str], float] = {}
    for kind in dict.fromkeys(a.kind for a in found):
        for group, names in GROUPS.items():
            ranks = np.array([a.rank for a in found if a.kind == kind and a.truth in names])
            if ranks.size:
                out[kind, group] = distance(ranks)
    return out


def failing(found: Sequence[Asking]) -> list[str]:
    """Which of A to D do not hold."""
    far = distances(found)
    told = {
        "A": wrong_helping(found) > MOST_WRONG,
        "B": wrong_not(found) > MOST_WRONG,
        "C": not all(b.holds for b in bins(found)),
        "D": max(far.values()) > limit(len(far)),
    }
    return [name for name, fails in told.items() if fails]


def page(
    right: Sequence[Asking], fast: Sequence[Asking], alike: Sequence[Asking], picture: str
) -> tuple[str, bool]:
    """The text, and whether it is as it must be."""
    kinds = list(dict.fromkeys(a.kind for a in right))
    far = distances(right)
    head = HEAD.format(
        number=f"{len(right):,}",
        names="\n".join(f"- {kind}" for kind in kinds),
        helping=SAID_HELPING.value,
        not_=SAID_NOT.value,
        moved=MOVED.value,
        most=round(100 * MOST_WRONG),
        limit=limit(len(far)),
        tests=len(far),
    )
    bad, worse = failing(right), failing(fast)
    ok = not bad and bool(worse)
    must = "As it must be" if ok else "NOT as it must be"
    told = f"**{must}**: as it is, {_hold(bad)}; where it grows twice as fast, {_hold(worse)}."
    tables = [*_verdicts(right, fast, alike), "", *_stated(right), "", *_expected(right, fast)]
    return head + "\n".join([*tables, "", told, _tail(right, picture)]), ok


def _hold(bad: Sequence[str]) -> str:
    return f"{', '.join(bad)} {'fails' if len(bad) == 1 else 'fail'}" if bad else "A to D hold"


def _verdicts(right: Sequence[Asking], fast: Sequence[Asking], alike: Sequence[Asking]) -> list[str]:
    rows = ["| what is so | outbreaks | helping | too early | not helping |", "| --- |" + " --- |" * 4]
    for group, names in GROUPS.items():
        rows.append(_verdict_row(group, [a for a in right if a.truth in names]))
    rows.append(_verdict_row("it does not bite, all of them (A)", [a for a in right if not a.bites]))
    if alike:
        rows.append(_verdict_row("another organism, the same sign, untouched (no limit)", alike))
    rows.append(_verdict_row("grows twice as fast, bites", [a for a in fast if a.bites]))
    rows.append(_verdict_row("grows twice as fast, does not", [a for a in fast if not a.bites]))
    return rows


def _verdict_row(name: str, found: Sequence[Asking]) -> str:
    yes, no = said(found, HELPING), said(found, NOT)
    shares = " | ".join(f"{100 * x:.1f} %" for x in (yes, 1.0 - yes - no, no))
    return f"| {name} | {len(found):,} | {shares} |"


def _stated(found: Sequence[Asking]) -> list[str]:
    rows = ["| stated chance that it bites | outbreaks | it bites | bounds (C) |", "| --- |" + " --- |" * 3]
    for b in bins(found):
        bounds = f"{b.low:.2f} to {b.high:.2f}{'' if b.holds else ' **out**'}"
        rows.append(f"| {b.stated:.2f} | {b.number:,} | {b.share:.2f} | {bounds} |")
    return rows


def _expected(right: Sequence[Asking], fast: Sequence[Asking]) -> list[str]:
    far, faster = distances(right), distances(fast)
    rows = ["| outbreak | if so | ranks as it is (D) | grows twice as fast |", "| --- | --- | --- | --- |"]
    for key, d in far.items():
        told = _bold(d, len(far)), _bold(faster.get(key), len(faster))
        rows.append(f"| {key[0]} | {key[1]} | {told[0]} | {told[1]} |")
    return rows


def _bold(d: float | None, tests: int) -> str:
    if d is None:
        return "not asked"
    return f"**{d:.2f}**" if d > limit(tests) else f"{d:.2f}"


def _tail(found: Sequence[Asking], picture: str) -> str:
    whole = 100 * float(np.mean([a.power == 1.0 for a in found]))
    return f"""
![Stated chance against what was so, and where the last count lay]({picture})

Left: the stated chance against the share in which it bites, with the bounds of C. Right: where the last count
lay among what was expected of it, for each truth, from under all (left) to over all (right).

In {whole:.0f} % of the outbreaks enough draws carried the weight for what was told to count in full; in the
others it counted with a lower power, which makes the answer more cautious.

What this does not say: that the facts are right, that keepers count as the count model has it, or that
another cause behaves as is taken here: of other organisms that make the same sign and that nothing touches,
"helping" was said as often as the first table tells. Half, a quarter and a quarter are what the page invents;
in a room the chance that the cause is right comes from what was seen before the course.
"""


def drawn(found: Sequence[Asking]) -> str:
    """Reliability at the left, ranks for each truth at the right, as SVG."""
    wide, high = 2 * (WIDE + GAP) + GAP, HIGH + 2 * GAP
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{high}" viewBox="0 0 {wide} {high}" '
        'font-family="sans-serif" font-size="12" role="img">',
        "<title>Stated chance against what was so, and where the last count lay</title>",
        f'<rect width="{wide}" height="{high}" fill="#fff"/>',
        *_reliability(found, GAP, GAP),
        *_ranks(found, WIDE + 2 * GAP, GAP),
    ]
    return "\n".join([*parts, "</svg>"]) + "\n"


def _reliability(found: Sequence[Asking], x: float, y: float) -> list[str]:
    parts = [
        f'<text x="{x}" y="{y - 14}" fill="#333">it bites, of those stated so</text>',
        f'<path d="M{x} {y + HIGH}L{x + WIDE} {y}" stroke="#999" stroke-dasharray="4 4"/>',
        f'<path d="M{x} {y}V{y + HIGH}H{x + WIDE}" stroke="#333" fill="none"/>',
    ]
    for share in (0.0, 0.5, 1.0):
        parts.append(_tick(x + share * WIDE, y + HIGH + 18, "middle", share))
        parts.append(_tick(x - 8, y + HIGH * (1 - share) + 4, "end", share))
    for b in bins(found):
        at, low, high = x + b.stated * WIDE, y + HIGH * (1 - b.low), y + HIGH * (1 - b.high)
        parts.append(f'<path d="M{at:.1f} {low:.1f}V{high:.1f}" stroke="#2f5d50" stroke-width="2"/>')
        parts.append(f'<circle cx="{at:.1f}" cy="{y + HIGH * (1 - b.share):.1f}" r="5" fill="#2f5d50"/>')
    return parts


def _tick(x: float, y: float, anchor: str, share: float) -> str:
    return f'<text x="{x:.0f}" y="{y:.0f}" text-anchor="{anchor}" fill="#666">{share:g}</text>'


def _ranks(found: Sequence[Asking], x: float, y: float) -> list[str]:
    parts, high = [f'<text x="{x}" y="{y - 14}" fill="#333">where the last count lay</text>'], (HIGH - 40) / 3
    for n, (group, names) in enumerate(GROUPS.items()):
        ranks = np.array([a.rank for a in found if a.truth in names])
        top = y + n * (high + 20)
        parts.append(f'<text x="{x}" y="{top + 4}" fill="#666">{group}</text>')
        parts += _box(ranks, x, top + 8, high - 8)
    return parts


def _box(ranks: Array, x: float, y: float, high: float, bars: int = 15) -> list[str]:
    number, even = np.histogram(ranks, bins=bars, range=(0.0, 1.0))[0], len(ranks) / bars
    off = 2.576 * np.sqrt(even * (1.0 - 1.0 / bars))
    per, step = high / (max(float(number.max()), even + off) * 1.05), WIDE / bars
    band = (even + off) * per, max(even - off, 0.0) * per
    parts = [
        f'<rect x="{x}" y="{y + high - band[0]:.1f}" width="{WIDE}" height="{band[0] - band[1]:.1f}" '
        'fill="#cfd8d3"/>'
    ]
    parts += [
        f'<rect x="{x + n * step + 1:.1f}" y="{y + high - count * per:.1f}" width="{step - 2:.1f}" '
        f'height="{count * per:.1f}" fill="#2f5d50" fill-opacity="0.75"/>'
        for n, count in enumerate(number)
    ]
    return [*parts, f'<path d="M{x} {y + high:.1f}h{WIDE}" stroke="#333"/>']
