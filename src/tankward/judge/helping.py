"""Is it helping, by the life of the organism that a course is against?

The looks since the course began are held against each of what may be so (`hypotheses.py`): the same draws
with what the course does to the organism and without (`model/both_ways.py`), and signs that follow no
organism of ours (`model/drifting.py`).
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

import msgspec
import numpy as np

from tankward.knowledge.known import Facts
from tankward.model.both_ways import Asked, BothWays, both_ways, looked_like, pilots, touches
from tankward.model.counts import Deaths, OnFish, Told
from tankward.model.drifting import drifting, log_deaths_since, log_fields_since, log_since
from tankward.model.fields import InField
from tankward.model.follow import herd_of
from tankward.model.from_room import Story, story
from tankward.model.learn import Learning, learn
from tankward.model.organisms import life_of, longest_stay_d
from tankward.model.record import Record
from tankward.model.simulate import simulate
from tankward.model.suspect import Seen, Suspect, died, seen_of, telling
from tankward.model.weigh import well
from tankward.room.acts import AnyAct, Apart, Bath, Change, Dose, Feed, Heat, Light, LookAgain, Siphon
from tankward.room.entries.acts import CourseBegun, Done
from tankward.room.replay import Room

from .causes import causes
from .expected import DayBand, Expected, Teller, bands, expected
from .from_room import room_evidence
from .hypotheses import Chances, posterior, prior_of
from .network_of import network_of
from .telling import Telling, numbers_of, tellings

DRAWS = 256
BEFORE = timedelta(days=14)  # looks so long before a course tell how it stood [our own choice]
LEAST_D = 7.0  # no course waits longer than a week until it may be judged [common practice, our choice]
WATCHED = timedelta(days=10)  # after the last step: so long a look may still tell [our own choice]
MOST = timedelta(days=45)  # from the beginning of the course
REACHED = 0.5  # of a stage dead at most: from there on a substance reaches it [common practice]
A_DAY = timedelta(days=1)
HALF = timedelta(hours=12)
AHEAD, DRAWN, DRAWN_BEFORE = timedelta(days=4), timedelta(days=10), timedelta(days=4)  # of the picture
SAME_LOOK = timedelta(days=1)  # sooner after the last one a look tells little that is new [our own choice]
NOT_ACTING = ("water conditioner", "buffer", "filter medium", "physical")
DOES = (Heat, Light, Siphon, Change)  # what is done without a medicine


class Question(msgspec.Struct, frozen=True, kw_only=True):
    """A tank in which a course runs. `planned`: its steps that are still to come."""

    room: Room
    course: CourseBegun
    planned: tuple[tuple[datetime, AnyAct], ...]
    now: datetime
    facts: Facts

    @property
    def tank(self) -> str:
        return self.course.tank


class Helped(msgspec.Struct, frozen=True, kw_only=True):
    """What can be said by the life of one organism. `right`: that the cause is the one it was begun against,
    as it stood then. `earliest`: before, nothing is said. `telling`: when looks will tell; `more`: when looks
    at more fish do, where that is sooner. `learning`, `told`: the water of it.
    """

    organism: str
    right: float
    prior: Chances
    chances: Chances
    earliest: datetime
    counted_at: datetime | None  # the last look since the course began that tells of it
    expected: Expected
    days: tuple[DayBand, ...]
    looks: tuple[Told, ...]
    telling: Telling | None
    more: Telling | None
    effective: float
    power: float
    learning: Learning
    told: Story


def helped(asked: Question) -> Helped | None:
    """How the course stands.

    Parameters
    ----------
    asked : Question
        Room, course, what is to come, now.

    Returns
    -------
    Helped or None
        None where no life of the cause is in the facts, where nothing is known of what the course does to it,
        or where its fish sit in a tub.

    Raises
    ------
    BadInput
        If the tank's litres are not known.
    """
    one = _organism(asked)
    if one is None or any(isinstance(s.act, Apart) for s in asked.course.steps):
        return None
    model = _asked(asked, one)
    if model is None:
        return None
    asking, learning = model
    first = pilots(asking, _by(asked.course))
    both = both_ways(asking, first) if first else None
    return None if both is None else _helped(asked, one, both, learning)


def _organism(asked: Question) -> Suspect | None:
    """Of the cause's organisms the one of whose signs most was told; the first where that tells nothing."""
    cause, facts = asked.course.cause, asked.facts
    known = facts.causes[cause].organisms if cause in facts.causes else ()
    found = [Suspect(organism=o, cause=cause) for o in known if facts.organisms[o].host != "none"]
    return max(found, key=lambda s: len(_seen(asked, s).told), default=None)


def _seen(asked: Question, one: Suspect) -> Seen:
    return seen_of(asked.room, asked.tank, one, asked.now, asked.course.at - BEFORE, asked.facts)


def _by(course: CourseBegun) -> datetime:
    """By then it must have done something: the end of what is done, a week at the earliest."""
    acts = [s.at for s in course.steps if not isinstance(s.act, LookAgain)]
    return max([*acts, course.at + timedelta(days=LEAST_D)])


def _asked(asked: Question, one: Suspect) -> tuple[Asked, Learning] | None:
    """The organism in its tank, its water run from before the first look to as long as a look may tell."""
    room, course, now, facts = asked.room, asked.course, asked.now, asked.facts
    seen = _seen(asked, one)
    start = (min(seen.since, course.at) - A_DAY).replace(minute=0, second=0, microsecond=0)
    told = story(room, asked.tank, start, now, facts, asked.planned)
    if told.setup.living is not None and told.setup.living.fish is None and not told.unweighed:
        return None
    hours = (_end(asked) - start) / timedelta(hours=1)
    found = learn(told, now, facts, hours=hours, draws=DRAWS, well=well(room, asked.tank, now, facts))
    life = life_of(facts, one.organism, herd_of(told, facts, DRAWS), DRAWS)
    substances = frozenset(_given(course, facts))
    asking = Asked(
        life=life, told=told, record=found.record, weights=found.weights, seen=seen,
        fields=_fields(asked), died=_died(asked, seen), given=course.at, now=now, facts=facts,
        substances=substances, without=None if substances else _without(asked, told, hours),
    )  # fmt: skip
    return (asking, found) if touches(asking) else None


def _end(asked: Question) -> datetime:
    """So far a look may still tell."""
    last = _by(asked.course) + WATCHED
    return max(min(last, asked.course.at + MOST), asked.now + 3 * A_DAY)


def _given(course: CourseBegun, facts: Facts) -> Iterable[str]:
    """Substances of its steps and its own, but for those that only make the water fit."""
    found = [course.substance, *(facts.substances[course.substance].parts if course.substance else ())]
    for step in course.steps:
        if isinstance(step.act, Dose | Bath):
            found += step.act.actives
        elif isinstance(step.act, Feed):
            found += step.act.actives_mg_per_g
    known = facts.substances
    return (s for s in found if s in known and known[s].kind not in NOT_ACTING)


def _without(asked: Question, told: Story, hours: float) -> tuple[Story, Record] | None:
    """The tank as it would be without what the course does, where that is no medicine."""
    course, room = asked.course, asked.room
    steps = {s.id for s in course.steps}
    done = [e for e in room.of_tank(asked.tank) if isinstance(e, Done) and e.step in steps]
    own = [(e.at, e.act) for e in done] + [(s.at, s.act) for s in course.steps]
    if not any(isinstance(act, DOES) for _, act in own):
        return None
    acts = tuple(pair for pair in told.acts if pair not in own)
    left = msgspec.structs.replace(told, acts=acts, readings=())
    record = simulate(
        told.setup, acts, asked.facts, start=told.start, hours=hours, draws=DRAWS, events=told.events,
        marks=(asked.now,),
    )  # fmt: skip
    return left, record


def _fields(asked: Question) -> tuple[InField, ...]:
    """Germs of this cause counted under the microscope."""
    views = {v.id for v in asked.facts.hygiene.view if v.cause == asked.course.cause}
    looks = [k for k in asked.room.looks(asked.tank) if asked.course.at - BEFORE <= k.at <= asked.now]
    return tuple(
        InField(at=k.at, number=max(n for v, n in k.in_field.items() if v in views))
        for k in looks
        if views & set(k.in_field)
    )


def _died(asked: Question, seen: Seen) -> tuple[Deaths, ...]:
    """Fish entered as dead before the course, from the first look on, and since."""
    room, tank, facts, given = asked.room, asked.tank, asked.facts, max(asked.course.at, seen.since)
    before = [died(room, tank, seen.since, given, facts)] if seen.since < given else []
    since = [died(room, tank, given, asked.now, facts)] if given < asked.now else []
    return (*before, *since)


def right_of(room: Room, course: CourseBegun, facts: Facts) -> float:
    """How likely the cause of a course was when it began, or another that what is given is known to reach: by
    all that was known then, as if each came by itself. [0 to 1]
    """
    ranking = causes(room_evidence(room, course.tank, facts, course.at), network_of(facts))
    given = frozenset(_given(course, facts))
    reached = [r for r in ranking.ranked if r.id == course.cause or _reaches(given, r.id, facts)]
    return 1.0 - float(np.prod([1.0 - r.value for r in reached]))


def _reaches(given: frozenset[str], cause: str, facts: Facts) -> bool:
    """Whether half or more of a stage of it was seen dead by one of these."""
    lives = (facts.organisms[o] for o in facts.causes[cause].organisms if o in facts.organisms)
    return any(k.use and k.substance in given and k.share_high >= REACHED for o in lives for k in o.kill)


def _helped(asked: Question, one: Suspect, both: BothWays, learning: Learning) -> Helped:
    course, now = asked.course, asked.now
    model = both.asked
    right = right_of(asked.room, course, asked.facts)
    prior = prior_of(right, both.share)
    chances = posterior(prior, (*both.logs, both.power * log_other(both)))
    late = [t for t in model.seen.told if not model.early(t.at)]
    told = model.seen.told
    teller = teller_of(both, one.organism)
    heads = max(round(float(np.median(model.life.herd.fish))), 1)
    of = told[-1].of if told else heads
    last = late[-1] if late else None
    earliest = course.at + timedelta(days=floor_d(both))
    at = last.at if last else now
    first = max(earliest, now, last.at + SAME_LOOK if last else now)
    numbers = (of,) if isinstance(teller.last, OnFish) else numbers_of(of, heads)
    usual, more = tellings(teller, first, _end(asked) - HALF, numbers, chances)
    return Helped(
        organism=one.organism, right=right, prior=prior, chances=chances, earliest=earliest,
        counted_at=last.at if last else None, expected=expected(teller, at, of, prior, last),
        days=bands(teller, _drawn(asked, model.seen.since), of, prior), looks=told, telling=usual, more=more,
        effective=min(both.bites.effective, both.idle.effective), power=both.power, learning=learning,
        told=model.told,
    )  # fmt: skip


def log_other(both: BothWays) -> float:
    """ln of the chance of what was told since under another cause, given what was told before."""
    model = both.asked
    early = [t for t in model.seen.told if model.early(t.at)]
    late = [t for t in model.seen.told if not model.early(t.at)]
    total = log_since(early, late, both.eyes)
    total += log_fields_since([f for f in model.fields if model.early(f.at)], model.fields)
    if model.died and model.died[-1].at > max(model.given, model.seen.since):
        fish = float(np.median(model.life.herd.fish))
        before = model.died[0] if len(model.died) > 1 else None
        total += log_deaths_since(before, model.died[-1], fish, both.eyes.dead_size)
    return total


def teller_of(both: BothWays, organism: str) -> Teller:
    """How its sign would be counted: that of the last look, else the one that tells most."""
    model, told = both.asked, both.asked.seen.told
    last = next((t for t in reversed(told) if t.counted), told[-1] if told else None)
    sign = last.sign if last else next(iter(telling(organism, model.facts)), "")
    kind = looked_like(model.now, last, sign, 1)
    same = [t for t in told if t.sign == sign and isinstance(t, OnFish) == isinstance(kind, OnFish)]
    bare = drifting(kind, same[0].at if same else model.seen.since, both.eyes)
    return Teller(both, bare.after(t for t in same if model.early(t.at)), bare.after(same), last, sign)


def floor_d(both: BothWays) -> float:
    """Before so many days nothing is said: what sits on the fish when a course begins sits there so long."""
    course, model = both.bites.found.course, both.asked
    at = max(model.minute(model.given), course.begin)
    stays = longest_stay_d(model.life, course.around.around(at, after=True).temp_c)
    return min(stays, LEAST_D)


def _drawn(asked: Question, since: datetime) -> list[datetime]:
    """Half days from the first look to a while from now."""
    ends = min(max(asked.now + AHEAD, asked.course.at + DRAWN), _end(asked) - HALF)
    start = max(since, asked.course.at - DRAWN_BEFORE)
    return [start + n * HALF for n in range(max(round((ends - start) / HALF), 1) + 1)]
