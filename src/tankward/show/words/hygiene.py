"""Sentences of hygiene: the order of cleaning, what never meets, the dead as evidence."""

from __future__ import annotations

from typing import Protocol

from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, shown
from tankward.quantities.working import Answer
from tankward.treat.amounts.net_bath import GENERAL, MYCOBACTERIA, WASTING, WORM_EGGS, NetBath, NetPlan

from .acts import listed
from .causes import short_name
from .status import status_words

TITLE = "Nets, hoses, hands"
AGAINST = {
    GENERAL: "what is not named below",
    WASTING: "wasting, cause not known",
    WORM_EGGS: "worm eggs",
    MYCOBACTERIA: "fish tuberculosis (mycobacteria)",
}
FINDING = {
    GENERAL: "Each step is ticked before the next. Alcohol only on what is dry.",
    WASTING: "They waste and nobody knows why: this tank keeps its own net.",
    WORM_EGGS: "Worm eggs: this tank keeps its own net. Weak bleach makes it worse.",
    MYCOBACTERIA: "Mycobacteria: this tank keeps its own net. Bleach alone is not sure.",
}
WHY = {
    GENERAL: "A net between tanks carries what it touched.",
    WASTING: "Worm eggs and mycobacteria may both be there. Only what stops the eggs is used, then alcohol.",
    WORM_EGGS: "100 to 1000 mg/L of chlorine for 10 minutes made more eggs of a hair-worm grow.",
    MYCOBACTERIA: "Bleach first, dry, then alcohol: neither is left out.",
}
NEVER = (
    "Bleach never with acid, vinegar, ammonia, formalin, peroxide: deadly gas.",
    "Alcohol never on wet bleach, never near a flame or a hot lamp.",
    "Nothing of this in water with animals in it.",
)
MYCOBACTERIA_TOO = "Then dry it, then the alcohol of step 7: warm water is not known to end mycobacteria."
EYES = "Gloves, window open. Bleach burns skin and eyes."
NO_FLAME = "No flame, window open, plugs out of reach of drips."
CARRIED = (
    ("Fry and healthy tanks first, then newcomers, the sick last.", "Hands washed to the elbow in between."),
    ("One net for each tank, or each row.", "Marked, hung up to dry, not stood in a bucket."),
    ("Hoses and siphons are cleaned like nets.", "Let bleach stand inside as well."),
)
DEAD = (
    ("Out at once, with this tank's own net.", "Look at it first: belly, gills, sores, droppings."),
    ("Into a bag with a label: tank, day, hour.", "It is evidence."),
    ("In the fridge, not the freezer.", "Opened or sent within hours; after about six it shows little."),
    ("Afterwards in a sealed bag into household waste.", "Never to other fish, never down the toilet."),
)
PRACTICE = "The order of a round and what is done with the dead are usual practice."
OLD_BLEACH = (
    "How strong the bottle is was not said: counted as 5 %. Bleach weakens by months; from an old bottle "
    "take hot water instead where that will do."
)


class Wanted(Protocol):
    """A way of making clean, with its amounts."""

    @property
    def germ(self) -> str: ...
    @property
    def causes(self) -> tuple[str, ...]: ...
    @property
    def plan(self) -> NetPlan: ...
    @property
    def bleach(self) -> NetBath: ...
    @property
    def strength(self) -> str: ...
    @property
    def volume_l(self) -> float: ...
    @property
    def strength_known(self) -> bool: ...
    @property
    def amount(self) -> Answer: ...
    @property
    def alcohol(self) -> tuple[float, float, str, str]: ...
    @property
    def clean_first(self) -> tuple[str, str]: ...


def finding(wanted: Wanted) -> str:
    """The one sentence."""
    return FINDING[wanted.germ]


def why(wanted: Wanted, facts: Facts) -> str:
    """Why so; in a tank, what it may be."""
    if not wanted.causes:
        return WHY[wanted.germ]
    names = listed([short_name(c, facts) for c in wanted.causes])
    return f"{WHY[wanted.germ]} It may be {names}."


def sure(source: str, status: str) -> str:
    """Status and source in a word or two."""
    return status_words(status) if source in ("", "none") else f"{status_words(status)}, {source}"


def minutes(bath: NetBath) -> str:
    """For how long."""
    low, high = bath.minutes_low, bath.minutes_high
    span = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    return f"{span} {'minute' if span == '1' else 'minutes'}"


def order(wanted: Wanted) -> list[tuple[str, str, str, str]]:
    """The steps in their order: what, how, hazard, how sure. None is done before the one above it."""
    bath, answer = wanted.bleach, wanted.amount
    thiosulfate = next(n for n in answer.also if n.name.startswith("thiosulfate"))
    factor = next(s for s in answer.how if s.step.startswith("thiosulfate"))
    share, held, source, status = wanted.alcohol
    not_sure = "" if bath.sure else " It does not surely kill mycobacteria: the alcohol does."
    water = shown(wanted.volume_l, "L")
    hold = f"{held:g} {'minute' if held == 1 else 'minutes'}"
    return [
        (
            "Wash",
            "All dirt off, under running warm water. Dirt uses bleach up.",
            "",
            sure(*wanted.clean_first),
        ),
        (
            f"Bleach: {answer.shown} in {water} of cold water, {minutes(bath)}",
            f"Your bleach of {wanted.strength}: {plain_number(bath.high)} mg/L of chlorine.{not_sure}",
            EYES,
            sure(bath.source, bath.status),
        ),
        ("Rinse", "Under the tap, both sides.", "", ""),
        (
            f"Thiosulfate, 5 minutes: {thiosulfate.shown} in {water} of fresh water",
            "It ends what chlorine is left. Pentahydrate, and enough for all of the bath.",
            "",
            sure(factor.source, factor.status),
        ),
        ("Rinse", "Under the tap. No smell of bleach is left.", "", ""),
        ("Dry", "Bone dry: no drop left in knots and frame.", "", sure("none", "common-practice")),
        (
            f"Only now, and only if dry: {plain_number(share)} % alcohol, {hold}",
            "Wet all of it, then let it dry again.",
            NO_FLAME,
            sure(source, status),
        ),
    ]


def instead(wanted: Wanted) -> list[tuple[str, str, str, str]]:
    """Another bath that does it alone."""
    if wanted.plan.all_of:
        return []
    rows = []
    for bath in wanted.plan.baths:
        if bath.unit == "C":
            how = MYCOBACTERIA_TOO if wanted.germ == WASTING else "Then dry it. No bleach is needed."
            head = f"Water of {bath.low:g} to {bath.high:g} °C, {minutes(bath)}"
            rows.append((head, f"Measure it in the bucket. {how}", "", sure(bath.source, bath.status)))
    return rows
