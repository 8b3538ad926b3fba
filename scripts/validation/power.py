"""Whether the score can be failed: the same rules on models made wrong on purpose."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from . import flukes
from .settings import AS_IT_IS
from .verdict import Group, Told

INVENTED = 24  # sets of five groups that the model itself makes
Others = Mapping[str, Sequence[Told]]
Score = Callable[[Sequence[Told]], tuple[int, int, int, int]]


def section(others: Others, score: Score) -> str:
    """Scores of each model, the five groups as one, and what the rules can claim."""
    return "\n".join([_scores(others, score), _as_one(others), _invented(others), CLAIM, NOT_CLAIM])


def falls(inside: int, worse: Mapping[str, int]) -> str:
    """In words, whether it does."""
    none = [name for name, score in worse.items() if score >= inside]
    if not none:
        return "the score falls for each of them, as it should"
    return f"the score does not fall, so it has no power, for: {'; '.join(none)}"


def _scores(others: Others, score: Score) -> str:
    rows = [
        "## Can the score be failed?\n",
        "The same rules on models made wrong on purpose. Growth is changed by making a whole life of a "
        "parasite that much faster or slower.\n",
        f"| experiment | {' | '.join(others)} |",
        f"| --- |{' --- |' * len(others)}",
    ]
    for at, one in enumerate(others[AS_IT_IS]):
        cells = []
        for told in others.values():
            inside, of, *_ = score([told[at]])
            cells.append(f"{inside} of {of}")
        rows.append(f"| `{one.id}` | {' | '.join(cells)} |")
    totals = [score(told) for told in others.values()]
    rows.append(f"| all | {' | '.join(f'**{inside} of {of}**' for inside, of, *_ in totals)} |")
    return "\n".join([*rows, ""])


def _groups(told: Sequence[Told]) -> list[Group]:
    return [t.group for t in told if t.group]


def _as_one(others: Others) -> str:
    rules = {name: flukes.as_one(_groups(told)) for name, told in others.items()}
    rows = [
        "The fluke counts of all five groups together, by the same rules (not counted again in the score):\n",
        f"| five groups as one | seen | {' | '.join(rules)} |",
        f"| --- | --- |{' --- |' * len(rules)}",
    ]
    naive = [flukes.on_the_band(_groups(told)) for told in others.values()]
    rows.append(
        "| in the band of 90 % or on its edge, 80 % or more (the older rule) | | "
        f"{' | '.join(_cell(f'{n:.0%}', n >= flukes.WIDE[0]) for n in naive)} |"
    )
    for at, rule in enumerate(rules[AS_IT_IS]):
        cells = " | ".join(_cell(told[at].told, told[at].kept) for told in rules.values())
        rows.append(f"| {rule.what} | {rule.seen} | {cells} |")
    kept = [f"**{sum(r.kept for r in told)} of {len(told)}**" for told in rules.values()]
    rows.append(f"| kept, without the older rule | | {' | '.join(kept)} |")
    return "\n".join([*rows, ""])


def _cell(text: str, kept: bool) -> str:
    return text if kept else f"{text}, **out**"


def kept_of_invented(others: Others, times: int = INVENTED) -> dict[str, float]:
    """How many rules each model keeps on counts that the model as it is has made, on average."""
    true = _groups(others[AS_IT_IS])
    step = max(len(true[0].made) // times, 1)
    counted = [flukes.taken(true, strain * step) for strain in range(times)]
    return {
        name: float(
            np.mean(
                [
                    sum(r.kept for r in flukes.as_one(flukes.judged_by(_groups(told), c), ranges=False))
                    for c in counted
                ]
            )
        )
        for name, told in others.items()
    }


def _invented(others: Others) -> str:
    kept = kept_of_invented(others)
    of = len(flukes.as_one(_groups(others[AS_IT_IS]), ranges=False))
    told = "; ".join(f"{name} {mean:.1f}" for name, mean in kept.items())
    return (
        f"If the model as it is were the truth: on counts that it makes itself, {INVENTED} sets of five "
        f"groups, each model would keep, of {of} rules: {told}.\n"
    )


CLAIM = """\
**What these rules can claim.** They were written after an earlier run had been looked at. That run asked
only that a band of 90 % hold 80 % of the counts; with growth doubled and no fish that resists more counts
lay inside, not fewer, as a wider spread is hit more often. So nobody can say that the rules were chosen
blind. But each has two sides or a yardstick of its own, all were fixed before this model was run against
them, and none has a number that was moved since: bands of 90 and 50 % must be neither too narrow nor too
wide; the distance (the continuous ranked probability score, in ln of count + 1, over counts on living fish)
must be below that of a plain reference, the counts of the other four groups on the same day; how
many are rid of them on day 5 and on the last day, growth to day 9, the day of the top and growth after day 11
must lie in the central 95 % of groups of as many fish, each group with one strain of worms. What a fish dies
of is judged as consistency alone. A count that many fish have (none, mostly) stands for its whole stretch of
the spread, so that ties do not widen a band. Ranges "by fish drawn again" take a fish with all its counts.
"""
NOT_CLAIM = """\
The flukes themselves were changed after that run too: they bear at an age and die by age. The reason is not
in the counts. By the life table of one paper (first birth after 1 d, then every 2 to 2.5 d, a mean life of
4.2 d, deaths that rise with age) and the remark of another that fewer than one in a hundred live to a third
birth, worms of all ages together grow by 0.3 a day; births less deaths of a mean life, 0.19, which stood
here before, are not the growth of worms of which most are young. A third found for a relative that deaths
at one rate for all ages make growth far too slow. No number was taken from the counts, or moved after them.
Yet that the counts lay above the band is what made somebody look: the agreement tells that the published
ages explain these counts, not that the model would have foretold them. Harm, resistance and its onset are
judged numbers, as before, and wide; five groups from one laboratory are few.
"""
