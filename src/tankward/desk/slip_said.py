"""Slips in a keeper's words: "dosed ten times; carbon still in; power cut 6 h" as slips with their texts."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import datetime

import msgspec

from tankward.judge.slips import MASS, mg_of, parts_of, slip_in
from tankward.knowledge.find import index_of
from tankward.knowledge.known import Facts
from tankward.room.acts import Dose
from tankward.room.entries.acts import Done
from tankward.room.replay import Room

from .running import running
from .slips import AS_WRITTEN, NEW, NOTHING, open_steps, recent_changes, recent_doses

PER_CENT = re.compile(r"(\d+(?:[.,]\d+)?) ?%")
DEGREES = re.compile(r"(-?\d+(?:[.,]\d+)?) ?°? ?([CF])\b", re.IGNORECASE)
LASTED = re.compile(r"(\d+(?:[.,]\d+)?) ?(h|hours?|min|minutes?|days?)\b", re.IGNORECASE)
FACTOR = re.compile(r"(\d+(?:[.,]\d+)?) ?(?:x|×|times)\b", re.IGNORECASE)
CAME = re.compile(
    r"(?:added|put in|brought|moved(?: in)?|new) (?:an? )?(?:new )?(\d+ )?([a-z _]+?)(?: came| in\b| to\b|$)",
    re.IGNORECASE,
)
TWICE = re.compile(r"\btwice\b|double|\b2 ?(x|times)\b", re.IGNORECASE)
WHOLE = re.compile(r"whole (sachet|packet|tablet|one)|per tank", re.IGNORECASE)
# Words for how much more or less went in than it says.
TIMES: tuple[tuple[str, float], ...] = (
    (r"ten times", 10.0), (r"\bg (instead of|for|not) mg", 1000.0), (r"mg (instead of|for|not) g\b", 0.001),
    (r"table ?spoons? (instead of|for|not) tea", 3.0), (r"tea ?spoons? (instead of|for|not) table", 1 / 3),
    (r"tea ?spoons? (instead of|for|not) ml", 5.0), (r"imperial .*US|imp .*US", 1.2), (r"US .*imp", 1 / 1.2),
    (r"a third", 1 / 3), (r"three quarters", 0.75), (r"quarter", 0.25), (r"tenth", 0.1), (r"half", 0.5),
)  # fmt: skip
SHARES = ((r"two thirds", "66 %"), (r"three quarters", "75 %"), (r"nearly all|almost all", "95 %"),
          (r"third", "33 %"), (r"quarter", "25 %"), (r"half", "50 %"))  # fmt: skip
NO_MORE = ("fish", "animal", "one", "arrival", "shrimp", "snail")


class Told(msgspec.Struct, frozen=True, kw_only=True):
    """One slip as it was said, with the texts that a form would have sent."""

    slip: str
    said: str
    texts: Mapping[str, str] = {}


def slips_told(did: str, room: Room, tank: str, now: datetime, zone: str, facts: Facts) -> tuple[Told, ...]:
    """What was said to have happened in a tank, part by part.

    Parameters
    ----------
    did : str
        "dosed twice; carbon left in".
    room : Room
        Which dose, change and step is meant: the last of each.
    tank : str
        Its id.
    now : datetime
        With zone.
    zone : str
        Of the keeper's wall clock.
    facts : Facts
        What is a medicine.
    """
    found = []
    for said in parts_of(did):
        slip = slip_in(said)
        texts = dict(_texts(slip, said, room, tank, now, zone, facts))
        found.append(Told(slip=slip, said=said, texts=texts))
    return tuple(found)


def _texts(
    slip: str, said: str, room: Room, tank: str, now: datetime, zone: str, facts: Facts
) -> Iterator[tuple[str, str]]:
    dose = next(iter(recent_doses(room, tank, now, facts)), None)
    change = next(iter(recent_changes(room, tank, now)), None)
    named, mass = _named(said, facts), MASS.search(said)
    if slip in ("too-much", "too-little") and mass and _is_new(dose, named):
        each = 2.0 if TWICE.search(said) else 1.0
        yield from (("dose", NEW), ("substance", named), ("mass", f"{each * mg_of(mass[1], mass[2]):g} mg"))
        return
    if slip in ("too-much", "too-little", "wrong-tank") and dose is not None:
        yield "dose", dose.id
    match slip:
        case "too-much" if WHOLE.search(said) and dose is not None and _from_packet(dose):
            yield from (("how", "more"), ("amount", "1"))
        case "too-much" | "too-little":
            yield from _amount(slip, said)
        case "wrong-tank":
            yield from _into(said, room, tank)
        case "forgot-one":
            yield from _step(said, [s.id for s in open_steps(room, tank, now, zone, facts)][:1])
        case "carbon-in":
            yield "out", "yes" if re.search(r"\bout\b|taken out|removed", said) else "no"
        case "untreated-tap" | "big-change":
            yield "change", change.id if change is not None else NEW
            yield from _share(said, "" if slip == "untreated-tap" and change else "50 %")
        case "little-water":
            yield from _share(said, "50 %")
        case "no-change":
            late = (
                [s.step.id for s in run.open if s.step.at <= now]
                if (run := running(room, tank, now, zone, facts))
                else []
            )
            yield from _step(said, late[:1])
        case "no-flow":
            lasted = LASTED.search(said)
            yield "hours", lasted[0] if lasted else "still"
            yield "off", "filter" if re.search(r"filter|pump|flow", said) else "all"
        case "too-warm" | "too-cold":
            new = re.search(r"change|new water|tap", said, re.IGNORECASE)
            if m := DEGREES.search(said):
                yield ("new-temp" if new else "temp"), f"{m[1]} {m[2].upper()}"
                yield from [("change", change.id if change else NEW)] if new else ()
                yield from _share(said, "50 %") if new and not change else ()
        case "newcomer":
            yield from _came(said)
        case "not-eaten":
            yield "eaten", "half" if "half" in said else "nothing"
            yield "left", "yes" if re.search(r"lies|still there|on the floor", said) else "no"
        case "something-else":
            yield "text", said


def _named(said: str, facts: Facts) -> str:
    """The substance that is named, by the longest name; "" for none."""
    words, index = re.findall(r"[^\W\d_][\w-]*", said), index_of(facts, "substance")
    found = (
        index.ids(" ".join(words[at : at + many]))
        for many in range(min(4, len(words)), 0, -1)
        for at in range(len(words) - many + 1)
    )
    return next((ids[0] for ids in found if len(ids) == 1), "")


def _is_new(dose: Done | None, named: str) -> bool:
    """Whether what is named is another dose than the last that is written down."""
    if dose is None or not named:
        return bool(named)
    return isinstance(dose.act, Dose) and bool(dose.act.actives) and named not in dose.act.actives


def _from_packet(dose: Done) -> bool:
    return isinstance(dose.act, Dose) and bool(dose.act.supply)


def _amount(slip: str, said: str) -> Iterator[tuple[str, str]]:
    """How much more or less; a second dose where it was given twice; else just as it is written down."""
    if slip == "too-little" and re.search(r"nothing|none|not at all", said):
        yield "amount", NOTHING
        return
    if (mass := MASS.search(said)) and not TWICE.search(said):
        yield from (("how", "more"), ("amount", mass[0]))
        return
    found = FACTOR.search(said)
    factor = (
        float(found[1].replace(",", "."))
        if found
        else next((x for w, x in TIMES if re.search(w, said)), None)
    )
    if factor is not None and not TWICE.search(said):
        yield "how", "more"
        yield "amount", f"{factor:.6g} times"
    elif slip == "too-much":
        yield "how", "twice" if TWICE.search(said) else AS_WRITTEN
    else:
        yield "amount", "0.5 times"


def _into(said: str, room: Room, tank: str) -> Iterator[tuple[str, str]]:
    """The tank that is named."""
    words = {w.lower() for w in re.findall(r"\w+", said)}
    named = [t.id for t in room.tanks.values() if t.id != tank and {t.id.lower(), t.name.lower()} & words]
    if named:
        yield "into", named[0]


def _step(said: str, steps: list[str]) -> Iterator[tuple[str, str]]:
    if steps:
        yield "step", steps[0]
        given = re.search(r"given (late|now)|gave it|done now", said)
        yield "how", "late" if given else "leave" if re.search(r"left? (it )?out|skip", said) else "not-yet"


def _share(said: str, unknown: str) -> Iterator[tuple[str, str]]:
    found = PER_CENT.search(said)
    told = f"{found[1]} %" if found else next((x for w, x in SHARES if re.search(w, said)), unknown)
    if told:
        yield "share", told


def _came(said: str) -> Iterator[tuple[str, str]]:
    """Which animal came; what nobody names is an animal that nobody knows."""
    found = CAME.search(said)
    kind = found[2].strip() if found else ""
    named = kind and not any(kind.removesuffix("s") == w for w in NO_MORE)
    yield "kind", kind if named else "unknown"
    yield "number", (found[1] or "1").strip() if found else "1"
    if not named:
        yield "name", "newcomer"
