"""What the keeper measures with, in words."""

from __future__ import annotations

from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, shown, shown_range
from tankward.room.entries.animals import JarTrial
from tankward.room.things import Kit, Spoon

from .acts import listed

KITS = {
    "ph_drops": "pH drops", "ph_meter": "pH meter", "dkh_drops": "dKH drops", "dgh_drops": "dGH drops",
    "strips": "dip strips", "conductivity": "conductivity pen", "thermometer_glass": "glass thermometer",
    "thermometer_digital": "digital thermometer",
}  # fmt: skip
SPOON_OFF = 0.15


def kit_name(kit: str) -> str:
    """A test kit as a keeper calls it: "ammonia drops", "conductivity pen"."""
    return KITS.get(kit, kit.replace("_", " "))


def minutes_said(minutes: float) -> str:
    """A time by the clock: "75 seconds", "5 minutes"."""
    if minutes < 3:
        seconds = round(minutes * 60)
        return f"{seconds} second{'' if seconds == 1 else 's'}"
    return f"{minutes:.0f} minutes"


def hose_said(litres: float, kit: Kit) -> str:
    """Litres as time of the keeper's own hose: "about 4 minutes of your hose"; "" where it was not timed."""
    if kit.hose_l_per_min is None or litres <= 0:
        return ""
    return f"about {minutes_said(litres / kit.hose_l_per_min.value)} of your hose"


def trial_words(entry: JarTrial, facts: Facts) -> str:
    """What a jar trial was and how it went."""
    water = listed(
        [
            f"{shown(v, 'mg/L')} {facts.substances[s].names[0] if s in facts.substances else s}"
            for s, v in entry.conc_mg_l.items()
        ]
    )
    died = listed([f"{plain_number(n)} {_animal(a, facts)}" for a, n in entry.died.items() if n])
    end = f"died: {died}" if died else "some looked ill" if entry.ill else "all lived"
    return f"{water}, {shown(entry.hours, 'h')}: {end}"


def _animal(animal: str, facts: Facts) -> str:
    known = facts.animals.get(animal)
    return known.common if known else animal.replace("_", " ")


def spoon_said(spoon: Spoon, facts: Facts) -> list[str]:
    """What a spoon holds of each powder it was weighed with, with what that may be out."""
    rows = []
    for powder, grams in spoon.grams.items():
        off = spoon.off.get(powder, SPOON_OFF)
        name = facts.substances[powder].names[0] if powder in facts.substances else powder
        span = shown_range(grams * (1 - off), grams * (1 + off), "g")
        rows.append(f"{shown(grams, 'g')} of {name} ({span})")
    return rows
