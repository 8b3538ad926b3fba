"""Which single wish stands in the way: each is left out in turn, and a course looked for without it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from msgspec.structs import replace

from tankward.quantities.faults import Reason
from tankward.treat.remedies.records import Option

from .records import Plan, Wishes

NAMES = {
    "over_by": "it may take longer",
    "hours": "somebody is there at other hours too",
    "on_shelf": "you get it",
    "place": "it may be given in the tank or in a tub",
    "spare": "those you want spared are moved out first",
    "medicine": "a medicine is allowed",
    "most": "you bear the usual 5 of 100",
}


def looser(wishes: Wishes) -> Iterator[tuple[str, Wishes]]:
    """The same wishes with one left out, the easiest first."""
    for name in NAMES:
        default = getattr(Wishes(), name)
        if getattr(wishes, name) != default:
            yield name, replace(wishes, **{name: default})


def in_the_way(
    wishes: Wishes, plan_for: Callable[[Wishes], Plan], name_of: Callable[[Option], str]
) -> tuple[Reason, ...]:
    """For each wish without which a course would hold, that course.

    Parameters
    ----------
    wishes : Wishes
        With which nothing was found.
    plan_for : callable
        A small search with other wishes.
    name_of : callable
        A remedy, called by its name.
    """
    found = []
    for wish, others in looser(wishes):
        plan = plan_for(others)
        if plan.courses:
            first = plan.courses[0]
            found.append(
                Reason(
                    kind=f"wish-{wish.replace('_', '-')}",
                    because=f"As you wish it nothing holds. {name_of(first.option)} would, if {NAMES[wish]}",
                    would_change=NAMES[wish],
                )
            )
    return tuple(found)
