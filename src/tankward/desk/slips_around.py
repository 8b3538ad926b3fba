"""Slips that are no dose: water, power, warmth, a newcomer, food that was spat out. As entries."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import timedelta
from itertools import chain

from tankward.quantities.faults import BadInput
from tankward.quantities.parse import is_unknown, quantity
from tankward.room.acts import Change
from tankward.room.entries.acts import Done
from tankward.room.entries.base import Entry
from tankward.room.entries.corrections import Corrected
from tankward.room.numerals import plain
from tankward.room.time import moment, not_future
from tankward.treat.mend.uneaten import into_water_mg, last_meal

from .border import Border, Written
from .running import skipped, ticked

STILL = ("still", "still off")
NEW = "new"  # a change that is not written down yet
Texts = Mapping[str, str]


def joined(*written: Written) -> Written:
    """Several things written down together."""
    return Written(
        entries=tuple(chain.from_iterable(w.entries for w in written)),
        says=tuple(chain.from_iterable(w.says for w in written)),
    )


def taken_back_by(written: Written) -> tuple[Entry, ...]:
    """What an undo of it takes back: of a correction the entry that says so, which brings the first back."""
    made = {e.by for e in written.entries if isinstance(e, Corrected)}
    return tuple(e for e in written.entries if e.id not in made)


def _when(texts: Texts) -> dict[str, str]:
    return {"when": texts["when"]} if "when" in texts else {}


def _change(border: Border, word: str) -> Done:
    found = next((e for e in border.room.log if e.id == word), None)
    if not (isinstance(found, Done) and isinstance(found.act, Change)):
        raise BadInput("change", word, "is no water change that stands in the log.")
    return found


def _tap(border: Border, tank: str, texts: Texts) -> Written:
    which = texts.get("change", NEW)
    if which != NEW:
        return border.correct(_change(border, which).id, {"dechlorinated": "no"})
    told = _needed(texts, "share", "How much of the water? Write it like 30 % or a half.")
    return border.log("change", tank, {"share": told, "dechlorinated": "no", **_when(texts)})


def _needed(texts: Texts, field: str, ask: str) -> str:
    if not texts.get(field):
        raise BadInput(field, "", f"is missing. {ask}")
    return texts[field]


def _ran_out(border: Border, tank: str, texts: Texts) -> Written:
    told = _needed(texts, "share", "How much of the water went? Write it like 80 % or 20 L.")
    return border.log("lost_water", tank, {"share": told, **_when(texts)})


def _no_flow(border: Border, tank: str, texts: Texts) -> Written:
    """A power cut with its hours; a note where nobody knows how long, as that can't be reckoned with."""
    hours = texts.get("hours", "")
    if hours and not is_unknown(hours):
        lasted = {} if hours.lower() in STILL else {"hours": hours}
        return border.log(
            "power_cut", tank, {"off": texts.get("off", "all"), **lasted, **_since(border, texts)}
        )
    text = texts.get("text") or "The filter or the power was off."
    return border.log("note", tank, {"text": text, **_when(texts)})


def _since(border: Border, texts: Texts) -> dict[str, str]:
    """When it began: what is said, else so long ago that it is over now."""
    if "when" in texts or texts["hours"].lower() in STILL:
        return _when(texts)
    long = quantity(texts["hours"], "time", "hours", border.room.kit.taste).value
    return {"when": (border.now - timedelta(hours=long)).isoformat()}


def _too_warm(border: Border, tank: str, texts: Texts) -> Written:
    """The heater holds what the thermometer shows."""
    if by_change := _by_change(border, tank, texts):
        return by_change
    if not texts.get("temp"):
        return border.log("note", tank, {"text": "The heater stuck; how warm is not known.", **_when(texts)})
    read = border.log("reading", tank, {"temp": texts["temp"], "sure": "about", "note": "heater stuck"})
    return joined(read, border.log("heat", tank, {"temp": texts["temp"], "sure": "about", **_when(texts)}))


def _too_cold(border: Border, tank: str, texts: Texts) -> Written:
    """The heater without power, and what the thermometer shows where that is known."""
    if by_change := _by_change(border, tank, texts):
        return by_change
    off = border.log("power_cut", tank, {"off": "heater", **_when(texts)})
    if not texts.get("temp"):
        return off
    return joined(border.log("reading", tank, {"temp": texts["temp"], "sure": "about"}), off)


def _by_change(border: Border, tank: str, texts: Texts) -> Written | None:
    """New water that was too cold or too warm; None where it was the heater."""
    which, warm = texts.get("change", ""), texts.get("new-temp", "")
    if not which:
        return None
    if which != NEW:
        return border.correct(_change(border, which).id, {"temp": warm})
    told = _needed(texts, "share", "How much of the water? Write it like 30 % or a half.")
    return border.log("change", tank, {"share": told, "temp": warm, **_when(texts)})


def _no_change(border: Border, tank: str, texts: Texts) -> Written | None:
    """A change of the course that is left out, or was made late; nothing where it is still to come."""
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


def _big_change(border: Border, tank: str, texts: Texts) -> Written:
    told = _needed(texts, "share", "How much of the water went? Write it like 80 % or 20 L.")
    which = texts.get("change", NEW)
    if which != NEW:
        return border.correct(_change(border, which).id, {"share": told})
    return border.log("change", tank, {"share": told, **_when(texts)})


def _newcomer(border: Border, tank: str, texts: Texts) -> Written:
    kind = _needed(texts, "kind", "Which animal is it? Write it like 2 guppies, or unknown.")
    name = {"name": texts["name"]} if texts.get("name") else {"name": "newcomer"} if is_unknown(kind) else {}
    number = (
        {"number": texts["number"]} if texts.get("number") else {} if kind[:1].isdigit() else {"number": "1"}
    )
    return border.stock(tank, {"kind": kind, **number, **name, **_when(texts)})


EATEN = {"all": 1.0, "half": 0.5, "nothing": 0.0}


def _not_eaten(border: Border, tank: str, texts: Texts) -> Written:
    """That meal as it was eaten, and what went from the rest of it into the water."""
    meal = last_meal(border.room, tank, border.now)
    if meal is None:
        return border.log("note", tank, {"text": "They did not eat the medicated food.", **_when(texts)})
    told = texts.get("eaten", "nothing")
    eaten = EATEN[told] if told in EATEN else quantity(told, "share", "eaten").value
    right = border.correct(meal.entry.id, {"food": f"{plain(meal.food_g * eaten)} g"})
    went = into_water_mg(meal, eaten, border.facts, left_in=texts.get("left", "no") == "yes")
    leached = {s: f"{plain(mg)} mg" for s, mg in went.items() if mg > 0.0}
    if not leached:
        return right
    note = {"note": "leached from food that was not eaten", "when": meal.entry.at.isoformat()}
    return joined(border.log("dose", tank, {**leached, **note}), right)


def _else(border: Border, tank: str, texts: Texts) -> Written:
    if not texts.get("text"):
        raise BadInput("text", "", "is empty. Say in your own words what happened.")
    return border.log("note", tank, {"text": texts["text"], **_when(texts)})


AROUND: dict[str, Callable[[Border, str, Texts], Written | None]] = {
    "untreated-tap": _tap, "little-water": _ran_out, "no-flow": _no_flow, "too-warm": _too_warm,
    "too-cold": _too_cold, "no-change": _no_change, "big-change": _big_change, "newcomer": _newcomer,
    "not-eaten": _not_eaten, "something-else": _else,
}  # fmt: skip
