"""Why no course was found, the nearest first, each with the smallest change that would make one possible."""

from __future__ import annotations

from collections.abc import Sequence

from tankward.knowledge.known import Facts
from tankward.quantities.faults import Reason
from tankward.treat.remedies.records import Option

from .records import Line, Plan
from .search import Found, Search
from .ways import Setting, Ways

MOST = 6
CHANGES = {
    "nh3": "read ammonia and pH, feed half, and change water until the poisonous part of ammonia is low",
    "nitrite": "feed half, and change water until nitrite is low; a fresh reading would tell",
    "oxygen": "more air, or cooler water",
    "ph": "read pH and hardness, and raise the hardness first",
    "over-limit": "move those who do not bear it to another tank or into a tub",
}


def why_nothing(plan: Plan, ways: Ways, found: Search, here: Setting) -> tuple[Reason, ...]:
    """Reasons in order: what did not hold, what nobody can be there for, what is ruled out."""
    rows: list[Reason] = []
    rows += _alone(plan)
    rows += _broken(found.found, ways, here.facts)
    if ways.ways and not found.found:
        rows.append(_nobody_there(here))
    rows += [reason for _, reason in ways.closed]
    rows += [reason for out in plan.ruled_out for reason in out.reasons[:1]]
    if not rows:
        rows.append(
            Reason(
                kind="no-remedy", because="No remedy with dates is known for it.",
                would_change="a veterinarian who treats fish",
            )
        )  # fmt: skip
    return tuple(dict.fromkeys(rows))[:MOST]


def _alone(plan: Plan) -> list[Reason]:
    """Where the tank would pass a line even if nothing were done, the water comes first."""
    if plan.left_alone is None:
        return []
    return [
        Reason(
            kind=f"water-{line.what}",
            because=_by_itself(line),
            would_change=CHANGES[line.what],
            source=line.source,
        )
        for line in plan.left_alone.lines
        if not line.holds
    ]


def _by_itself(line: Line) -> str:
    return (
        f"Even if nothing is done, the water may pass {line.line:g} {line.unit} of "
        f"{NAMES.get(line.about, line.about)}: {_of_100(line.chance)}."
    )


NAMES = {"nh3_n": "the poisonous part of ammonia", "nitrite_n": "nitrite", "oxygen": "oxygen", "ph": "pH"}


def _of_100(chance: float) -> str:
    return f"{max(1, round(100 * chance))} of 100 such tanks"


def _broken(found: Sequence[Found], ways: Ways, facts: Facts) -> list[Reason]:
    """Of each remedy the draft that came nearest, and the line that it passes."""
    rows = []
    for way in range(len(ways.ways)):
        mine = [f for f in found if f.way == way and not f.score.sound]
        if not mine:
            continue
        nearest = min(mine, key=lambda f: max(line.chance - line.most for line in f.score.lines))
        line = max(nearest.score.lines, key=lambda x: x.chance - x.most)
        rows.append((line.chance, name_of(ways.ways[way].option, facts), line))
    return [
        Reason(
            kind=f"passes-{line.what}",
            because=f"{name}: even the best of it may pass "
            f"{line.line:g} {line.unit} of {NAMES.get(line.about, line.about.replace('_', ' '))} in "
            f"{_of_100(line.chance)}; at most {max(1, round(100 * line.most))} are allowed.",
            would_change=CHANGES[line.what], who=(line.who,) if line.who else (), source=line.source,
        )
        for _, name, line in sorted(rows, key=lambda row: row[0])
    ]  # fmt: skip


def name_of(option: Option, facts: Facts) -> str:
    """A remedy by its name."""
    known = facts.substances.get(option.substance)
    name = known.names[0] if known else facts.remedies[option.remedy].name
    return f"{name[:1].upper()}{name[1:]}"


def _nobody_there(here: Setting) -> Reason:
    said = here.wishes.hours.said if here.wishes.hours else "at night"
    return Reason(
        kind="hours-or-level",
        because="Every way of giving it passes a level that somebody does not bear, or needs a step outside "
        f"your hours ({said}).",
        would_change="another hour at home within ten hours of a step, or those who do not bear it moved",
    )
