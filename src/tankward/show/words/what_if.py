"""A course otherwise than planned, in words, each figure beside the one as planned."""

from __future__ import annotations

import msgspec

from tankward.knowledge.known import Facts
from tankward.model.result import Extreme, Outlook
from tankward.treat.course.what_if import Beside, Offer, WhatIf

from .acts import upper
from .chance import chance_words
from .measured import level_range, level_shown
from .outlook import gone_what, percent, withheld_says
from .remedies import substance_name

ASKS = {  # by kind and of what: on the button, over the answer
    ("later", "dose"): ("Dose a day later", "If the next dose comes 24 hours later"),
    ("later", "change"): ("Change a day later", "If the next change comes 24 hours later"),
    ("skip", "dose"): ("Skip the next dose", "If the next dose is skipped"),
    ("skip", "change"): ("Skip the next change", "If the next change is skipped"),
    ("more", ""): ("Change half each time", "If half is changed each time"),
    ("more", "extra"): ("Half changed tomorrow too", "If half is changed tomorrow too"),
    ("warmer", ""): ("2 °C warmer", "If it is 2 °C warmer from now on"),
}
NOT_ASKED = {
    "nobody-knows": "2 °C warmer is not asked: nobody knows how warm {who} may stand.",
    "too-warm": "2 °C warmer is not asked: {who} stand {top:g} °C at most.",
}
SAME = "As planned: the same."


class OtherRow(msgspec.Struct, frozen=True, kw_only=True):
    """One figure otherwise, and as planned; a chance has its ends for the bar."""

    what: str
    says: str
    planned: str
    mark: str = ""
    low: float | None = None
    high: float | None = None


def ask_words(offer: Offer) -> str:
    """On its button."""
    return ASKS[offer.kind, offer.of][0]


def head_words(offer: Offer) -> str:
    """Over its answer."""
    return ASKS[offer.kind, offer.of][1]


def not_asked(offer: Offer) -> str:
    """Why a change can't be asked."""
    return NOT_ASKED[offer.why].format(who=offer.who, top=offer.top_c or 0.0) if offer.why else ""


def other_rows(found: WhatIf, facts: Facts) -> list[OtherRow]:
    """The medicine, the oxygen, the chance that it is gone."""
    drugs = [_figure(d, f"{upper(substance_name(d.other.name, facts))}, highest", facts) for d in found.drugs]
    gone = [_gone(plain, other, facts) for plain, other in found.gone]
    return [*drugs, _figure(found.oxygen, "Oxygen, lowest", facts), *gone]


def _figure(beside: Beside, what: str, facts: Facts) -> OtherRow:
    says, planned = _range(beside.other), _range(beside.plain)
    return OtherRow(
        what=what,
        says=says,
        planned=_planned(says, planned),
        mark=_line(beside),
    )


def _planned(says: str, planned: str) -> str:
    return SAME if says == planned else f"As planned: {planned}."


def _range(e: Extreme) -> str:
    if e.high <= 0:
        return "none"
    return level_range(e.low, e.high, e.unit)


def _line(beside: Beside) -> str:
    if beside.line is None:
        return ""
    line = level_shown(beside.line, beside.other.unit)
    if beside.other.kind == "least":
        return f"It may fall under {line}, which sick fish want at least."
    return f"It may pass {line}, above which it is refused."


def _gone(plain: Outlook, other: Outlook, facts: Facts) -> OtherRow:
    if not other.chances or not plain.chances:
        unsaid = other if not other.chances else plain
        return OtherRow(what="Chance that it is gone", says=withheld_says(unsaid, facts), planned="")
    last, before = other.chances[-1], plain.chances[-1]
    says, planned = (_chance(c.low, c.high, c.value) for c in (last, before))
    return OtherRow(
        what=upper(gone_what(other, last, facts)),
        says=upper(says),
        planned=_planned(says, planned),
        low=last.low,
        high=last.high,
    )


def _chance(low: float, high: float, value: float) -> str:
    return f"{chance_words(low, high, value)} ({percent(low, high)})"
