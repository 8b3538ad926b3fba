"""Writes docs/calibration.md and its pictures: whether the forecast learns from readings as it should.

Named beforehand: 1,000 invented tanks; the ranks of a number among the learner's 128 weighted draws pass when
evenly spread ones look at least as uneven with a chance above 0.001 over how many numbers there are
(statistic of Säilynoja, Bürkner and Vehtari 2022, in `calibration/statistic.py`). All have to pass. With the
kits' errors halved in the learner, and with the feeding of the true tanks doubled, at least one has to fail,
over the first 400 of the tanks. Six numbers were named then; the bottle of the kit came in only after 200
tanks in which none of the six had shown the halved errors, and the page says so.

`python scripts/calibrate.py` takes many minutes; `python scripts/calibrate.py 200` runs as many tanks and
only says what came of it.
"""

from __future__ import annotations

import os
import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from scripts.calibration.pictures import drawn
from scripts.calibration.runs import RANKED, WAYS, Ranked, ranked
from scripts.calibration.statistic import LIMIT
from tankward.knowledge.loader import load
from tankward.model.run import warm

ROOT = Path(__file__).parents[1]
PAGE, PICTURES = ROOT / "docs" / "calibration.md", ROOT / "docs" / "calibration"
TANKS, WRONG, DRAWS, PART = 1000, 400, 128, 50


def part(way: str, first: int, last: int) -> Ranked:
    """Some of the tanks, in a process of its own."""
    warm(wait=True)
    return ranked(load(), range(first, last), DRAWS, way)


def every(tanks: int) -> list[Ranked]:
    """All ways; what is wrong on purpose over the first of the same tanks."""
    of = {way: tanks if way == WAYS[0] else min(tanks, WRONG) for way in WAYS}
    asked = [(way, n, min(n + PART, of[way])) for way in WAYS for n in range(0, of[way], PART)]
    with ProcessPoolExecutor(max_workers=os.cpu_count()) as pool:
        parts = list(pool.map(part, *zip(*asked, strict=True)))
    return [_joined([p for p in parts if p.way == way]) for way in WAYS]


def _joined(parts: list[Ranked]) -> Ranked:
    return Ranked(
        way=parts[0].way,
        ranks={name: np.concatenate([p.ranks[name] for p in parts]) for name in RANKED},
        effective=np.concatenate([p.effective for p in parts]),
        tempered=sum(p.tempered for p in parts),
    )


HEAD = """# Does the forecast learn as it should?

This page is made by `make calibrate`. In {tanks} invented tanks, each with its own size, fish, filter,
warmth, food and kits, one of the facts' own draws is true. Kits show the true water on random days with the
errors of their eye, their card and their lot; now and then they show anything, and now and then something
happens that nobody enters. Half of the tanks without a dose also have animals that were seen to be well, and
are such in which they could be. The forecast knows none of what is true: it learns, with {draws} draws, from
the readings and the look. Where it believes neither too much nor too little, the truth is equally often at
any rank among its weighted draws.

**Named beforehand:** the ranks of a number pass when evenly spread ones look at least as uneven with a chance
above {limit:.1e} (0.001 over seven numbers). The unevenness is that of the share of ranks below each of 19
places, by the unlikeliest of the 19, its chance worked out exactly: Säilynoja, Bürkner, Vehtari 2022,
Statistics and Computing 32:32, doi 10.1007/s11222-022-10090-6.

Six numbers were named then. The seventh, how strong a bottle shows, was added after 200 tanks had been run in
which none of the six betrayed a learner that takes the kits to err half as much as they do. Presumably the
levels hide it since one reading in ten may be odd, and since weights are tempered where few draws carry them.

**{verdict}**

The tanks are drawn as the learner believes tanks are. So this page says whether it learns rightly from what
it is told, not whether its beliefs are true: for that see [validation.md](validation.md).
"""

WORDS = {
    WAYS[0]: "as it is",
    WAYS[1]: "the learner takes the kits to err half as much as they do",
    WAYS[2]: "the true tanks get twice the food that the learner believes",
}


def verdict(found: list[Ranked]) -> str:
    """In one sentence."""
    right, *wrong = found
    passed = sum(c > LIMIT / len(RANKED) for c in right.chances.values())
    fail = [sum(c <= LIMIT / len(RANKED) for c in w.chances.values()) for w in wrong]
    return (
        f"{passed} of {len(RANKED)} numbers pass. Made wrong on purpose: with the kits' errors halved in "
        f"the learner {fail[0]} of {len(RANKED)} fail, with the feeding of the true tanks doubled {fail[1]}."
    )


def page(found: list[Ranked], tanks: int) -> str:
    """The whole page."""
    limit = LIMIT / len(RANKED)
    head = HEAD.format(tanks=f"{tanks:,}", draws=DRAWS, limit=limit, verdict=verdict(found))
    heads = [f"{WORDS[r.way]}, {r.effective.size:,} tanks" for r in found]
    rows = [f"| number | {' | '.join(heads)} |", "| --- | --- | --- | --- |"]
    for name in RANKED:
        chances = [r.chances[name] for r in found]
        told = " | ".join(f"{c:.2g}{'' if c > limit else ' **fails**'}" for c in chances)
        rows.append(f"| {name} | {told} |")
    pictures = [f"![{name}](calibration/{_file(name)})" for name in RANKED]
    right = found[0]
    low, middle, high = np.quantile(right.effective, [0.05, 0.5, 0.95])
    rest = (
        f"The weights are worth {low:.0f} to {high:.0f} draws alike (5 to 95 % of the tanks), {middle:.0f} "
        f"in the middle. In {right.tempered} of {tanks:,} tanks even four times as many draws were too few, "
        "and the weights were tempered, which makes them believe too little."
    )
    legend = (
        "Grey: where evenly spread ranks stay, for as many tanks as the green line has. Green: as it is. "
        "Red, long dashes: kits' errors halved in the learner. Blue, short dashes: food doubled in the "
        "truth. Upwards: the truth is lower than believed."
    )
    means = "The chance of ranks at least as uneven, of each number (copper: of the tanks that were dosed):"
    return "\n".join([head, means, "", *rows, "", rest, "", legend, "", *pictures]) + "\n"


def _file(name: str) -> str:
    return name.replace(" ", "_").lower() + ".svg"


def main(words: list[str]) -> int:
    """Write the page, or only say what came of fewer tanks."""
    tanks = int(words[0]) if words else TANKS
    found = every(tanks)
    if not words:
        PAGE.write_text(page(found, tanks), encoding="utf-8")
        PICTURES.mkdir(exist_ok=True)
        for name in RANKED:
            svg = drawn(name, {r.way: r.ranks[name] for r in found}, LIMIT / len(RANKED))
            (PICTURES / _file(name)).write_text(svg, encoding="utf-8")
    sys.stdout.write(verdict(found) + "\n")
    return 0 if found[0].passes and not any(w.passes for w in found[1:]) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
