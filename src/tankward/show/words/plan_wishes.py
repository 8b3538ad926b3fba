"""What was wished of a plan, in words; and what its form asks."""

from __future__ import annotations

from tankward.treat.planner.records import MOST, WHATS, Wishes

from .acts import listed, upper

BORNE_HEADS = {
    "over-limit": "Over what somebody bears",
    "nh3": "The poisonous part of ammonia",
    "nitrite": "Nitrite",
    "oxygen": "Too little oxygen",
    "ph": "The pH falls too low",
}
BORNE = (("", "5 of 100"), ("3%", "3 of 100"), ("2%", "2 of 100"), ("1%", "1 of 100"))
BORNE_WHY = (
    "Kept is only a course with which each of these goes too far in at most so many of 100 such tanks. "
    "Fewer can be asked for, never more."
)


def wish_words(wishes: Wishes, names: dict[str, str]) -> str:
    """All of it in a sentence. `names`: of the groups that are spared, by id."""
    told = [_hours(wishes)]
    told += ["with what is on the shelf"] if wishes.on_shelf else []
    told += [] if wishes.medicine else ["without medicine"]
    if wishes.spare:
        told.append(
            f"nothing that may hurt {listed([names.get(s, s.replace('_', ' ')) for s in wishes.spare])}"
        )
    told += [{"tank": "in the tank", "tub": _tub(wishes)}[wishes.place]] if wishes.place else []
    told += ["over by the day that you named"] if wishes.over_by is not None else []
    less = [w for w in WHATS if wishes.most_of(w) < MOST]
    told += ["with less risk than usual"] if less else []
    return f"{upper(listed(told))}."


def _hours(wishes: Wishes) -> str:
    return f"at your hours ({wishes.hours.said})" if wishes.hours is not None else "at any hour but the night"


def _tub(wishes: Wishes) -> str:
    return "in a hospital tub" + (f" of {wishes.tub_l:g} L" if wishes.tub_l else "")
