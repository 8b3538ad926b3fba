"""Too little in the water, or a dose that is late, in words: both ends beside what is advised."""

from __future__ import annotations

from tankward.judge.urgent import UrgentStep
from tankward.quantities.digits import shown
from tankward.treat.mend.back import Back, Ends
from tankward.treat.mend.late import Late
from tankward.treat.mend.steps import Also, ElseWhere, NextDose, Rises, WaterFirst

from .acts import ended, lowered, upper
from .acts import step_head as course_head
from .days import days_said
from .judge import finding_says
from .lowering import lowering_says, share_words
from .measured import amount_of, level_shown
from .mend_parts import (
    Here,
    Said,
    change_head,
    joined,
    left_said,
    level_of,
    lines,
    litres_of,
    long_said,
    sentences,
)

UL_IN_L = 1e6
NOT_BACK = {"at-safe": "More would pass what everybody bears", "works": "The next dose as planned"}


def back_said(step: UrgentStep, b: Back, here: Here) -> Said:
    """What to put back, both ends beside it; or why nothing."""
    lead = b.lead
    assert lead is not None
    name = here.name(lead.substance)
    works = f"it works from {level_shown(lead.works, lead.unit)}" if lead.works else ""
    left = joined(left_said(lead.level, lead.unit, name, lead.full), works)
    if b.give is None:
        under = lead.works is not None and lead.level.value < lead.works
        full = "It is all but a full dose" if b.why != "at-safe" and (under or b.why == "below") else ""
        return Said(head="Nothing to put back now.", soft=sentences([left, full, NOT_BACK.get(b.why, "")]))
    amount, peak = amount_of(b.give, name), b.peaks.get(lead.substance)
    makes = f"That makes {level_of(peak, lead.unit)}" if peak else ""
    apart = f"This packet can no longer hold both: it goes by {name}" if b.apart else ""
    head = f"Put back {amount.short} {amount.of}".strip()
    more = lines([sentences([ends_said(lead), makes, apart]), amount.how])
    return Said(head=ended(head), soft=sentences([left]), more=more, amount=amount.short)


def ends_said(e: Ends) -> str:
    """Both ends, and what is likely."""
    liquid = e.amount_unit == "uL"
    factor, unit = (1.0 / UL_IN_L, "L") if liquid else (1.0, "mg")
    low, likely, high = (shown(x * factor, unit) for x in (e.lasting, e.likely, e.gone))
    if e.lasting < 0.01 * e.gone:
        return f"Nothing would be needed if all had lasted, {high} if it were gone; {likely} is likely"
    return f"{low} would do if all had lasted, {high} if it were gone; {likely} is likely"


def late_said(step: UrgentStep, x: Late, here: Here) -> Said:
    """Now, later, or not at all, with the level that it makes."""
    makes = f"It makes {level_of(x.peak, x.unit)}"
    apart = f"Two of them stand {days_said(x.apart_h)} apart at least"
    after = f"Right after that one {level_of(x.peak_next, x.unit)}" if x.peak_next else ""
    then = here.when(x.next_then) if x.next_then else ""
    planned = f"The next one as planned, {then}" if then else ""
    late = _lateness((here.now - x.due).total_seconds() / 3600.0)
    dose, amount = course_head(x.planned, here.facts).rstrip("."), x.planned.amount
    if x.advice == "give":
        more = lines([sentences([planned, after]), _left(x, here)])
        return Said(head=f"{dose}, now.", soft=sentences([late, makes]), more=more, amount=amount)
    if x.advice == "give-and-move":
        head = f"{dose}, now. The next one not before {then}."
        more = lines([sentences([apart, after]), _left(x, here)])
        return Said(head=head, soft=sentences([late, makes]), more=more, amount=amount)
    if x.advice == "wait":
        told = ["The one before it was late as well", apart, makes, _left(x, here)]
        return Said(
            head=f"Wait: {lowered(dose)} {here.when(x.give_at)}.", soft=sentences(told), amount=amount
        )
    return Said(head="Leave this one out.", soft=sentences([_too_full(x, here), planned]))


def _left(x: Late, here: Here) -> str:
    """What is left against what works."""
    if x.works is None:
        return ""
    side = "under" if x.under else "over"
    left = left_said(x.level, x.unit, here.name(x.substance), x.peak.value)
    return f"{left}, {side} the {level_shown(x.works, x.unit)} from which it works"


def _too_full(x: Late, here: Here) -> str:
    full = f"About {level_of(x.level, x.unit)} of {here.name(x.substance)} is still in"
    over = f"with it there would be {level_of(x.peak, x.unit)}"
    if x.safe is None or x.peak.value <= x.safe:
        return joined(full, over)
    return joined(full, f"{over}, over the {level_shown(x.safe, x.unit)} that everybody bears")


def _lateness(hours: float) -> str:
    if hours < 0.5:
        return "It is not late yet"
    return f"{upper(long_said(hours))} late" if hours >= 1.5 else "An hour late"


def also_said(step: UrgentStep, a: Also, here: Here) -> Said:
    """Another step of the course that waits."""
    share = getattr(a.step.act, "share", None)
    soft, more = sentences([f"Planned for {here.when(a.step.at)}"]), lines([a.step.how, lowering_says(share)])
    head = ended(course_head(a.step, here.facts))
    return Said(head=head, soft=soft, more=more, amount=a.step.amount)


def next_dose_said(step: UrgentStep, n: NextDose, here: Here) -> Said:
    """The one that comes as planned."""
    if n.step is None:
        return Said(head="No other dose is planned.")
    head = f"The next dose as planned, {here.when(n.step.at)}."
    return Said(head=head, soft=ended(course_head(n.step, here.facts)))


def elsewhere_said(step: UrgentStep, e: ElseWhere, here: Here) -> Said:
    """The tank that went without."""
    head = f"{e.name} went without: its dose is still due."
    return Said(head=head, soft="Give it there, once all is quiet here.")


def rises_said(step: UrgentStep, r: Rises, here: Here) -> Said:
    """The change that was forgotten."""
    was = f"It was planned for {here.when(r.planned.at)}" if r.planned else ""
    back = "Put back only what the change takes with it" if r.planned else ""
    more = lines([step.caution, lowering_says(r.share)])
    head, amount = f"{change_head(step, r.share)}, now.", litres_of(step) or share_words(r.share)
    return Said(head=head, soft=sentences([was, back]), more=more, amount=amount)


def water_first_said(step: UrgentStep, w: WaterFirst, here: Here) -> Said:
    """Why no dose goes in now, and until when."""
    more = lines([finding_says(f) for f in w.blocked_by[1:3]])
    soft = sentences([finding_says(w.blocked_by[0]), "Change water for that, and read it again"])
    return Said(head="The water first: no dose now.", soft=soft, more=more)
