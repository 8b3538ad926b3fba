"""Sentences about today's round: how far it is, who is next and last, what is due and what is done."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from tankward.knowledge.known import Facts
from tankward.quantities.parse import Estimate
from tankward.room.replay import Room
from tankward.room.time import day_of
from tankward.rounds.due import Due
from tankward.rounds.heads import Heads, Missing
from tankward.rounds.round import ORDER_RULE, Looked, Round, Visit
from tankward.rounds.steps import StepDue
from tankward.rounds.watch import ClearanceWatch, looks_ahead

from .acts import ended, listed, step_head, upper
from .after import BACK_THEN, ahead_words, asks, back_says, begun_words, waits_for, wanted
from .days import clock, day_said
from .newcomers import LOOK_THEN, newcomer_look
from .planned import late_words
from .room import count
from .signs import sign_words
from .status import status_words
from .supplies import short_of_rest

NUMBERS = (
    "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
)  # fmt: skip
NOTHING = "Nothing has to be done tonight."
EMPTY = "Nobody lives here yet"
EMPTY_SAYS = "A round begins with animals. Describe a tank and who lives in it: two minutes for the first."
NEXT_DAYS = 7  # a day of this week is told by its name


def number_word(n: int) -> str:
    """Small numbers in letters."""
    return NUMBERS[n] if 0 <= n < len(NUMBERS) else str(n)


def tanks_said(n: int) -> str:
    return f"{upper(number_word(n))} {'tank' if n == 1 else 'tanks'}"


def finding(found: Round, hand: Visit | None, room: Room, zone: str) -> str:
    """How far the round is, who is next, who comes last; then what is left for tonight."""
    if not found.visits:
        return _round_done(found, room, zone)
    last = found.visits[-1]
    start = (
        f"{tanks_said(len(found.looked))} done{_how(found, room)}."
        if found.looked
        else f"{tanks_said(len(found.visits))} to look at."
    )
    if hand is None or len(found.visits) == 1:
        return f"{start} {room.tanks[last.tank].name} is the last."
    tail = f", {room.tanks[last.tank].name} last" if last.tank != hand.tank else ""
    return f"{start} {room.tanks[hand.tank].name} {'next' if found.looked else 'first'}{tail}."


def _how(found: Round, room: Room) -> str:
    odd = [room.tanks[one.tank].name for one in found.looked if not one.well]
    if not odd:
        return ", all well"
    return f", {listed(odd)} {'looks' if len(odd) == 1 else 'look'} odd" if len(odd) <= 3 else ""


def _round_done(found: Round, room: Room, zone: str) -> str:
    if not found.looked and found.nothing:
        return f"Nobody to look at. {NOTHING}"
    start = "The round is done." if found.looked else "Nobody to look at."
    if found.nothing:
        return f"{start} {NOTHING}"
    late = [s for s in found.open_steps if s.state == "late"]
    if late:
        names = list(dict.fromkeys(room.tanks[s.tank].name for s in late))
        return f"{start} {listed(names)} {'is' if len(names) == 1 else 'are'} late."
    if found.open_steps:
        first = found.open_steps[0]
        return f"{start} {room.tanks[first.tank].name} next, at {clock(first.step.at, zone)}."
    left = len(found.missing) + len(found.due)
    return f"{start} {upper(number_word(left))} more {'thing' if left == 1 else 'things'} to see to."


def why(found: Round, room: Room, zone: str) -> str:
    """What is late while the round still goes on; "" where nothing is."""
    late = [s for s in found.open_steps if s.state == "late"]
    if not found.visits or not late:
        return ""
    told = [f"{room.tanks[s.tank].name} of {clock(s.step.at, zone)}" for s in late[:3]]
    return f"Late: {listed(told)}. See below."


def who(heads: Sequence[Heads]) -> str:
    """Who lives there; of several groups how many of each."""
    if len(heads) == 1:
        return upper(heads[0].stock.name)
    return upper(listed([f"{count(h.number)} {h.stock.name}" for h in heads]))


def since_words(at: datetime | None, now: datetime, zone: str) -> str:
    """When a number was last told: yesterday, on Friday, on 3 May."""
    if at is None:
        return "before"
    days = (day_of(now, zone) - day_of(at, zone)).days
    if days <= 1:
        return "today" if days <= 0 else "yesterday"
    there = at.astimezone(now.tzinfo)
    return f"on {there:%A}" if days < NEXT_DAYS else f"on {there.day} {there:%b}"


def heads_line(heads: Sequence[Heads], now: datetime, zone: str) -> str:
    """Under a tank in the list: "9 yesterday", "about 70, no need to count"; of several, since when."""
    counted = [h for h in heads if h.countable]
    if len(heads) == 1 and not counted:
        return f"{count(heads[0].number)}, no need to count"
    if not counted:
        return "no need to count"
    when = since_words(counted[0].since, now, zone)
    return f"{count(counted[0].number)} {when}" if len(heads) == 1 else f"counted {when}"


def care(visit: Visit, room: Room, facts: Facts, now: datetime, zone: str) -> str:
    """What hands and nets must heed at this tank; "" at a healthy one in its turn."""
    state = visit.state
    sign = sign_words(state.signs[0], facts) if state.signs else "signs"
    since = since_words(state.at, now, zone)
    told = {
        "signs": "sick: its own net, wash hands after",
        "signs-few": f"{sign} on one: its own net, wash hands after",
        "odd": f"looked odd {since}: say what you see",
        "in-course": "in a course: its own net",
        "shared-net": f"shared a net {since}: look for signs, wash hands after",
        "after-course": "after its course: its own net, wash hands after",
        "met-ill": f"met {_named(state.other, room)}: look for signs, wash hands after",
        "not-looked-at": "not looked at for a while",
    }.get(state.why, "")
    if visit.after:
        names = listed([room.tanks[t].name for t in visit.after])
        return f"after {names}: wash hands first, its own net" + (f"; {told}" if told else "")
    return told


def _named(tank: str, room: Room) -> str:
    return room.tanks[tank].name if tank in room.tanks else "a tank that was ill"


def order_words(facts: Facts) -> str:
    """The order of the round and how sure it is."""
    rule = next((r for r in facts.hygiene.disinfection_rule if r.id == ORDER_RULE), None)
    sure = f" ({status_words(rule.status)})" if rule else ""
    return f"Healthy first, the sick last; hands washed to the elbow and a net for each{sure}."


def missing_words(one: Missing, room: Room) -> str:
    """One is missing in T7: 11 before, 10 now."""
    verb = "is" if one.number == 1 else "are"
    many = upper(number_word(one.number))
    return (
        f"{many} {verb} missing in {room.tanks[one.tank].name} ({one.stock.name}): "
        f"{one.now:.0f}, not {one.before:.0f}."
    )


def step_words(step: StepDue, room: Room, facts: Facts) -> str:
    """T7: half the water out."""
    return f"{room.tanks[step.tank].name}: {_lower(ended(step_head(step.step, facts)))}"


def step_act(step: StepDue, zone: str, facts: Facts) -> str:
    """The act with its hour: Change half of the water at 18:30."""
    hour = clock(step.step.at, zone)
    when = f", due since {hour}" if step.state == "late" else f" at {hour}"
    return f"{upper(step_head(step.step, facts)).rstrip('.')}{when}."


def _lower(text: str) -> str:
    return text if text[:2].isupper() or text.startswith("pH") else text[:1].lower() + text[1:]


def step_late(step: StepDue, now: datetime) -> str:
    """How late, and what to do now; "" where it isn't late."""
    return upper(late_words(step, now)) if step.state == "late" else ""


def step_told(step: StepDue, zone: str) -> str:
    """Done 18:34, or left out."""
    at = clock(step.at, zone) if step.at else ""
    return f"done {at}" if step.state == "done" else f"left out {at}"


SHORT_THEN = "Get more before it runs out: a course that stops half way leaves what it had not reached."


def _watch_words(
    watch: ClearanceWatch, room: Room, now: datetime, zone: str, facts: Facts
) -> tuple[str, str]:
    """A sign of it seen again, or a look that is due."""
    if watch.back is not None:
        return back_says(watch, room, facts), BACK_THEN
    look = watch.due(day_of(now, zone))[-1]
    name, day = room.tanks[watch.tank].name, watch.day(now, zone)
    head = f"Look in {name} for {wanted(watch, facts)}: day {day} of the watch."
    return head, waits_for(look, watch, facts)


def due_words(one: Due, room: Room, now: datetime, zone: str, facts: Facts) -> tuple[str, str]:
    """What is due, and the line under it."""
    if one.kind == "body":
        who_ = room.stock[one.what].name
        return (
            f"{one.number:.0f} dead {who_} may still be in: take it out.",
            "With this tank's own net, into a bag in the fridge: it is evidence.",
        )
    if one.watch is not None:
        return _watch_words(one.watch, room, now, zone, facts)
    if one.need is not None:
        return short_of_rest(one.need, room.tanks[one.tank].name), SHORT_THEN
    assert one.on is not None
    if one.course is not None:
        since = begun_words(one.course, now, zone)
        ahead = ahead_words(looks_ahead(room, one.course, now, zone, facts))
        return asks(one.course, room), f"{since} {ahead}".strip()
    on = f"{one.on.day} {one.on:%b %Y}"
    if one.kind == "newcomer-look":
        return newcomer_look(one.what, room.tanks[one.tank].name, round(one.number)), LOOK_THEN[one.what]
    if one.kind == "quarantine":
        return (
            f"{one.number:.0f} days apart are over for the {room.stock[one.what].name}.",
            f"Since {one.on.day} {one.on:%b} ({status_words(one.status)}). Look at each before they meet "
            "others; a sign, or a newcomer since, starts the days again.",
        )
    name = room.shelf[one.what].name
    if one.kind == "packet-over":
        return f"{name} is past its date.", f"Good until {on}. Throw it away, or write the date of a new one."
    return f"{name} goes past its date soon.", f"Good until {on}."


def looked_words(one: Looked, room: Room, facts: Facts) -> str:
    """14 counted; not counted; or what was seen."""
    if one.look.seen:
        return upper(listed([sign_words(s, facts) for s in one.look.seen[:3]]))
    if one.look.well is False:
        return "Looked odd"
    if one.counts:
        return listed([counted_words(c.number, room, c.stock) for c in one.counts])
    return "not counted"


def counted_words(number: Estimate, room: Room, stock: str) -> str:
    name = room.stock[stock].name if stock in room.stock else ""
    return f"{count(number)} {name}".strip() + " counted"


def tonight(steps: Sequence[StepDue], now: datetime, zone: str) -> str:
    """The head over the steps: tonight, or today while some come before the evening."""
    said = {day_said(s.step.at, now, zone) for s in steps if s.step.at >= now}
    return "Tonight" if said == {"tonight"} else "Today"
