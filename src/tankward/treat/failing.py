"""Why a course may not be helping, likeliest first: what speaks for each, and the look that would tell.

Between another cause and a right cause that is not reached the counts decide (`judge/hypotheses.py`). How the
latter is shared among too weak, not given, taken out, brought back and withstood nobody has measured: even at
first, and moved by what the logbook tells, by factors of our own choice. Shown is the order, not the share.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Literal

import msgspec

from tankward.judge.causes import Ranked, Ranking
from tankward.judge.hypotheses import Chances, prior_of
from tankward.judge.progress import Progress
from tankward.knowledge.known import Facts
from tankward.room.acts import Bath, Dose, Feed, Heat, Media
from tankward.room.entries.acts import CourseBegun, Done
from tankward.room.entries.animals import StockAdded
from tankward.room.replay import Room

from .course.request import SIX_MONTHS
from .in_water import InWater, in_water
from .remedies.reach import reach

Kind = Literal[
    "another-cause", "too-weak", "not-given", "taken-out", "brought-back", "withstood", "second", "poisoned"
]
BESIDE = ("second", "poisoned")  # not instead of the others, but beside them
MUCH, SOME, LITTLE = 6.0, 2.5, 0.25  # factors of what the logbook tells [our own choice]
POISON = frozenset({"gasping_surface", "on_side", "darting", "spinning", "shrimp_snails_ill", "shimmying"})
SORES = ("bacteria", "fungus")
WORTH = 0.1  # a second illness under this chance is not named [our own choice]
HALF = 0.5  # a level that passed what they bear in half of the draws counts as too much [our own choice]
MOST_CAUSES = 3
GIVES = (Dose, Feed, Bath, Heat)
TAKES = ("activated_carbon", "zeolite", "ultraviolet", "resin")


class Tell(msgspec.Struct, frozen=True, kw_only=True):
    """Something that speaks for it or against it, or a look; `show/words/failing.py` makes it a sentence."""

    kind: str
    values: dict[str, str | float] = {}


class Failing(msgspec.Struct, frozen=True, kw_only=True):
    """One reason. `share`: of the chance that it is not helping; its own chance where it comes beside."""

    kind: Kind
    share: float
    speaks_for: tuple[Tell, ...] = ()
    speaks_against: tuple[Tell, ...] = ()
    look: Tell
    causes: tuple[Ranked, ...] = ()
    beside: bool = False
    source: str = "none"
    status: str = "memory"


class Met(msgspec.Struct, frozen=True, kw_only=True):
    """A tank that had something in common with this one since it began, and whether it is ill of it."""

    tank: str
    at: datetime
    how: str  # net, water, moved
    ill: bool


class Told(msgspec.Struct, frozen=True, kw_only=True):
    """All that is known of a course that may be failing."""

    room: Room
    now: datetime
    facts: Facts
    found: Progress
    ranking: Ranking  # with its failure as evidence
    met: tuple[Met, ...] = ()
    ill: tuple[str, ...] = ()  # tanks in which the same cause is likely
    seen: tuple[str, ...] = ()  # signs of now

    @property
    def course(self) -> CourseBegun:
        return self.found.course

    @property
    def tank(self) -> str:
        return self.course.tank


def failing(told: Told) -> tuple[Failing, ...]:
    """Every reason, what poisons first, then likeliest first, what comes beside it last.

    Parameters
    ----------
    told : Told
        The course, what was counted, the causes ranked anew, who met whom.
    """
    water = in_water(told.found, told.room, told.now, told.facts)
    another, rest = _halves(told)
    reasons = [*_not_reached(told, water)]
    whole = sum(weight for weight, _ in reasons)
    rows = [_another(told, another)]
    rows += [msgspec.structs.replace(r, share=rest * weight / whole) for weight, r in reasons]
    beside = [*_second(told), *_poisoned(told, water)]
    first = [b for b in beside if b.kind == "poisoned"]
    rows.sort(key=lambda r: -r.share)
    return (*first, *rows, *(b for b in beside if b not in first))


def _halves(told: Told) -> tuple[float, float]:
    """Of the chance that it is not helping: another cause, and the right one that is not reached."""
    helped = told.found.helped
    chances: Chances = helped.chances if helped else prior_of(_value(told.ranking, told.course.cause), 0.0)
    whole = max(chances.other + chances.too_little, 1e-9)
    return chances.other / whole, chances.too_little / whole


def _value(ranking: Ranking, cause: str) -> float:
    return next((r.value for r in ranking.ranked if r.id == cause), 0.0)


def _another(told: Told, share: float) -> Failing:
    others = tuple(r for r in ranking_without(told) if not r.water)[:MOST_CAUSES]
    water = tuple(r for r in told.ranking.ranked[:MOST_CAUSES] if r.water)
    fits = _value(told.ranking, told.course.cause)
    tell = Tell(kind="fits", values={"cause": told.course.cause, "chance": fits})
    return Failing(
        kind="another-cause", share=share, causes=(*water, *others)[:MOST_CAUSES], look=Tell(kind="vet-dead"),
        speaks_for=(tell,) if fits < 0.5 else (), speaks_against=(tell,) if fits >= 0.5 else (),
        status="computed" if told.found.helped else "memory",
    )  # fmt: skip


def ranking_without(told: Told) -> list[Ranked]:
    """What it may be but for the cause of the course."""
    return [r for r in told.ranking.ranked if r.id != told.course.cause]


def _not_reached(told: Told, water: Sequence[InWater]) -> Iterator[tuple[float, Failing]]:
    yield _too_weak(told, water)
    yield _not_given(told)
    yield _taken_out(told)
    yield _brought_back(told)
    yield _withstood(told)


def _too_weak(told: Told, water: Sequence[InWater]) -> tuple[float, Failing]:
    """Its level in the water against the least published one that works."""
    known = next((w for w in water if w.least is not None), None)
    if known is None:
        row = Failing(kind="too-weak", share=0.0, look=Tell(kind="recount-litres"),
                      speaks_for=(), speaks_against=())  # fmt: skip
        return 1.0, row
    tell = Tell(kind="level", values=known.told)
    never, mostly = known.never >= 0.5, known.under_share >= 0.5
    against = known.under_share < 0.25 and known.never < 0.1
    weight = MUCH if never else SOME if mostly else LITTLE if against else 1.0
    row = Failing(
        kind="too-weak", share=0.0, look=Tell(kind="recount-litres"),
        speaks_for=() if against else (tell,), speaks_against=(tell,) if against else (),
        source=known.source, status=known.status,
    )  # fmt: skip
    return weight, row


def _not_given(told: Told) -> tuple[float, Failing]:
    """Steps by which something is given that nobody ticked, or that were left out."""
    own = {e.step for e in told.room.of_tank(told.tank) if isinstance(e, Done) and e.step}
    due = [s for s in told.course.steps if isinstance(s.act, GIVES) and s.at < told.now]
    missed = [s for s in due if s.id not in own]
    tell = Tell(kind="missed" if missed else "all-given", values={"missed": len(missed), "of": len(due)})
    row = Failing(
        kind="not-given", share=0.0, look=Tell(kind="tick-steps"),
        speaks_for=(tell,) if missed else (), speaks_against=() if missed else (tell,),
    )  # fmt: skip
    return (MUCH if missed else 0.02), row


def _taken_out(told: Told) -> tuple[float, Failing]:
    """Carbon or another medium in the filter while it ran."""
    acts = [(at, a) for at, a in told.room.acts(told.tank) if isinstance(a, Media) and a.medium in TAKES]
    in_it = [m for m in TAKES if _in_during(acts, m, told)]
    out = any(not a.into for _, a in acts) or told.room.tanks[told.tank].filter == "none"
    tells = tuple(Tell(kind="medium-in", values={"medium": m}) for m in in_it)
    against = (Tell(kind="medium-out"),) if out and not in_it else ()
    row = Failing(
        kind="taken-out", share=0.0, look=Tell(kind="open-filter"), speaks_for=tells, speaks_against=against
    )
    return (MUCH if in_it else LITTLE if out else 1.0), row


def _in_during(acts: Sequence[tuple[datetime, Media]], medium: str, told: Told) -> bool:
    """Whether it was in the filter at any time of the course."""
    own = [(at, a.into) for at, a in acts if a.medium == medium and at <= told.now]
    before = [into for at, into in own if at <= told.course.at]
    return any(into for at, into in own if at > told.course.at) or (bool(before) and before[-1])


def _brought_back(told: Told) -> tuple[float, Failing]:
    """From another tank, by a newcomer, or by what it does not reach here."""
    ill = [m for m in told.met if m.ill]
    new = [
        e for e in told.room.of_tank(told.tank)
        if isinstance(e, StockAdded) and told.course.at < e.at <= told.now
    ]  # fmt: skip
    tells = [Tell(kind="met-ill", values={"tank": m.tank, "how": m.how}) for m in ill]
    tells += [Tell(kind="newcomer", values={"kind": e.thing.kind}) for e in new[:1]]
    left = _not_killed(told)
    tells += [Tell(kind="stages-left", values={"organism": o, "stages": s}) for o, s in left.items()]
    others = [t for t in told.ill if t not in {m.tank for m in ill}]
    tells += [Tell(kind="ill-too", values={"tank": t}) for t in others[:2]]
    met = [m for m in told.met if not m.ill]
    tells += [Tell(kind="met", values={"tank": m.tank, "how": m.how}) for m in met[:1]]
    against = () if tells else (Tell(kind="none-met"),)
    weight = MUCH if ill else SOME if new or left or others else 1.0 if met else LITTLE
    look = (
        Tell(kind="look-there", values={"tank": (ill or met)[0].tank}) if ill or met else Tell(kind="siphon")
    )
    row = Failing(kind="brought-back", share=0.0, look=look, speaks_for=tuple(tells), speaks_against=against)
    return weight, row


def _not_killed(told: Told) -> dict[str, str]:
    """By organism the stages off the fish that what is given leaves alone, or of which nobody knows."""
    course = told.course
    if course.substance not in told.facts.substances or course.cause not in told.facts.causes:
        return {}
    _, left = reach(course.substance, course.route or "water_long", (course.cause,), told.facts)
    out: dict[str, list[str]] = {}
    for row in left:
        if row.place in ("surface", "water", "carrier"):
            out.setdefault(row.organism, []).append(row.stage)
    return {organism: ";".join(stages) for organism, stages in out.items()}


def _withstood(told: Told) -> tuple[float, Failing]:
    """The organism, or this strain of it, bears what is given."""
    course, facts = told.course, told.facts
    before = [
        e for e in told.room.of_tank(told.tank)
        if isinstance(e, CourseBegun) and e.id != course.id and e.substance == course.substance
        and course.at - SIX_MONTHS <= e.at < course.at
    ]  # fmt: skip
    none = _no_effect(course, facts)
    tells = [Tell(kind="given-before", values={"times": len(before)})] if before else []
    tells += [Tell(kind="seen-to-withstand", values={"share": none[0]})] if none else []
    row = Failing(
        kind="withstood", share=0.0, look=Tell(kind="scrape-again"), speaks_for=tuple(tells),
        speaks_against=() if before else (Tell(kind="first-time"),),
        source=none[1] if none else "none", status=none[2] if none else "memory",
    )  # fmt: skip
    return (SOME if before else 1.0), row


def _no_effect(course: CourseBegun, facts: Facts) -> tuple[float, str, str] | None:
    """The share of cases in which the facts say that nothing happens."""
    lives = facts.causes[course.cause].organisms if course.cause in facts.causes else ()
    rows = (k for o in lives if o in facts.organisms for k in facts.organisms[o].kill)
    found = [k for k in rows if k.use and k.substance == course.substance and k.no_effect_share]
    best = max(found, key=lambda k: k.no_effect_share or 0.0, default=None)
    return (best.no_effect_share or 0.0, best.source, best.status) if best else None


def _second(told: Told) -> Iterator[Failing]:
    """Signs that came since, of a germ that follows sores (rule 13: nothing is given for it without one)."""
    looks = told.room.looks(told.tank)
    before = {s for k in looks if k.at < told.course.at for s in k.seen}
    new = [s for s in told.seen if s not in before]
    for row in told.ranking.ranked:
        if row.group not in SORES or row.id == told.course.cause or row.value < WORTH:
            continue
        signs = {s.id for s in told.facts.causes[row.id].sign}
        fits = [s for s in new if s in signs]
        if fits:
            yield Failing(
                kind="second", share=row.value, beside=True, causes=(row,), look=Tell(kind="vet-culture"),
                speaks_for=tuple(Tell(kind="new-sign", values={"sign": s}) for s in fits), status="computed",
            )  # fmt: skip
            return


def _poisoned(told: Told, water: Sequence[InWater]) -> Iterator[Failing]:
    """What is given harms them: its level against what they bear, and signs that speak of it (rule 19)."""
    over = [w for w in water if w.over is not None and w.over >= HALF]
    before = {s for k in told.room.looks(told.tank) if k.at < told.course.at for s in k.seen}
    signs = [s for s in told.seen if s in POISON and s not in before]
    if not over and not signs:
        return
    tells = [Tell(kind="over", values=w.told) for w in over]
    tells += [Tell(kind="new-sign", values={"sign": s}) for s in signs]
    chance = max([*(w.over or 0.0 for w in over), _value(told.ranking, "medicine_harm")])
    yield Failing(
        kind="poisoned", share=chance, beside=True, look=Tell(kind="half-change"),
        speaks_for=tuple(tells), status="computed",
    )  # fmt: skip
