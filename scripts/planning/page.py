"""The page: what was asked, what came out, what the limits are, and whether they can be failed."""

from __future__ import annotations

import ast
import hashlib
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np

from tankward.treat.planner.front import measures
from tankward.treat.planner.records import Score

from .cases import NOT_COMPARED
from .measure import KINDS, Judged
from .packets import SMALL, Compared
from .rivals import GENERATIONS, POPULATION

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "plan.md"
PLANNER = ROOT / "src" / "tankward" / "treat" / "planner"
WITHIN, BEATEN = 0.01, 0.02  # of what is enumerated; by a general optimiser
TIMES = 10  # as many simulations has the optimiser


class Enumerated(NamedTuple):
    """One problem of which every point was simulated."""

    name: str
    points: int
    sound: int
    simulated: int
    planner: Judged
    random: tuple[Judged, ...]  # one for each seed

    @property
    def holds(self) -> bool:
        return self.planner.lost <= WITHIN and self.planner.step <= WITHIN and self.planner.kind <= WITHIN

    @property
    def tells(self) -> bool:
        """Whether points at random fail it, in the middle of the seeds."""
        return float(np.median([r.lost for r in self.random])) > WITHIN


class Rivalled(NamedTuple):
    """One hard problem against the optimiser."""

    name: str
    points: int
    sound: float  # share of all that was simulated
    simulated: int
    rival_simulated: int
    planner: Judged  # against the optimiser
    union: Judged  # the planner against all that anybody found
    rival_union: Judged
    random: Judged  # points at random against the optimiser
    careless: tuple[int, int]  # of the careless planner's best so many pass a line, of so many

    @property
    def holds(self) -> bool:
        return self.planner.lost < BEATEN


def stamp() -> str:
    """Of the planner's own sources, without comments: where it differs, the page is of another planner."""
    told = hashlib.sha256()
    for path in sorted(PLANNER.glob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            body = getattr(node, "body", None)
            if isinstance(body, list) and body and _is_words(body[0]):
                body.pop(0)
        told.update(path.name.encode() + ast.dump(tree).encode())
    return told.hexdigest()[:12]


def _is_words(node: ast.stmt) -> bool:
    return (
        isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
    )


HEAD = """# Are its plans as good as can be?

This page is made by `make plans`: the planner (`treat/planner`) against every possible course where that can
be had, against a general optimiser where it can't, and against what the packet says.

**{verdict}**

## Named beforehand

A course is four numbers, the less the better: chance that it is not cleared, chance of harm, days, minutes of
work. A course that passes a line too often counts as none, however good it is. All drafts are judged with the
same 64 draws; packets and what is shown with 1,024.

- **Scale** of a measure: its span over the reference's own best courses; at least fifty differences that
  anybody would notice (0.25 in chance to clear, 0.1 in chance of harm, 12.5 days, 250 minutes), so that a
  hundredth is half of such a difference. This floor was set on the first small problem, before any other.
- **Volume lost**: of the trade-offs that the reference reaches (hypervolume, up to 1.1 scales from its best)
  the share that the planner's courses do not.
- **Step**: how far the planner's nearest course is behind each of the reference's, in the measure where it is
  worst (additive epsilon); the mean counts, the largest is printed.
- **Kinds**: what a keeper is shown, {kinds}: by how much of a scale the planner's is
  worse in just that.

Limits: against enumeration volume, step and kinds at most {within:.0%}; a general optimiser with {times}
times the simulations reaches less than {beaten:.0%} more volume; against the packet no course that is shown
is at least as bad in all four and noticeably worse in one.

"""


def page(
    enumerated: Sequence[Enumerated],
    fresh: Sequence[Enumerated],
    rivalled: Sequence[Rivalled],
    compared: Sequence[Compared],
) -> str:
    """The whole page."""
    head = HEAD.format(
        verdict=verdict(enumerated, fresh, rivalled, compared), kinds=", ".join(KINDS), within=WITHIN,
        times=TIMES, beaten=BEATEN,
    )  # fmt: skip
    parts = [
        head,
        _first(enumerated, fresh),
        _second(rivalled),
        _third(compared),
        f"\nPlanner of this page: `{stamp()}`.\n",
    ]
    return "".join(parts)


def verdict(
    enumerated: Sequence[Enumerated],
    fresh: Sequence[Enumerated],
    rivalled: Sequence[Rivalled],
    compared: Sequence[Compared],
) -> str:
    """In three sentences."""
    near = sum(e.holds for e in enumerated)
    most = max(r.planner.lost for r in rivalled)
    worse = sum(c.worse for c in compared)
    shown = sum(len(c.shown) for c in compared)
    return (
        f"Within {WITHIN:.0%} of the enumerated front on {near} of {len(enumerated)} problems, and on "
        f"{sum(e.holds for e in fresh)} of {len(fresh)} fresh ones. The optimiser with {TIMES} times the "
        f"simulations reaches at most {max(most, 0.0):.2%} more on {len(rivalled)} hard ones. Of {shown} "
        f"courses shown beside {len(compared)} packets {worse} are worse than the packet."
    )


def _first(rows: Sequence[Enumerated], fresh: Sequence[Enumerated]) -> str:
    return f"""## 1. Against every possible course

Every point of a fine grid is simulated; the planner finds its front with its usual share. The last column is
a planner that is bad on purpose: as many points at random, {len(rows[0].random)} seeds, least, middle and
most volume lost.

{_table(rows)}

### Fresh problems

The numbers of the search (`planner/guess.py`, `planner/search.py`) were set by looking at the problems above.
These were made when it was done, of other substances, tanks and hours, and no number was changed after them.
That of hairworms stands in a calmer tank than at first: once a round of levamisole is changed out after its
day, no course holds in the crowded one.

{_table(fresh)}

"""


def _table(rows: Sequence[Enumerated]) -> str:
    lines = "\n".join(
        _row(
            e.name, e.points, e.sound, e.planner.reference, e.simulated, _pc(e.planner.lost),
            _pc(e.planner.step), _pc(e.planner.step_most), _pc(e.planner.kind), _holds(e.holds),
            _spread(e.random),
        )
        for e in rows
    )  # fmt: skip
    head = _head(
        "problem", "points", "sound", "unbeaten", "simulated by the planner", "volume lost", "step",
        "largest step", "kinds", "holds", "at random",
    )  # fmt: skip
    dull = [e.name for e in rows if not e.tells]
    says = (
        f"Points at random pass it too, in the middle of their seeds, for: {'; '.join(dull)}. There nearly "
        "any choice will do, and the row says little."
        if dull
        else "Points at random fail it on every problem."
    )
    return f"{head}\n{lines}\n\n{says}"


def _row(*cells: object) -> str:
    return "| " + " | ".join(str(cell) for cell in cells) + " |"


def _head(*names: str) -> str:
    return _row(*names) + "\n" + _row(*["---"] * len(names))


def _holds(holds: bool) -> str:
    return "yes" if holds else "**no**"


def _spread(random: Sequence[Judged]) -> str:
    lost = sorted(r.lost for r in random)
    return f"{_pc(lost[0])}, {_pc(lost[len(lost) // 2])}, {_pc(lost[-1])}"


def _second(rows: Sequence[Rivalled]) -> str:
    lines = "\n".join(
        _row(
            r.name, f"{r.points:,}", f"{r.sound:.0%}", r.simulated, r.rival_simulated, _pc(r.planner.lost),
            _holds(r.holds), _pc(r.union.lost), _pc(r.rival_union.lost), _pc(r.random.lost),
            f"{r.careless[0]} of {r.careless[1]}",
        )
        for r in rows
    )  # fmt: skip
    head = _head(
        "problem", "points", "sound", "simulated by the planner", "by the optimiser", "more", "holds",
        "planner behind all found", "optimiser behind all found", "at random", "blind: pass a line",
    )  # fmt: skip
    return f"""## 2. Against a general optimiser

NSGA-II (pymoo) over the same axes as integers, same draws, lines as its constraint, handled its usual way. It
is told the published courses as well, and goes on until it has simulated {TIMES} times as many different
points, or for {GENERATIONS} generations of {POPULATION} where it finds no new ones. All that it ever
simulated counts, not its last generation alone. "More" is the volume that it reaches and the planner does
not; below nought the planner reaches more. Bad on purpose: as many points at random; and the same search
blind to all lines, of whose best courses so many in truth pass one.

{head}
{lines}

"""


def _third(rows: Sequence[Compared]) -> str:
    lines = "\n".join(_packet(c) for c in rows)
    head = _head(
        "where", "cause", "packet", "by the letter", "as a course", "shown: best of each", "gains",
        "worse than the packet",
    )  # fmt: skip
    left = "\n".join(f"- label {key[-1].upper()}: {why}." for key, why in NOT_COMPARED.items())
    return f"""## 3. Against the packet

Each plan with less than a keeper gets: {SMALL.screened:,} screened, {SMALL.simulated} simulated,
{SMALL.refined} refined. "By the letter": the label's own amounts, repeats and changes, nothing else, with the
carbon out; where it names no end, four doses. "As a course": what we make of it under its own rule. Numbers:
chance to clear, chance of harm, days, minutes. The gain is that of the best course shown in each measure over
the letter of the packet (points of chance; days; minutes).

{head}
{lines}

Not compared:
{left}
"""


def _packet(one: Compared) -> str:
    case = one.case
    return _row(
        case.name, case.problem.name.replace("_", " "), case.supply, _letter(one), _course(one), _shown(one),
        _gains(one), f"{one.worse} of {len(one.shown)}",
    )  # fmt: skip


def _letter(one: Compared) -> str:
    return "no level can be worked out" if one.letter is None else _told(one.letter)


def _course(one: Compared) -> str:
    if one.course is not None:
        return _told(one.course)
    if one.refused:
        return f"refused: {one.refused}"
    return f"not open: {one.why}"


def _told(score: Score) -> str:
    broken = "; ".join(
        dict.fromkeys(
            f"**breaks a line**: {x.about.replace('_', ' ')} {x.chance:.0%}" for x in _broken(score)
        )
    )
    return _numbers(measures(score)) + (f"; {broken}" if broken else "")


def _broken(score: Score) -> list:  # type: ignore[type-arg]
    rows = sorted((x for x in score.lines if not x.holds), key=lambda x: -x.chance)
    return rows[:1]


def _numbers(rows: Sequence[float]) -> str:
    left, harm, days, minutes = rows[:4]
    return f"{1 - left:.1%}, {harm:.1%}, {days:.0f} d, {minutes:.0f} min"


def _best(one: Compared) -> list[float]:
    return [min(column) for column in zip(*(measures(s)[:4] for s in one.shown), strict=True)]


def _shown(one: Compared) -> str:
    if not one.shown:
        why = one.plan.nothing[0].because if one.plan.nothing else ""
        return f"none: {why}"
    return _numbers(_best(one))


def _gains(one: Compared) -> str:
    packet = one.letter or one.course
    if packet is None or not one.shown:
        return ""
    left, harm, days, minutes = (b - a for a, b in zip(_best(one), measures(packet)[:4], strict=True))
    return f"{100 * left:+.1f}, {100 * harm:+.1f}, {days:+.0f} d, {minutes:+.0f} min"


def _pc(share: float) -> str:
    return f"{100 * share:.2f} %"
