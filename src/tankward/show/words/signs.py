"""What a sign is called: the keepers' word where it says what is seen, else our own."""

from __future__ import annotations

from collections.abc import Mapping

from tankward.knowledge.known import Facts

# Where the first keepers' word already says what it may be, or names only one of what the sign covers.
NAMES: Mapping[str, str] = {
    "deaths_overnight": "found dead in the morning",
    "fast_gills": "breathing fast, or one gill shut",
    "failed_birth": "a birth that does not come",
    "fry_dying": "fry vanish or lie on the bottom",
    "lumps": "lumps under or on the skin",
    "mouth_eroded": "lips eaten away, or the mouth cannot close",
    "mouth_white": "white woolly rim on the lips",
    "pale": "paler than usual",
    "dark": "darker than usual",
    "saddle_patch": "pale patch like a saddle",
    "shimmying": "sways on the spot",
    "shrimp_snails_ill": "shrimp or snails die or climb out",
    "spinning": "spins along its axis",
    "squared_belly": "belly corner square, as before a birth",
    "surface_hang_head_down": "hangs head down or tail down",
    "ulcer": "open red sore",
    "visible_parasite": "something sits on the fish: disc, thread, worm",
    "water_smell": "water smells of rot, chlorine or chemicals",
}


NOT_A_NAME = ("suspected ", "non-specific ", "with ", "lymphocystis if ")


def clinical_words(sign: str, facts: Facts) -> str:
    """What it is called in books and by a veterinarian; "" where no such name is known.

    A name that already says what it may be is left out: a sign is asked before any cause.
    """
    record = facts.signs[sign]
    own = [w for w in record.word if w.plain == sign_words(sign, facts)] or list(record.word)
    named = [part.strip() for w in own for part in w.clinical.replace(";", ",").split(",")]
    return ", ".join(
        dict.fromkeys(n for n in named if n and n != sign_words(sign, facts) and not n.startswith(NOT_A_NAME))
    )


def sign_words(sign: str, facts: Facts) -> str:
    """A sign in plain words."""
    record = facts.signs.get(sign)
    if record is None:
        return sign.replace("_", " ")
    return NAMES.get(sign) or (record.word[0].plain if record.word else record.plain)
