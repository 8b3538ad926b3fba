"""What a measurement done step by step comes to, before it is kept."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from tankward.judge.limits import limits
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate, is_unknown
from tankward.quantities.working import Answer, Working, answer
from tankward.room.entries.animals import JarTrial, NetfulWeighed
from tankward.room.entries.shelf import HoseTimed, SpoonWeighed
from tankward.room.holds import water_of
from tankward.room.measuring import flow, netful, spoonful, step_or_usual
from tankward.room.replay import Room
from tankward.room.things import Kit, Stock
from tankward.room.weight import one_g
from tankward.water.conductivity import nacl_rise_us_cm

from .border import Border, Written
from .measured import bucket_volume, salt_volume

TRACE_MG_L = 100.0  # enough for any pen to see: a rise of about 200 uS/cm [our own choice]
SAFE_SHARE = 0.5  # of the lowest limit of those that live there [our own choice]
Texts = Mapping[str, str]


class Found(msgspec.Struct, frozen=True, kw_only=True):
    """The answer with its working, and the entries that would be kept."""

    answer: Answer
    written: Written
    before: Estimate | None = None  # what was known until now, in the same unit
    kit: Kit | None = None  # as it would be


def found(what: str, border: Border, tank: str, texts: Texts) -> Found:
    """What was measured.

    Raises
    ------
    BadInput
        For a field that can't be used.
    """
    told = {k: t for k, t in texts.items() if t.strip() and not is_unknown(t)}
    if what == "spoon":
        return _spoon(border, told)
    if what == "hose":
        return _hose(border, told)
    if what == "netful":
        return _netful(border, tank, told)
    if what in ("count", "salt"):
        return _water(what, border, tank, told)
    if what == "jar":
        return _jar(border, tank, told)
    written = border.kit({what: texts.get(what, "").strip() or "dont-know"})
    kit = written.entry.effect(border.room).kit
    return Found(answer=Answer(value=None), written=written, kit=kit)


def _scale(work: Working, step_g: float | None) -> None:
    step = step_or_usual(step_g)
    how = "as you said" if step_g is not None else "not known: a kitchen scale's"
    work.step("step of the scale", how, step, "g", status="computed" if step_g else "common-practice")


def _spoon(border: Border, texts: Texts) -> Found:
    written = border.spoon(texts)
    entry = written.entry
    assert isinstance(entry, SpoonWeighed)
    one = spoonful(entry.mass_g, entry.spoons, entry.step_g)
    work = Working("level spoons, one like the next within 15 %")
    work.step("together", "on the scale", entry.mass_g, "g")
    work.step("spoons", "counted", entry.spoons, "")
    _scale(work, entry.step_g)
    work.step("one spoon", "together ÷ spoons", one.value, "g")
    return Found(answer=answer(one.value, "g", work, low=one.low, high=one.high), written=written)


def _hose(border: Border, texts: Texts) -> Found:
    written = border.hose(texts)
    entry = written.entry
    assert isinstance(entry, HoseTimed)
    rate = flow(entry.volume_l, entry.minutes)
    work = Working("the tap as far open as for a change")
    work.step("bucket", "to its mark, 5 % off", entry.volume_l, "L", status="memory")
    work.step("time", "start and stop by hand, a second each", entry.minutes, "min", status="common-practice")
    work.step("in a minute", "bucket ÷ time", rate.value, "L/min")
    return Found(answer=answer(rate.value, "L/min", work, low=rate.low, high=rate.high), written=written)


def by_length(group: Stock, facts: Facts) -> Estimate | None:
    """What one weighs by its length alone."""
    return None if group.length_cm is None else one_g(group.kind, group.length_cm, facts)


def _netful(border: Border, tank: str, texts: Texts) -> Found:
    written = border.log("netful", tank, texts)
    entry = written.entry
    assert isinstance(entry, NetfulWeighed)
    group = border.room.stock[entry.stock]
    one = netful(entry.mass_g, entry.number, entry.step_g, group.number)
    before = group.mass_g or by_length(group, border.facts)
    work = Working("no drips; those that were not weighed are like those that were")
    work.step("together", "on the scale", entry.mass_g, "g")
    work.step("weighed", "counted", entry.number, "")
    _scale(work, entry.step_g)
    if before is not None:
        work.step("until now", "as weighed before" if group.mass_g else "by their length", before.value, "g")
    work.step("one", "together ÷ number", one.value, "g")
    length = by_length(group, border.facts)
    if length is not None and (one.high < length.low or one.low > length.high):
        work.caution("That is not what their length says: weigh once more, or measure one.")
    return Found(
        answer=answer(one.value, "g", work, low=one.low, high=one.high), written=written, before=before
    )


def _water(what: str, border: Border, tank: str, texts: Texts) -> Found:
    if what == "count":
        texts = {k: v for k, v in texts.items() if k in ("buckets", "bucket", "rest")}
        made = bucket_volume(texts, border.room)
    else:
        made = salt_volume(texts, border.room, tank)
    written = border.log("volume", tank, texts)
    room = written.entry.effect(border.room)
    before = water_of(border.room.tanks[tank], border.room)
    after = water_of(room.tanks[tank], room)
    cautions = tuple(dict.fromkeys((*after.cautions, *made.cautions)))
    known = (
        None
        if before.value is None or before.low is None or before.high is None
        else Estimate(before.value, before.low, before.high)
    )
    return Found(answer=msgspec.structs.replace(made, cautions=cautions), written=written, before=known)


def _jar(border: Border, tank: str, texts: Texts) -> Found:
    substance, level = texts.get("substance", ""), texts.get("level", "")
    died = (
        ""
        if texts.get("died", "").strip().lower() in ("0", "nobody", "none", "no")
        else texts.get("died", "")
    )
    given = {substance: level, "hours": texts.get("hours", ""), "lived": texts.get("went", "")}
    given |= {k: v for k, v in (("died", died), ("ill", texts.get("ill", ""))) if v}
    written = border.log("jar_trial", tank, given)
    entry = written.entry
    assert isinstance(entry, JarTrial)
    for animal, number in entry.died.items():
        if number > entry.lived.get(animal, 0.0):
            raise BadInput("died", texts.get("died", ""), "is more than went in.")
    lived = {a: n - entry.died.get(a, 0.0) for a, n in entry.lived.items()}
    entry = msgspec.structs.replace(entry, lived={a: n for a, n in lived.items() if n > 0})
    written = msgspec.structs.replace(written, entries=(entry,))
    work = Working()
    for known, value in entry.conc_mg_l.items():
        work.step(known.replace("_", " "), "in the jar", value, "mg/L")
    work.step("for", "as you timed it", entry.hours, "h")
    return Found(answer=answer(entry.hours, "h", work), written=written)


class Trace(msgspec.Struct, frozen=True, kw_only=True):
    """Salt for the pen: the most that nobody here is known to mind, and who stands in the way."""

    grams: float | None  # None: the litres are not known
    level_mg_l: float
    rise_us_cm: float
    strictest: str = ""
    minds: tuple[str, ...] = ()  # who is known to mind any of it
    unknown: tuple[str, ...] = ()  # of whom nothing is known
    status: str = "common-practice"


def trace_of(room: Room, tank: str, facts: Facts) -> Trace:
    """How much salt shows on a pen and is small for those that live there, by the limits of the facts."""
    rows = limits("sodium_chloride", room.stock_of(tank), facts)
    real = [r for r in rows if not r.presumed]
    minds = tuple(dict.fromkeys(r.who for r in real if r.level == 0.0))
    unknown = tuple(dict.fromkeys(r.who for r in rows if r.level is None))
    known = [r for r in real if r.level]
    lowest = min(known, key=lambda r: r.level or 0.0, default=None)
    level = min([TRACE_MG_L, *((r.level or 0.0) * SAFE_SHARE for r in known)])
    water = water_of(room.tanks[tank], room)
    return Trace(
        grams=None if water.low is None else level * water.low / 1000,
        level_mg_l=level,
        rise_us_cm=float(nacl_rise_us_cm(level)),
        strictest=lowest.who if lowest is not None and level < TRACE_MG_L else "",
        minds=minds,
        unknown=unknown,
        status=lowest.status if lowest is not None else "common-practice",
    )


def usual_trial(room: Room, tank: str, facts: Facts) -> str:
    """Who of a tank goes into the jar: three shrimp, one snail, one fish."""
    rows = []
    for group in room.stock_of(tank):
        known = facts.animals.get(group.kind)
        if known is not None:
            rows.append(f"{group.kind.replace('_', ' ')} {3 if known.group.startswith('shrimp') else 1}")
    return "; ".join(dict.fromkeys(rows))


__all__ = ["Found", "Trace", "found", "trace_of", "usual_trial"]
