"""After a course: how it ended, the looks that follow, who stays where, and until when."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

import msgspec

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.entries.ends import OUTCOMES, CourseClosed
from tankward.room.replay import Room
from tankward.room.time import day_of
from tankward.room.treated import Treated
from tankward.rounds.hold import Hold
from tankward.rounds.watch import ClearanceWatch, WatchLook
from tankward.treat.course.records import Watch
from tankward.treat.remedies.carry import carried

from .acts import listed, upper
from .causes import short_name
from .days import day_said
from .outlook import germ_name
from .signs import sign_words

ENDED = {
    "cleared": "Cleared, as far as you can see",
    "better": "Better",
    "no_change": "No change",
    "worse": "Worse",
    "not_known": "Don't know",
}
MEANS = {
    "cleared": "None shows it any more. That does not say it is gone: looks follow by its own cycle.",
    "better": "Fewer show it, or less of it.",
    "no_change": "As many show it as before.",
    "worse": "More show it, or more died.",
    "not_known": "Nobody looked, or it can't be told.",
}
assert set(ENDED) == set(OUTCOMES) == set(MEANS)
TOLD = {"not_known": "How it ended is not known"}
HOWS = {"net": "shared a net with", "water": "shares its water with", "moved": "had animals from or to"}
FOR_LIFE = "those that lived through it may carry it for life: never sold, given or mixed."
NOT_GONE = "Those that lived through it may bear it without a sign. Newcomers do not."
MOST_SIGNS = 3


def outcome_words(outcome: str) -> str:
    """How it ended, as the log tells it."""
    return TOLD.get(outcome, ENDED[outcome].replace("you can see", "could be seen"))


def closed_row(entry: CourseClosed, facts: Facts) -> tuple[str, str]:
    """The entry of the log."""
    told = [
        outcome_words(entry.outcome),
        f"still seen: {signs_said(entry.seen, facts)}" if entry.seen else "",
        f"taken to have been {short_name(entry.cause, facts)}" if entry.cause else "",
    ]
    return "Course closed", ". ".join(upper(t) for t in told if t)


def signs_said(signs: Sequence[str], facts: Facts) -> str:
    """A few signs by their names."""
    names = [sign_words(s, facts) for s in signs[:MOST_SIGNS]]
    more = len(signs) - MOST_SIGNS
    return listed([*names, f"{more} more"] if more > 0 else names)


def asks(one: Treated, room: Room) -> str:
    """The question."""
    name = room.tanks[one.tank].name if one.tank in room.tanks else one.tank
    return f"How did the course in {name} end?"


def left_words(one: Treated) -> str:
    """Steps of it that nobody ticked or left out; "" where there are none."""
    left = [s for s in one.steps if s.id not in one.told]
    if not left:
        return ""
    many = "One step of it is" if len(left) == 1 else f"{len(left)} steps of it are"
    return f"{many} not ticked. Stopping early leaves what it had not reached."


def after_words(one: Treated, days: int, now: datetime, zone: str, facts: Facts) -> str:
    """When it ran and was closed, and what it is taken to have been."""
    closed = one.closed
    when = f"closed {day_said(closed.at, now, zone)}" if closed else ""
    cause = one.cause
    what = f"Taken to have been {short_name(cause, facts)}." if cause else "What it was is not known."
    ran = "one day" if days == 1 else f"{days} days"
    still = f" Still seen: {signs_said(closed.seen, facts)}." if closed and closed.seen else ""
    return f"Begun {day_said(one.begun.at, now, zone)}, {ran}; {when}. {what}{still}"


def met_words(watch: ClearanceWatch, room: Room, facts: Facts) -> str:
    """A tank that met the one that was treated, and until when it is looked at."""
    name = _name(watch.tank, room)
    return f"{name} {HOWS_PAST[watch.how]} it: look for {wanted(watch, facts)} until {date_said(watch.last)}."


def ahead_words(looks: Sequence[WatchLook]) -> str:
    """The days on which it is looked at once it is closed; "" where nothing is watched."""
    days = [date_margin(look.on, None) for look in looks]
    return f"Closed, it is looked at on {listed(days)}, by the cycle of what it was for." if days else ""


def begun_words(one: Treated, now: datetime, zone: str) -> str:
    """What ran, since when, and when its last step was."""
    until = f"its last step was {day_said(one.planned_end, now, zone)}"
    stop = f"; stopped {day_said(one.stopped_at, now, zone)}" if one.stopped_at else ""
    ends = "" if one.planned_end > now or stop else f"; {until}"
    return f"{upper(one.begun.name)}, begun {day_said(one.begun.at, now, zone)}{stop}{ends}."


def seen_lately(room: Room, one: Treated, now: datetime, zone: str, facts: Facts) -> str:
    """What the last look of the course said."""
    looks = [k for k in room.looks(one.tank) if one.begun.at <= k.at <= now]
    if not looks:
        return "Nobody has written down a look since it began."
    last = looks[-1]
    told = [
        f"seen: {signs_said(last.seen, facts)}" if last.seen else "",
        f"not there: {signs_said(last.absent, facts)}" if last.absent else "",
        "all well" if last.well and not last.seen else "",
    ]
    said = "; ".join(t for t in told if t) or "nothing said of a sign"
    return f"The last look, {day_said(last.at, now, zone)}: {said}."


class LookRow(msgspec.Struct, frozen=True, kw_only=True):
    """One look of a watch: its day, what to look for, what it waits for."""

    margin: str
    head: str
    soft: str
    done: bool
    due: bool


def look_rows(watch: ClearanceWatch, now: datetime, zone: str, facts: Facts) -> list[LookRow]:
    """The looks of a watch, by their days."""
    today = day_of(now, zone)
    return [
        LookRow(
            margin=date_margin(look.on, today), head=f"Look for {wanted(watch, facts)}",
            soft=waits_for(look, watch, facts), done=bool(look.done), due=not look.done and look.on <= today,
        )
        for look in watch.looks
    ]  # fmt: skip


def wanted(watch: ClearanceWatch, facts: Facts) -> str:
    """What is looked for."""
    return signs_said(watch.signs, facts) if watch.signs else "any sign"


def waits_for(look: WatchLook, watch: ClearanceWatch, facts: Facts) -> str:
    """Why on this day."""
    return look_why(look, watch.causes, facts)


def look_why(look: WatchLook, causes: Sequence[str], facts: Facts) -> str:
    """What a look on this day waits for."""
    if look.cycle < 0:
        return "No cycle of it is known: the usual days of a quarantine (usual practice)."
    cause = next((c for c in causes if look.organism in facts.causes[c].organisms), "")
    name = germ_name(look.organism, cause, facts)
    return {
        0: f"The first of new {name} could show now (computed, by this water's warmth).",
        1: f"One whole cycle of {name} is over (computed, by this water's warmth).",
        2: f"Two whole cycles of {name} are over (computed, by this water's warmth).",
    }[look.cycle]


def watch_says(watch: ClearanceWatch, room: Room, now: datetime, zone: str, facts: Facts) -> str:
    """How far the watch is, or what came back."""
    name = room.tanks[watch.tank].name
    if watch.back is not None:
        return back_says(watch, room, facts)
    day = watch.day(now, zone)
    why = f"It {HOWS[watch.how]} {_name(watch.of, room)}. " if watch.how else ""
    again = {"sign": ", counted anew from the last sign", "newcomer": ", counted anew from the last newcomer"}
    last = date_said(watch.last)
    return f"{why}{name} is watched until {last}: day {day}{again.get(watch.restarted, '')}."


def back_says(watch: ClearanceWatch, room: Room, facts: Facts) -> str:
    """A sign of it seen again: that is said, and asked anew."""
    assert watch.back is not None
    seen = signs_said(watch.back.signs, facts)
    name = room.tanks[watch.tank].name
    if watch.how:
        of = _name(watch.of, room)
        return f"{name} shows {seen}, day {watch.back.day} after it {HOWS_PAST[watch.how]} {of}."
    return f"It is back in {name}, by what is seen: {seen}, day {watch.back.day} of the watch."


HOWS_PAST = {"net": "shared a net with", "water": "shared its water with", "moved": "had animals from or to"}
BACK_THEN = "A sign is no proof. Ask again what it may be, before anything goes in."


def hold_says(hold: Hold, room: Room, now: datetime, zone: str, facts: Facts) -> str:
    """Who stays, and until when; never that anything is gone (safety rule 26)."""
    name = _name(hold.tank, room)
    causes = listed([short_name(c, facts) for c in hold.causes], "or")
    until = date_said(day_of(hold.until, zone)) if hold.until else ""
    since = day_said(hold.since, now, zone) if hold.since else ""
    return {
        "course": f"Nothing is sold, given or mixed from {name} while {hold.course} runs, nor until its days "
        "are over.",
        "not-over": f"{hold.course} did not clear it. Nothing leaves the room until it is known what it is.",
        "unknown": "What it was is not known. Nothing leaves the room while nobody knows.",
        "signs": f"Signs were seen {since}, and nobody knows yet what it is. Nothing leaves the room.",
        "for-life": f"Nothing from {name} is ever sold, given or mixed: those that lived through {causes} "
        "may carry it for life, or nobody knows how long.",
        "carried": f"Nothing from {name} is sold, given or mixed before {until}: those that lived through "
        f"{causes} may carry it until then, at the least.",
        "newcomers": f"Nothing from {name} is sold, given or mixed before {until}: newcomers are in it, and "
        "their days apart are not over.",
        "met": f"Nothing from {name} is sold, given or mixed before {until}: it "
        f"{HOWS_PAST.get(hold.how, 'met')} {_name(hold.of, room)}.",
    }[hold.why]


OVER_UNKNOWN = "While nobody knows what it is, nothing leaves the room."
OVER_TELL = (
    "Write down how it ended: it is kept for the next time, and the looks are then asked for on their days."
)


def over_lines(
    causes: Sequence[str], watch: Sequence[Watch], temp_c: Estimate | None, zone: str, facts: Facts
) -> list[str]:
    """When a course is over: how long it is looked for, who stays and until when (safety rule 26)."""
    lines = [] if len(causes) == 1 else [OVER_UNKNOWN]
    for row in watch:
        cause = next((c for c in causes if row.organism in facts.causes[c].organisms), "")
        name = germ_name(row.organism, cause, facts)
        until = date_said(day_of(row.until, zone))
        lines.append(f"Look for the same signs until {until}: one whole cycle of {name} (computed).")
    rows = carried(causes, temp_c, facts)
    for one in rows:
        name = upper(short_name(one.cause, facts))
        if one.days is None:
            lines.append(f"{name}: {FOR_LIFE}")
        else:
            lines.append(f"{name}: not sold, given or mixed until {one.days:.0f} days after the last sign.")
    return [*lines, *([NOT_GONE] if rows else []), OVER_TELL]


def _name(tank: str, room: Room) -> str:
    return room.tanks[tank].name if tank in room.tanks else tank


def date_said(day: date) -> str:
    """Thu 14 May."""
    return f"{day:%a} {day.day} {day:%b}"


def date_margin(day: date, today: date | None) -> str:
    """Today, or 14 May."""
    return "Today" if day == today else f"{day.day} {day:%b}"
