"""Why a remedy is ruled out here, in few words, and what would change it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tankward.quantities.faults import Reason
from tankward.treat.remedies.records import RuledOut

from .acts import ended, listed, upper
from .remedies import by_name, plain

# Reasons on animals, many of one kind gathered into one sentence.
TOLD: Mapping[str, str] = {
    "class-lethal": "It kills {who}",
    "not-meant-for": "The published course is not for {who}",
    "class-avoid": "{who} must be kept from it",
    "harms-young": "It harms {who}",
    "over-cap": "It is more than {who} bear",
    "jar-harm": "It harmed {who} in your jar",
    "quarter-of-lc50": "It comes too near to what kills half of {who} or their like",
    "beyond-time-tested": "Nobody has tested it for so long on {who}",
    "no-regimen": "It is over the limit of {who}, and no published course goes so high",
    "over-all-recommended": "It is over all that was recommended, and nobody has measured it on {who}",
}
MOVE = "move the "
TUB = (
    "Those that can't bear a medicine can wait in a bare tub; or the sick fish go into one and get it there."
)
ANOTHER = ("another remedy", "another course of it, or another remedy")


def because_words(remedy: RuledOut) -> str:
    """All its reasons, those on animals gathered."""
    return " ".join([*animal_reasons(remedy.reasons), *other_reasons(remedy.reasons)])


def animal_reasons(reasons: Iterable[Reason]) -> list[str]:
    """One sentence for each way in which animals would be harmed."""
    told: dict[str, dict[str, None]] = {}
    for reason in reasons:
        if reason.kind in TOLD and reason.who:
            told.setdefault(reason.kind, {}).update(dict.fromkeys(reason.who))
    return [ended(upper(TOLD[kind].format(who=listed(list(who))))) for kind, who in told.items()]


def other_reasons(reasons: Iterable[Reason]) -> list[str]:
    """What is not about the animals: law, water, people, what is known of it."""
    return list(dict.fromkeys(_sentence(r) for r in reasons if not (r.kind in TOLD and r.who)))


def _sentence(reason: Reason) -> str:
    return plain(reason) if reason.kind != "not-recommended" else f"Not recommended: {ended(reason.because)}"


def change_words(remedy: RuledOut, home: str = "") -> str:
    """What would open it: never a smaller dose. `home`: a tank of the room that could take them."""
    return change_of((r.would_change for r in remedy.reasons), home)


def change_of(changes: Iterable[str], home: str = "") -> str:
    """Several changes in one line; "" where nothing would change it."""
    said = list(dict.fromkeys(c for c in changes if c))
    moved = [c.removeprefix(MOVE).split(" to another tank")[0] for c in said if c.startswith(MOVE)]
    rest = [c for c in said if not c.startswith(MOVE) and c not in ANOTHER]
    place = f"into {home}, where no fish lives, or into a tub" if home else "to another tank or into a tub"
    parts = [f"move the {listed(moved)} {place}"] if moved else []
    told = "; ".join([*parts, *rest])
    if any(c in ANOTHER for c in said) and not told:
        return "nothing here: choose another remedy"
    return by_name(told)
