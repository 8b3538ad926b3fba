"""In which order remedies are offered. The rule, first difference decides:

0. What a count under the lens says is to be done and nothing else yet (rule 35).
1. What clears the cause, then what eases it, then a look or a wait, then the veterinarian, then what
   only goes beside a treatment.
   Of what clears, what is not known to reach a stage stands after what reaches one.
   Of several causes asked about, what is for more of them stands before what is for one.
2. What the keeper may do, then what is held lawfully, then what a veterinarian must order.
3. The least harm to those who live there: bears, no harm reported, care, unknown.
4. What was published, then computed, then habit of the trade, then recalled.
5. The fewest exposed: no medicine, food, a tub, the whole tank.
6. The shortest, then by name.
"""

from __future__ import annotations

from tankward.judge.verdicts import WORSE, worst

from .records import Option

MAY = {"yes": 0, "held": 1, "vet": 2}
EVIDENCE = {"published": 0, "computed": 1, "trade-habit": 2, "recalled": 3}
PLACE = {"": 0, "food": 1, "fish": 2, "tub": 3, "tank": 4}
PURPOSE = {"clears": 0, "eases": 1, "waits": 2, "vet": 3, "ends": 4, "beside": 5}
LONG_D = 1e6


def purpose(option: Option) -> str:
    """Which step of the rule's first line it stands on."""
    if option.adjunct:
        return "beside"
    if option.kind == "vet":
        return "vet"
    if option.remedy in ("wait_and_count",):
        return "waits"
    if option.remedy in ("humane_end",):
        return "ends"
    return "eases" if option.relieves else "clears"


def key(option: Option) -> tuple[object, ...]:
    """What `sorted` compares."""
    may = MAY[option.permission.may] if option.permission and option.permission.may in MAY else 0
    return (
        not option.first,
        PURPOSE[purpose(option)],
        bool(option.not_reached) and not option.reaches,
        -len(option.also_for),
        may,
        WORSE.index(worst(option.bears)),
        EVIDENCE[option.evidence.kind],
        PLACE[option.place],
        option.days[1] if option.days else LONG_D,
        option.id,
    )
