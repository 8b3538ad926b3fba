"""A slip told to the end: what really happened, as entries. The rest is computed as ever."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime, timedelta

from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import NUMBER, is_unknown, number
from tankward.room.acts import Change, Dose, Media
from tankward.room.entries.acts import Done, Step
from tankward.room.entries.base import Entry
from tankward.room.forms import texts_of
from tankward.room.numerals import plain
from tankward.room.replay import Room
from tankward.room.time import moment, not_future
from tankward.treat.medicine import is_medicine

from .border import Border, Written
from .find import find_tank
from .running import running, skipped, ticked
from .slips_around import AROUND, joined

RECENT = timedelta(days=7)  # a slip older than this is told as a correction [our own choice]
AS_WRITTEN = "as-written"  # it is all written down already
NOTHING = "nothing"  # none of a dose went in
NEW = "new"  # a dose or a change that is not written down yet
Texts = Mapping[str, str]
TIMES = re.compile(rf"({NUMBER})\s*(?:x|×|times)", re.IGNORECASE)


def recent_doses(room: Room, tank: str, now: datetime, facts: Facts) -> tuple[Done, ...]:
    """Medicines given here in the last week, the newest first."""
    return tuple(e for e in _recent(room, tank, now, Dose) if _medicine(e.act, facts))


def recent_changes(room: Room, tank: str, now: datetime) -> tuple[Done, ...]:
    """Water changes of the last week, the newest first."""
    return tuple(_recent(room, tank, now, Change))


def _recent(room: Room, tank: str, now: datetime, kind: type) -> list[Done]:
    found = [e for e in room.of_tank(tank) if isinstance(e, Done) and isinstance(e.act, kind)]
    return [e for e in reversed(found) if now - RECENT <= e.at <= now]


def _medicine(act: object, facts: Facts) -> bool:
    assert isinstance(act, Dose)
    return not act.actives or any(is_medicine(s, facts) for s in act.actives)


def happened(border: Border, slip: str, tank: str, texts: Texts) -> Written | None:
    """The entries of a slip; None where it leaves nothing to write down.

    Parameters
    ----------
    border : Border
        Reads what was typed, at the moment it was typed.
    slip : str
        One of `judge.slips.SLIPS`.
    tank : str
        Id of the tank.
    texts : mapping
        Which dose, how much, when: as typed.

    Raises
    ------
    BadInput
        Beside its field.
    """
    texts = {k: v.strip() for k, v in texts.items() if v.strip()}
    writers = {
        "too-much": _too_much, "too-little": _too_little, "forgot-one": _forgotten, "carbon-in": _carbon,
        "wrong-tank": _wrong_tank, **AROUND,
    }  # fmt: skip
    return writers[slip](border, tank, texts)


def _too_much(border: Border, tank: str, texts: Texts) -> Written | None:
    """A second dose really given, or one that was larger than it says; nothing where it says all."""
    which = texts.get("dose", "")
    if texts.get("how") == AS_WRITTEN:
        return None
    if which == NEW or not which:
        return _new_dose(border, tank, texts, chosen=bool(which))
    old = _dose(border, which)
    if texts.get("how", "twice") == "twice":
        same = {k: v for k, v in texts_of(old).items() if k not in ("measured", "step")}
        return border.log("dose", tank, same | _when(texts))
    return border.correct(old.id, _really(old, texts.get("amount", "")))


def _too_little(border: Border, tank: str, texts: Texts) -> Written:
    """A dose of which less went in than it says, or none."""
    which = texts.get("dose", "")
    if which == NEW or not which:
        return _new_dose(border, tank, texts, chosen=bool(which))
    old = _dose(border, which)
    amount = texts.get("amount", "")
    return border.undo(old.id) if amount == NOTHING else border.correct(old.id, _really(old, amount))


def _dose(border: Border, word: str) -> Done:
    found = next((e for e in border.room.log if e.id == word), None)
    if not (isinstance(found, Done) and isinstance(found.act, Dose)):
        raise BadInput("dose", word, "is no dose that stands in the log.")
    return found


def _when(texts: Texts) -> dict[str, str]:
    return {"when": texts["when"]} if "when" in texts else {}


def _new_dose(border: Border, tank: str, texts: Texts, *, chosen: bool = True) -> Written:
    """A dose that is not written down yet: from a packet, or a substance by hand."""
    if texts.get("supply"):
        units = texts.get("units") or "dont-know"
        note = {"note": "how much is not known"} if is_unknown(units) else {}
        return border.log("dose", tank, {"supply": texts["supply"], "units": units, **note, **_when(texts)})
    if not texts.get("substance") and not chosen:
        raise BadInput("dose", "", "is not chosen. Which one was it?")
    if not texts.get("substance"):
        raise BadInput(
            "substance", "", "is missing. Say what went in: a packet, or a substance and how much."
        )
    if not texts.get("mass"):
        raise BadInput("mass", "", "is missing. How much went in? Write it like 200 mg or 3 g.")
    return border.log("dose", tank, {texts["substance"]: texts["mass"], **_when(texts)})


def _really(old: Done, amount: str) -> dict[str, str]:
    """How much of a dose really went in, as a correction: sachets, so many times, or a mass."""
    assert isinstance(old.act, Dose)
    if m := TIMES.fullmatch(amount):
        return {"measured": ""} | _times(old.act, float(number(m[1], "amount")))
    if old.act.supply and re.fullmatch(NUMBER, amount):
        return {"units": amount}
    if old.act.supply and not re.search(r"\d\s*(?:mg|g|kg|ug|µg)\b", amount):
        return {"amount": amount}
    if len(old.act.actives) == 1 and amount:
        return {next(iter(old.act.actives)): amount}
    raise BadInput("amount", amount, "is not how much went in. Write it like 2 times, or 200 mg.")


def _times(act: Dose, factor: float) -> dict[str, str]:
    if factor <= 0:
        raise BadInput("amount", f"{factor:g} times", "can't be right: it must be more than nothing.")
    if act.supply and act.units:
        return {"units": plain(act.units * factor)}
    return {substance: f"{plain(mg * factor)} mg" for substance, mg in act.actives.items()}


def open_steps(room: Room, tank: str, now: datetime, zone: str, facts: Facts) -> tuple[Step, ...]:
    """Steps of the running course that are due and neither ticked nor left out; else the next ones."""
    run = running(room, tank, now, zone, facts)
    if run is None:
        return ()
    late = [s.step for s in run.open if s.step.at <= now]
    return tuple(late or [s.step for s in run.next])


def _forgotten(border: Border, tank: str, texts: Texts) -> Written | None:
    step, how = texts.get("step", ""), texts.get("how", "not-yet")
    if not step or how == "not-yet":
        return None
    told = texts.get("when", "")
    at = not_future(moment(told, border.now, border.zone).at, border.now, told).replace(microsecond=0)
    entry: Entry | None = (
        skipped(border.room, tank, step, "forgotten", at, border.zone, made=border.made)
        if how == "leave"
        else ticked(border.room, tank, step, at, border.zone, made=border.made)
    )
    return Written(entries=(entry,)) if entry is not None else None


def _carbon(border: Border, tank: str, texts: Texts) -> Written | None:
    """In since then, unless the log has it; out since now where it is out."""
    medium = texts.get("medium", "activated_carbon")
    stands = in_since(border.room, tank, medium, border.now)
    found: list[Written] = []
    if stands is None and not was_in(border, tank, medium):
        since = texts.get("since") or _with_the_dose(border, tank)
        found.append(border.log("media", tank, {"medium": medium, "in": "yes", "when": since}))
        stands = found[0].entry.at
    if texts.get("out", "no") == "yes" and stands is not None:
        out = border.log("media", tank, {"medium": medium, "in": "no", "when": texts.get("when", "")})
        if out.entry.at < stands:
            raise BadInput("when", texts.get("when", ""), "is before it was put in.")
        found.append(out)
    return joined(*found) if found else None


def in_since(room: Room, tank: str, medium: str, now: datetime) -> datetime | None:
    """When the medium that is in the filter now went in, by the log; None where the log has none in."""
    found = [(at, act) for at, act in room.acts(tank) if isinstance(act, Media) and act.medium == medium]
    last = [(at, act) for at, act in found if at <= now][-1:]
    return last[0][0] if last and last[0][1].into else None


def was_in(border: Border, tank: str, medium: str) -> bool:
    """Whether the log has it in with the last dose, and out since."""
    dose = next(iter(recent_doses(border.room, tank, border.now, border.facts)), None)
    return dose is not None and in_since(border.room, tank, medium, dose.at) is not None


def _with_the_dose(border: Border, tank: str) -> str:
    """When nothing is said it was in when the last dose went in: that is the slip."""
    dose = next(iter(recent_doses(border.room, tank, border.now, border.facts)), None)
    return dose.at.isoformat() if dose is not None else ""


def _wrong_tank(border: Border, tank: str, texts: Texts) -> Written:
    """A dose moved to the tank that it went into, or one that is not written down yet."""
    into = find_tank(border.room, texts.get("into", "") or tank, "into").id
    which = texts.get("dose", "")
    if which == NEW or not which:
        return _new_dose(border, into, texts, chosen=bool(which))
    old = _dose(border, which)
    if old.tank == into:
        raise BadInput(
            "into", border.room.tanks[into].name, "is where it is written down. Say where it went."
        )
    return border.correct(old.id, {"of": into})
