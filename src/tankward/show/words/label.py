"""What a label's own rule really does in this water, and what would change a refusal."""

from __future__ import annotations

from tankward.knowledge.known import Facts
from tankward.quantities.digits import shown
from tankward.treat.amounts.dosing import product_shown
from tankward.treat.label import LabelVerdict, PartJudged

from .acts import ended, listed, part_words
from .remedies import substance_name
from .status import status_words

NO_ACTIVES = (
    "The label names no active: only its own rule can be followed, and nobody can say how strong it is."
)
LIES = {
    "below": "under what is published",
    "within": "within what is published",
    "above": "over what is published",
    "refused": "far over what is published",
    "": "nothing is published",
}


def label_says(found: LabelVerdict, unit: str, facts: Facts) -> str:
    """The verdict in one sentence."""
    if not found.known:
        return NO_ACTIVES
    if found.units is None:
        return "The label does not say how much goes into how much water."
    made = listed(
        [f"{shown(p.per_dose.value, p.unit)} of {substance_name(p.substance, facts)}" for p in found.parts]
    )
    return f"The label asks for {product_shown(found.units, unit)} here: {made}."


def label_rows(found: LabelVerdict, facts: Facts) -> list[tuple[str, str, str]]:
    """(active, where it lies, where repeats take it) of each part."""
    return [_part(p, found, facts) for p in found.parts]


def _part(p: PartJudged, found: LabelVerdict, facts: Facts) -> tuple[str, str, str]:
    lies = f"{shown(p.per_dose.value, p.unit)}: {_lies(p.dose_lies, p)}"
    if p.published is not None:
        lies += f", {p.published.shown} ({status_words(p.published.status)})"
    return substance_name(p.substance, facts), ended(lies), _climbs(p, found)


def _lies(where: str, p: PartJudged) -> str:
    """Only what was read in print is called published."""
    known = {"common-practice": "is usual", "memory": "is recalled"}
    status = p.published.status if p.published is not None else ""
    return LIES[where].replace("is published", known.get(status, "is published")) if status else LIES[where]


def _climbs(p: PartJudged, found: LabelVerdict) -> str:
    if found.doses < 2 or not p.builds_up:
        return ""
    top, fades = shown(p.lasting[-1], p.unit), shown(p.fading[-1], p.unit)
    change = f", {part_words(found.change)} changed before each" if found.change else ""
    told = f"Given {found.doses} times{change}: up to {top} if nothing fades, {fades} if it fades fast"
    return ended(f"{told}. That is {_lies(p.peak_lies, p)}" if p.published is not None else told)


def holds_together(found: LabelVerdict, unit: str, facts: Facts) -> str:
    """Whether one packet still holds its actives after a change."""
    if found.put_back is None or len(found.put_back.parts) < 2 or found.holds_together == "yes":
        return ""
    each = listed(
        [
            f"{product_shown(p.units_likely, unit)} by its {substance_name(p.substance, facts)}"
            for p in found.put_back.parts
        ]
    )
    if found.holds_together == "no":
        return f"After a change one packet can no longer hold both: {each}. Choose one."
    return f"Whether one packet still holds both after a change is not known: likely {each}."
