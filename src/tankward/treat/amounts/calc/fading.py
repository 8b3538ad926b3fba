"""What is left, what washes out, where doses climb: `wash-out`, `dilute-out`, `build-up`, `half-life`."""

from __future__ import annotations

import math
from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.digits import shown
from tankward.quantities.faults import BadInput
from tankward.quantities.working import Answer, Named, Working, answer

from .. import fading
from .asks import WATER

Fades = Annotated[float | None, Ask("time", "time in which half of it fades; left out: it lasts", above=0)]
CLEAN = "the new water mixes in fully and holds none of it"


@calculation("wash-out", unit="mg/L", formula="start × (1 − change) × … × ½^(waits ÷ half-life)", group=WATER)
def wash_out(
    start: Annotated[float, Ask("level", "the level before the first change", above=0)],
    changes: Annotated[tuple[float, ...], Ask("shares", "share of the water of each change, like 50%,50%")],
    half_life: Fades = None,
    every: Annotated[float | None, Ask("time", "wait from one change to the next", above=0)] = None,
) -> Answer:
    """What is left of a substance after a row of water changes."""
    work = Working(CLEAN)
    if half_life is not None and every is None and len(changes) > 1:
        raise BadInput("every", "", "is missing: how long from one change to the next? Write 24 h.")
    kept = fading.share_left(every or 0.0, half_life)
    levels = fading.washed_out(start, changes, kept)
    for number, level in enumerate(levels, 1):
        work.step(f"after change {number}", "before × (1 − change)", level, "mg/L")
    left = Named.of("share left", 100 * levels[-1] / start, "%")
    return answer(levels[-1], "mg/L", work, also=(left,), says="{shown} is left: {left}.", left=left.shown)


@calculation(
    "dilute-out", unit="changes", formula="ln(target ÷ level) ÷ ln(1 − change), rounded up", group=WATER
)
def dilute_out(
    level: Annotated[float, Ask("level", "the level now", above=0)],
    target: Annotated[float, Ask("level", "the level to get to", above=0)],
    change: Annotated[
        float, Ask("share", "share of the water of each change", at_least=0.01, at_most=0.99)
    ] = 0.5,
) -> Answer:
    """How many water changes bring a level down."""
    work = Working(CLEAN)
    count = fading.changes_needed(level, target, change)
    work.step("changes", "ln(target ÷ level) ÷ ln(1 − change), rounded up", count, inputs={"change": change})
    after = fading.washed_out(level, [change] * count)
    named = [Named.of(f"after change {n}", each, "mg/L") for n, each in enumerate(after, 1)]
    if count:
        work.caution("Match warmth and hardness: large changes at once can shock. Carbon is no promise.")
    says = "{count} changes of {change} each." if count != 1 else "One change of {change}."
    says = says if count else "No change is needed: it is there already."
    return answer(count, "changes", work, also=tuple(named), says=says, count=count, change=_share(change))


def _share(share: float) -> str:
    return shown(100 * share, "%").replace("%", " %")


@calculation(
    "build-up",
    unit="mg/L",
    formula="peak(n) = level + peak(n − 1) × (1 − change) × ½^(every ÷ half-life)",
    group=WATER,
)
def build_up(
    level: Annotated[float, Ask("level", "what one dose makes in clean water", above=0)],
    change: Annotated[float, Ask("share", "share of the water changed before each further dose")],
    every: Annotated[float, Ask("time", "time from dose to dose", above=0)],
    doses: Annotated[float, Ask("number", "how many doses", at_least=1, at_most=200)],
    half_life: Fades = None,
) -> Answer:
    """How high repeated doses climb, and where they tend."""
    work = Working(CLEAN)
    if doses != int(doses):
        raise BadInput("doses", f"{doses:g}", "is not a whole number of doses. Write 3.")
    kept = work.step(
        "kept by itself",
        "½^(every ÷ half-life)",
        fading.share_left(every, half_life),
        inputs={"every": every},
    )
    tops = fading.peaks(level, change, int(doses), kept)
    for number, top in enumerate(tops, 1):
        work.step(f"after dose {number}", "level + what was left", top, "mg/L")
    trough = work.step(
        "before the next", "peak × kept × (1 − change)", tops[-1] * kept * (1 - change), "mg/L"
    )
    limit = fading.tends_to(level, change, kept)
    also = [Named.of(f"after dose {n}", top, "mg/L") for n, top in enumerate(tops, 1)]
    also.append(Named.of("just before the next dose", trough, "mg/L"))
    also.append(_tends(limit))
    if half_life is None:
        work.caution("Taken as lasting: how fast it fades here is not known. This is the highest it can get.")
    end = f"towards {shown(limit, 'mg/L')}" if math.isfinite(limit) else "without end: nothing ever leaves"
    return answer(
        tops[-1], "mg/L", work, also=tuple(also), says="It reaches {shown} and climbs {end}.", end=end
    )


def _tends(limit: float) -> Named:
    if math.isfinite(limit):
        return Named.of("tends to", limit, "mg/L")
    return Named(name="tends to", value=None, unit="mg/L", shown="no end")


@calculation("half-life", unit="h", formula="time × ln 2 ÷ −ln(share left)", group=WATER)
def half_life(
    share: Annotated[float, Ask("share", "share still there after that time", above=0, at_most=0.9999)],
    time: Annotated[float, Ask("time", "the time", above=0)],
) -> Answer:
    """The half-life from what is left after a time."""
    work = Working("it fades evenly: the same share every hour")
    value = work.step(
        "half-life",
        "time × ln 2 ÷ −ln(share)",
        fading.half_life_h(share, time),
        "h",
        inputs={"share": share, "time": time},
    )
    return answer(value, "h", work, says="Half of it fades in {shown}.")
