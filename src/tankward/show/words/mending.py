"""What to do after a slip, in words: each act with its amount, why, what is not known. Never a scolding."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tankward.judge.urgent import UrgentStep
from tankward.treat.mend.back import Back
from tankward.treat.mend.late import Late
from tankward.treat.mend.newcomer import Newcomer
from tankward.treat.mend.over import AndSoOn, MoveOut, Nobody, StillFine, Thinning
from tankward.treat.mend.power import Lasts
from tankward.treat.mend.steps import (
    Also,
    ByHand,
    ElseWhere,
    FoodOut,
    NextDose,
    NextMeal,
    Rises,
    WaterFirst,
)
from tankward.treat.mend.warmth import Astray

from . import mend_around as around
from . import mend_dose as dose
from . import mend_over as over
from .mend_parts import Here, Said

SAID: dict[type, Callable[[UrgentStep, Any, Here], Said]] = {
    Thinning: over.thinning_said, AndSoOn: over.and_so_on_said, MoveOut: over.move_said,
    StillFine: over.still_fine_said, Nobody: over.nobody_said,
    Back: dose.back_said, Late: dose.late_said, Also: dose.also_said, NextDose: dose.next_dose_said,
    ElseWhere: dose.elsewhere_said, Rises: dose.rises_said,
    WaterFirst: dose.water_first_said,
    FoodOut: around.food_out_said, NextMeal: around.next_meal_said, ByHand: around.by_hand_said,
    Lasts: around.lasts_said, Astray: around.astray_said, Newcomer: around.newcomer_said,
}  # fmt: skip


def mend_said(step: UrgentStep, here: Here) -> Said | None:
    """An act after a slip in words; None for one whose words stand in `words/urgent.py`."""
    words = SAID.get(type(step.of)) if step.of is not None else None
    return words(step, step.of, here) if words is not None else around.plain_said(step)
