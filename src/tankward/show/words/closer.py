"""Sentences about looking closer: with a microscope, a day later, by a laboratory; and what was counted."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from tankward.judge.laboratory import Sent
from tankward.judge.next_look import NextLook
from tankward.judge.under_lens import Counted
from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number

from .acts import listed, upper
from .causes import look_soft, short_name
from .guides import MARKED, NOT_PROVED, SLIGHT
from .microscope import GUIDE_OF, SAMPLES

WAIT_HEAD = "Wait a day, and count again"
WAIT_SOFT = (
    "Count the ill now and tomorrow at the same hour. Nothing goes in meanwhile. "
    "Worse sooner: look again at once."
)
BRING = "Ring first. Live sick fish, 1 L of tank water apart, tap water, the log. Never frozen."
TREND_HEADS: Mapping[str, str] = {"more": "More ill", "same": "The same", "fewer": "Fewer"}


def of_test(look: NextLook) -> tuple[str, str]:
    """The cause and the name of the test of a look."""
    cause, _, test = look.id.partition(":")
    return cause, test


def lens_head(look: NextLook, facts: Facts) -> str:
    """A look with a microscope: what is taken, and for which cause."""
    cause, _ = of_test(look)
    return f"{upper(SAMPLES[look.sample])}, for {short_name(cause, facts)}"


def lens_soft(look: NextLook, facts: Facts) -> str:
    """How often it finds it, how long it takes, what it costs the animals."""
    cause, name = of_test(look)
    test = next(t for t in facts.causes[cause].test if t.name == name)
    return f"{found_in(test.sensitivity, test.specificity)} {look_soft(look)}"


def found_in(sensitivity: tuple[float, float], specificity: tuple[float, float]) -> str:
    """Sensitivity and specificity as counts of a hundred."""
    finds, none = (f"{100 * low:.0f} to {100 * high:.0f}" for low, high in (sensitivity, specificity))
    return f"Finds it in {finds} of 100 that have it, rightly none in {none} of 100 that don't."


def guide_url(sample: str) -> str:
    """The guide of a sample."""
    return f"/guide/{GUIDE_OF[sample]}" if sample in GUIDE_OF else "/guide/sample"


def sent_head(sent: Sent, facts: Facts) -> str:
    """A test of others: what it is, for which cause."""
    return f"{upper(sent.look.what)}, for {short_name(sent.cause, facts)}"


def sent_soft(sent: Sent) -> str:
    """Who does it, and how often it finds it."""
    by = "A veterinarian who treats fish" if sent.by == "vet" else "A laboratory"
    return f"{by}. {found_in(sent.sensitivity, sent.specificity)}"


def counted_words(found: Collection[Counted], facts: Facts) -> str:
    """What was counted under the microscope, with rule 35 behind it; "" where nothing was."""
    names = {v.id: v.name for v in facts.hygiene.view}
    told = [
        f"{names[c.view]} {plain_number(c.number)} in a field, {c.grade}"
        if c.grade
        else f"no {names[c.view]}"
        for c in found
    ]
    if not told:
        return ""
    grades = {c.grade for c in found if c.grade}
    more = [NOT_PROVED] if grades else []
    more += [SLIGHT] if grades == {"slight"} else [MARKED] if grades & {"marked", "extreme"} else []
    return " ".join([f"{upper(listed(told))}.", *more])
