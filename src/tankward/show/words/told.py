"""What was told and does not go together, or is more than one fish shows: what to look at again."""

from __future__ import annotations

from tankward.judge.evidence import Evidence
from tankward.knowledge.known import Facts

from .acts import listed
from .signs import sign_words

MANY = 12  # signs: hardly one illness of one fish shows more [our own choice]
APART = (
    ("belly_sunken", "belly_swollen"),
    ("popeye_one", "popeye_both"),
    ("floats", "sinks"),
    ("pale", "dark"),
    ("no_appetite", "eats_but_thin"),
    ("one_fish_only", "all_species"),
    ("slow_deaths", "sudden_deaths_many"),
)


def doubt_lines(evidence: Evidence, facts: Facts) -> list[str]:
    """One sentence for each doubt; none where all goes together."""
    lines = []
    if evidence.told_twice:
        named = listed([sign_words(s, facts) for s in evidence.told_twice])
        lines.append(f"Told as seen and as not there, so taken as not known: {named}. Look again.")
    seen = set(evidence.seen)
    for one, other in APART:
        if {one, other} <= seen:
            both = f"{sign_words(one, facts)} and {sign_words(other, facts)}"
            lines.append(f"{both[:1].upper()}{both[1:]}: hardly in one fish. If in two, look at each alone.")
    if len(evidence.seen) > MANY:
        lines.append(
            f"{len(evidence.seen)} signs at once tell little. "
            "Take the worst fish, and say only what that one shows."
        )
    return lines
