"""The page of the calibration of counts: how far ranks are from even, what is allowed, the picture."""

from __future__ import annotations

import numpy as np

from tankward.model.rows import Array

QUANTITIES = ("on the fish now", "growth until now", "chance that it is gone in 7 days")
AS_IT_IS, DOUBLED, PERFECT = "as it is", "truth grows twice as fast", "learner thinks no look misses anybody"
SURE = 0.01  # of a false alarm in all tests of one line together
BINS = 20
WIDE, HIGH, GAP = 220, 96, 26
HEAD = """# Is what counts teach as sure as it says?

Made by `make calibrate` (`scripts/calibration_counts.py`). {number} outbreaks were invented: the numbers of
each are a draw of the facts that the learner never uses, its course is the model's, and a keeper counts fish
in it by the count model (`model/counts.py`): heads that are alike, some missed, some that show the sign for
another reason, the same misses in every look, deaths that have other causes too. The learner gets the counts
and nothing else, with {learns} draws of its own. If it weighs them right, the truth lies anywhere among its
weighted draws, evenly (simulation-based calibration: Talts and others 2018, arXiv:1804.06788).

**Named beforehand**: the statistic is Kolmogorov's, the largest gap between the ranks and even ones times the
root of their number; its limit, {limit:.2f}, is passed by even ranks once in {once:.0f} times in all {tests}
tests of a column together (Bonferroni; Kolmogorov 1933, Smirnov 1948). `as it is` must stay under it in every
test; each of the two wrong ones must pass it in at least one.

"""
TAIL = """
![Ranks of the truth among what was learned]({picture})

Each box: one kind of outbreak and one quantity; where the truth lay among the weighted draws, from below all
(left) to above all (right). The band holds a bar of even ranks 99 times in 100.

What this does not say: that the facts are right, or that keepers count as the count model has it. It says
that the arithmetic from counts to chances adds nothing and hides nothing.
"""


def distance(ranks: Array) -> float:
    """How uneven ranks are, in Kolmogorov's measure: the largest gap times the root of their number."""
    at, n = np.sort(ranks), len(ranks)
    steps = np.arange(n + 1) / n
    return float(max(np.max(steps[1:] - at), np.max(at - steps[:-1])) * np.sqrt(n))


def limit(tests: int) -> float:
    """Largest distance that even ranks have, but for SURE in all tests together."""
    return float(np.sqrt(-np.log(SURE / tests / 2.0) / 2.0))


def passes(ranks: dict[str, Array]) -> bool:
    """Whether all ranks of one line are even."""
    far = [distance(kind[:, q]) for kind in ranks.values() for q in range(kind.shape[1])]
    return max(far) <= limit(len(far))


def page(found: dict[str, dict[str, Array]], learns: int = 128) -> tuple[str, bool]:
    """The text, and whether it is as it must be."""
    kinds = list(found[AS_IT_IS])
    tests = len(kinds) * len(QUANTITIES)
    number = sum(len(ranks) for ranks in found[AS_IT_IS].values())
    head = HEAD.format(number=f"{number:,}", learns=learns, limit=limit(tests), once=1 / SURE, tests=tests)
    rows = [f"| outbreak | quantity | {' | '.join(found)} |", "| --- | --- |" + " --- |" * len(found)]
    for kind in kinds:
        for q, name in enumerate(QUANTITIES):
            far = [distance(line[kind][:, q]) for line in found.values()]
            told = [f"**{d:.2f}**" if d > limit(tests) else f"{d:.2f}" for d in far]
            rows.append(f"| {kind} | {name} | {' | '.join(told)} |")
    each = [f"{sum(len(r) for r in line.values()):,}" for line in found.values()]
    rows.append(f"| outbreaks | | {' | '.join(each)} |")
    even = {name: passes(line) for name, line in found.items()}
    right = even[AS_IT_IS] and not even[DOUBLED] and not even[PERFECT]
    told = f"\n**{'As it must be' if right else 'NOT as it must be'}**: " + "; ".join(
        f"{name}: {'even' if flat else 'uneven'}" for name, flat in even.items()
    )
    tail = TAIL.format(picture="calibration_counts.svg")
    return head + "\n".join(rows) + "\n" + told + ".\n" + tail, right


def drawn(found: dict[str, Array]) -> str:
    """A histogram for each kind and quantity, as SVG."""
    wide, high = len(QUANTITIES) * (WIDE + GAP) + GAP, len(found) * (HIGH + 2 * GAP) + GAP
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{high}" viewBox="0 0 {wide} {high}" '
        'font-family="sans-serif" font-size="11" role="img">',
        "<title>Ranks of the truth among what was learned</title>",
        f'<rect width="{wide}" height="{high}" fill="#fff"/>',
    ]
    for row, (kind, ranks) in enumerate(found.items()):
        for column, name in enumerate(QUANTITIES):
            x, y = GAP + column * (WIDE + GAP), 2 * GAP + row * (HIGH + 2 * GAP)
            parts.append(f'<text x="{x}" y="{y - 17}" fill="#333">{kind if column == 0 else ""}</text>')
            parts.append(f'<text x="{x}" y="{y - 4}" fill="#666">{name}</text>')
            parts += _box(ranks[:, column], x, y)
    return "\n".join([*parts, "</svg>"]) + "\n"


def _box(ranks: Array, x: float, y: float) -> list[str]:
    number, even = np.histogram(ranks, bins=BINS, range=(0.0, 1.0))[0], len(ranks) / BINS
    off = 2.576 * np.sqrt(even * (1.0 - 1.0 / BINS))
    top = max(float(number.max()), even + off) * 1.05
    step, per = WIDE / BINS, HIGH / top
    band = (even + off) * per, max(even - off, 0.0) * per
    parts = [
        f'<rect x="{x}" y="{y + HIGH - band[0]:.1f}" width="{WIDE}" height="{band[0] - band[1]:.1f}" '
        'fill="#cfd8d3"/>'
    ]
    for n, count in enumerate(number):
        parts.append(
            f'<rect x="{x + n * step + 1:.1f}" y="{y + HIGH - count * per:.1f}" width="{step - 2:.1f}" '
            f'height="{count * per:.1f}" fill="#2f5d50" fill-opacity="0.75"/>'
        )
    parts.append(f'<path d="M{x} {y + HIGH}h{WIDE}" stroke="#333"/>')
    return parts
