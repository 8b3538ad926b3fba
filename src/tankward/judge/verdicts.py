"""A level against a limit: who bears it, who needs care, who must not get it, and what would change that."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Literal

import msgspec

from tankward.knowledge.known import Facts
from tankward.knowledge.records.base import Status
from tankward.quantities.faults import Reason

from .choices import LC50_REFUSED
from .limit import Limit

Says = Literal["bears", "no-harm-reported-not-measured", "care", "unknown", "refused"]
WORSE: tuple[Says, ...] = ("bears", "no-harm-reported-not-measured", "care", "unknown", "refused")
Why = Literal[
    "under-limit", "jar-trial", "jar-harm", "class-caution", "published-regimen", "usual-regimen",
    "recalled-regimen", "warned-by-ceiling", "unknown", "unknown-animal", "young-at-risk", "plant",
    "plant-out", "class-lethal", "class-avoid",
    "harms-young", "over-cap", "quarter-of-lc50", "beyond-time-tested", "no-regimen", "over-all-recommended",
]  # fmt: skip
Course = tuple[tuple[float, float | None], ...]
STOP = 1.0 + 1e-9  # a level at its limit is not over it


class Verdict(msgspec.Struct, frozen=True, kw_only=True):
    """What a level means for one group of inhabitants."""

    limit: Limit
    level: float
    says: Says
    why: Why
    because: str
    would_change: str = ""
    status: Status = "memory"

    @property
    def reason(self) -> Reason:
        """The same as a reason of a refusal."""
        return Reason(
            kind=self.why,
            because=self.because,
            would_change=self.would_change,
            who=(self.limit.who,),
            source=self.limit.source,
            status=self.status,
        )


def judge_level(
    limits: Sequence[Limit],
    low: float,
    value: float,
    high: float,
    hours: float,
    *,
    warn_up_to: float | None = None,
) -> tuple[Verdict, ...]:
    """What a level of one substance means for each inhabitant.

    Parameters
    ----------
    limits : sequence of Limit
        Of one substance or one part.
    low, value, high : float
        The level with its range, in the unit of the limits.
    hours : float
        How long it stands. [h]
    warn_up_to : float, optional
        Where a ceiling is set: up to this level it warns and does not refuse.

    Returns
    -------
    tuple of Verdict
        In the order of the limits.

    Notes
    -----
    Under the limit: "bears" only where its own species or group was measured; else "no harm reported, not
    measured". Over it and under a quarter of the LC50: only as a published, recommended regimen, for no
    longer than it was tested, with trial animal, air and stop signs. At a quarter of the LC50 and above:
    refused. The dose belongs to the target: a smaller dose is never what would change a refusal.
    """
    return tuple(_verdict(limit, value, high, hours, warn_up_to) for limit in limits)


def judge_levels(
    limits: Sequence[Limit], levels: Mapping[str, tuple[float, float, float]], hours: float, facts: Facts
) -> tuple[Verdict, ...]:
    """The same for a combination: part -> (low, value, high)."""
    found: list[Verdict] = []
    for part, (low, value, high) in levels.items():
        mine = [limit for limit in limits if limit.part == part]
        found += judge_level(mine, low, value, high, hours, warn_up_to=warn_up_to(part, facts))
    return tuple(found)


def warn_up_to(part: str, facts: Facts) -> float | None:
    """The level up to which a ceiling warns, where one is set."""
    return max((c.refuse_above for c in facts.substances[part].ceiling), default=None)


def refused(verdicts: Iterable[Verdict]) -> tuple[Reason, ...]:
    """Reasons of those who must not get it."""
    return tuple(v.reason for v in verdicts if v.says == "refused")


def worst(verdicts: Iterable[Verdict]) -> Says:
    """The hardest of them all; "bears" where nobody lives."""
    return max((v.says for v in verdicts), key=WORSE.index, default="bears")


def _verdict(limit: Limit, value: float, high: float, hours: float, ceiling: float | None) -> Verdict:
    says, why = _milder(limit, *_says(limit, value, high, hours, ceiling))
    return Verdict(
        limit=limit,
        level=value,
        says=says,
        why=why,
        because=BECAUSE[why].format(limit=limit, part=limit.part.replace("_", " ")),
        would_change=_would_change(limit, says, why),
        status=limit.status,
    )


def _milder(limit: Limit, says: Says, why: Why) -> tuple[Says, Why]:
    """Plants and eggs that are only presumed are told of, but they do not stop a remedy."""
    if limit.kind_of == "plant" and limit.cls in ("avoid", "lethal"):
        return "care", "plant-out"
    if limit.kind_of == "plant" and WORSE.index(says) > WORSE.index("care"):
        return "care", "plant"
    if limit.presumed == "egg" and says in ("refused", "unknown"):
        return "care", "young-at-risk"
    if limit.presumed == "unknown animal" and says in ("bears", "no-harm-reported-not-measured"):
        return "care", "unknown-animal"
    return says, why


def _says(limit: Limit, value: float, high: float, hours: float, ceiling: float | None) -> tuple[Says, Why]:
    if value <= 0.0:
        return ("bears" if limit.measured else "no-harm-reported-not-measured"), "under-limit"
    if limit.cls in ("lethal", "avoid") and limit.kind_of != "plant":
        return "refused", "class-lethal" if limit.cls == "lethal" else "class-avoid"
    if limit.cap is not None and value > limit.cap * STOP:
        return "refused", _over_cap(limit)
    if limit.level is None:
        return "unknown", "unknown"
    if value <= limit.level * STOP:
        return _under(limit, value)
    return _over(limit, value, high, hours, ceiling)


def _over_cap(limit: Limit) -> Why:
    if limit.kind == "jar-trial":
        return "jar-harm"
    return "harms-young" if limit.stage == "fry" else "over-cap"


def _under(limit: Limit, value: float) -> tuple[Says, Why]:
    """A jar that did no harm for a day is told of; a whole course in the tank is longer than a day."""
    tried = limit.tried is not None and value <= limit.tried * STOP
    if limit.kind == "jar-trial":
        return "care", "jar-trial"
    if tried and not limit.measured:
        return "care" if limit.cls in ("caution", "unknown") else "no-harm-reported-not-measured", "jar-trial"
    if limit.cls in ("caution", "unknown"):
        return "care", "class-caution"
    return ("bears" if limit.measured else "no-harm-reported-not-measured"), "under-limit"


def _over(limit: Limit, value: float, high: float, hours: float, ceiling: float | None) -> tuple[Says, Why]:
    if limit.lc50 is None:
        warned = ceiling is not None and value <= ceiling and limit.cls == "ok"
        return ("care", "warned-by-ceiling") if warned else ("refused", "over-all-recommended")
    if high >= LC50_REFUSED.value * limit.lc50:
        return "refused", "quarter-of-lc50"
    for regimens, says, why in _courses(limit):
        fit = [tested for level, tested in regimens if value <= level * STOP]
        if any(tested is None or hours <= tested for tested in fit):
            return says, why
        if fit:
            return "refused", "beyond-time-tested"
    return "refused", "no-regimen"


def _courses(limit: Limit) -> Iterator[tuple[Course, Says, Why]]:
    """Recommended courses by how they are known. One that is only recalled is tried on one animal first."""
    yield limit.usual.published, "care", "published-regimen"
    yield limit.usual.practised, "care", "usual-regimen"
    yield limit.usual.recalled, "unknown", "recalled-regimen"


BECAUSE: dict[str, str] = {
    "under-limit": "under the limit of {limit.who}",
    "jar-trial": "no harm to {limit.who} in a jar of this tank's water for a day",
    "jar-harm": "{limit.who} were harmed in a jar of this tank's water",
    "class-caution": "{limit.who} need care with {part}: a trial animal, air and stop signs",
    "published-regimen": "over the limit of {limit.who}, offered only as a published course: "
    "a trial animal, air and stop signs",
    "usual-regimen": "over the limit of {limit.who}, offered only as it is usually given, which nobody has "
    "published: a trial animal, air and stop signs",
    "recalled-regimen": "over the limit of {limit.who}; the usual course of {part} is only recalled",
    "warned-by-ceiling": "over all that is recommended of {part}, under the level at which it is refused",
    "unknown": "nobody has measured {part} on {limit.who}",
    "unknown-animal": "{limit.who} are not in the facts: judged as the strictest of their kind",
    "young-at-risk": "eggs may be in the moss and may be lost",
    "plant": "{limit.who} may suffer from {part}",
    "plant-out": "{limit.who} is likely to die in {part}",
    "class-lethal": "{part} kills {limit.who}",
    "class-avoid": "{limit.who} must be kept from {part}",
    "harms-young": "this level of {part} harms fry",
    "over-cap": "this level of {part} is more than {limit.who} bear",
    "quarter-of-lc50": "this level of {part} comes too near to what kills half of {limit.who} or their like",
    "beyond-time-tested": "nobody has tested this level of {part} for so long on {limit.who}",
    "no-regimen": "over the limit of {limit.who}, and no published course of {part} goes so high",
    "over-all-recommended": "over all that was recommended of {part}, and nobody has measured it on "
    "{limit.who}",
}


def _would_change(limit: Limit, says: Says, why: Why) -> str:
    """What would make it possible. Never a smaller dose."""
    if limit.presumed == "fry":
        return "take the fry out, or say that there are none" if says in ("refused", "unknown") else ""
    if limit.presumed == "egg":
        return "take the moss out, or say that it holds no eggs" if says == "care" else ""
    if why == "recalled-regimen":
        return "try it on one of them first, for a day"
    if why in ("unknown", "unknown-animal"):
        return ("say what they are, or " if limit.presumed else "") + "try it in a jar for 24 hours"
    if says == "care" and limit.kind_of == "plant":
        return f"take the {limit.who} out" + ("" if why == "plant" else " first, into a tub without animals")
    if says != "refused":
        return ""
    return f"move the {_counted(limit)} to another tank or into a tub, or choose another remedy"


def _counted(limit: Limit) -> str:
    number = "" if limit.number in (0.0, float("inf")) else f"{limit.number:g} "
    return f"{number}{limit.who}"
