"""What the keeper measures with, in words."""

from __future__ import annotations

from collections.abc import Iterator

from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, shown, shown_range
from tankward.room.entries.animals import JarTrial
from tankward.room.things import Kit, Spoon

from ..results_kit import KitShown, KitThing
from .acts import listed

KITS = {
    "ph_drops": "pH drops", "ph_meter": "pH meter", "dkh_drops": "dKH drops", "dgh_drops": "dGH drops",
    "strips": "dip strips", "conductivity": "conductivity pen", "thermometer_glass": "glass thermometer",
    "thermometer_digital": "digital thermometer",
}  # fmt: skip
SPOON_OFF = 0.15  # of a weighing whose own error nobody wrote down


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
    minutes = litres / kit.hose_l_per_min.value
    if minutes < 1.25:
        return f"about {max(round(minutes * 12) * 5, 5)} seconds of your hose"
    halves = round(minutes * 2) / 2 if minutes < 5 else round(minutes)
    return f"about {halves:g} minutes of your hose"


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


def kit_lines(kit: Kit, facts: Facts) -> list[tuple[str, str]]:
    """One row a thing: what it is, and what is known of it; "" is not told."""
    spoons = [f"{s.name}: {listed(spoon_said(s, facts)) or 'not weighed yet'}" for s in kit.spoons]
    return [
        ("Scale", f"reads to {shown(kit.scale_g, 'g')}" if kit.scale_g else ""),
        ("Spoons", "; ".join(spoons)),
        ("Syringes", listed([f"{plain_number(v)} mL" for v in kit.syringes_ml])),
        ("Buckets", listed([shown(v, "L") for v in kit.buckets_l])),
        ("Hose", hose_line(kit)),
        ("Test kits", listed([kit_name(k) for k in kit.tests])),
        ("Hours", kit.hours),
    ]


def hose_line(kit: Kit) -> str:
    """The flow of the hose with its range."""
    flow = kit.hose_l_per_min
    if flow is None:
        return ""
    span = shown_range(flow.low, flow.high, "L")
    return f"{shown(flow.value, 'L')} a minute ({span})"


def kit_shown(kit: Kit, lines: list[tuple[str, str]], now: str) -> KitShown:
    """The kit as the command answers it."""
    told = [f"{what}: {words}" for what, words in lines if words]
    return KitShown(
        says="What you measure with." if told else "Nothing is written down yet. tankward kit set scale=0.1g",
        rows=told,
        things=list(_things(kit)),
        hours=kit.hours,
        region=kit.region,
        now=now,
    )


def _things(kit: Kit) -> Iterator[KitThing]:
    if kit.scale_g is not None:
        yield KitThing(what="scale", value=kit.scale_g, unit="g")
    yield from (KitThing(what="syringe", value=v, unit="mL") for v in kit.syringes_ml)
    yield from (KitThing(what="bucket", value=v, unit="L") for v in kit.buckets_l)
    if (flow := kit.hose_l_per_min) is not None:
        yield KitThing(
            what="hose", value=flow.value, low=flow.low, high=flow.high, unit="L/min", status="computed"
        )
    for spoon in kit.spoons:
        yield from _spoons(spoon)
    yield from (KitThing(what="test", name=k) for k in kit.tests)


def _spoons(spoon: Spoon) -> Iterator[KitThing]:
    if spoon.volume_ml is not None:
        yield KitThing(what="spoon", name=spoon.name, value=spoon.volume_ml, unit="mL")
    for powder, grams in spoon.grams.items():
        off = spoon.off.get(powder, SPOON_OFF)
        yield KitThing(
            what="spoon", name=spoon.name, of=powder, value=grams, low=grams * (1 - off),
            high=grams * (1 + off), unit="g", status="computed",
        )  # fmt: skip
