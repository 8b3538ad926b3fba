"""A case for a veterinarian, said: each part once, for the page and for paper."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, timedelta
from typing import Protocol

import msgspec

from tankward.judge.causes import Ranking
from tankward.judge.evidence import Evidence
from tankward.judge.figures import unit_of
from tankward.judge.vet import Vet
from tankward.knowledge.known import Facts
from tankward.quantities.digits import plain_number, share, shown, shown_range
from tankward.quantities.working import Answer
from tankward.room.acts import Bath, Change, Dose, Feed, Move, Remove
from tankward.room.entries.acts import CourseBegun, CourseStopped, Done
from tankward.room.entries.animals import Death, JarTrial
from tankward.room.entries.base import Entry
from tankward.room.entries.ends import CourseClosed
from tankward.room.entries.looks import Look
from tankward.room.entries.missing import NotFound
from tankward.room.entries.notes import Note
from tankward.room.entries.photos import PhotoAdded
from tankward.room.entries.water import ReadingTaken
from tankward.room.replay import Room
from tankward.room.things import Reading, Tank
from tankward.treat.label_parts import mg_per_own

from .acts import ended, listed, substance_words, upper
from .causes import context_words, short_name, vet_head, vet_lines
from .days import day_month
from .judge import ranked_words
from .kit import trial_words
from .log import entry_words, reading_words
from .room import Lives, who_lives
from .signs import sign_words

MOST_ROWS = 12  # of one part; older ones are counted, so that it stays on two sheets
MOST_READ = 8
NAMED_FROM = 0.05
NOTHING = "Nothing was written down."
WATER_OF = {
    "ammonia_n": "Ammonia", "nitrite_n": "Nitrite", "ph": "pH", "temp_c": "\u00b0C", "nitrate_n": "Nitrate",
    "oxygen": "Oxygen", "kh": "KH", "gh": "GH",
}  # fmt: skip
IN_UNITS = "In mg/L; ammonia (all of it), nitrite and nitrate as nitrogen, KH and GH as calcium carbonate."
JUDGED = "Judged from what was seen and read, not a diagnosis; the words stand for chances with their ranges."
FOR_WHOM = "For a veterinarian: what the logbook knows, nothing added."


class Part(msgspec.Struct, frozen=True, kw_only=True):
    """One part: rows of a day or a word and what belongs to it; a table where it is one."""

    heading: str
    rows: tuple[tuple[str, str], ...] = ()
    heads: tuple[str, ...] = ()
    table: tuple[tuple[str, ...], ...] = ()
    note: str = ""


class Examined(Protocol):
    """What was seen, and what it may be."""

    @property
    def evidence(self) -> Evidence: ...
    @property
    def ranking(self) -> Ranking: ...


class ToTell(Protocol):
    """A case as the desk gathers it."""

    @property
    def tank(self) -> Tank: ...
    @property
    def water(self) -> Answer: ...
    @property
    def lives(self) -> Sequence[Lives]: ...
    @property
    def tap(self) -> Sequence[ReadingTaken]: ...
    @property
    def readings(self) -> Sequence[ReadingTaken]: ...
    @property
    def looks(self) -> Sequence[Look]: ...
    @property
    def before(self) -> Sequence[Entry]: ...
    @property
    def changes(self) -> Sequence[Done]: ...
    @property
    def given(self) -> Sequence[Done]: ...
    @property
    def courses(self) -> Sequence[CourseBegun | CourseStopped | CourseClosed]: ...
    @property
    def died(self) -> Sequence[Entry]: ...
    @property
    def trials(self) -> Sequence[JarTrial]: ...
    @property
    def notes(self) -> Sequence[Note]: ...
    @property
    def photos(self) -> Sequence[PhotoAdded]: ...
    @property
    def ill_near(self) -> Sequence[Tank]: ...
    @property
    def examined(self) -> Examined: ...
    @property
    def vet(self) -> Vet: ...
    @property
    def asked(self) -> str: ...


def finding(case: ToTell, facts: Facts) -> str:
    """The state in a sentence: what is seen, since when it is followed, how many died."""
    seen = [sign_words(s, facts) for s in case.examined.evidence.seen]
    more = [f"{len(seen) - 3} more signs"] if len(seen) > 4 else seen[3:]
    head = upper(listed([*seen[:3], *more])) if seen else "No sign this week"
    return f"{head}. {_died(deaths(case.died))} in three months."


def _died(number: float) -> str:
    return f"{plain_number(number)} died" if number else "None died"


def deaths(died: Iterable[Entry]) -> float:
    """How many; one that was told dead and then taken out counts once."""
    told = sum(e.number for e in died if isinstance(e, Death | NotFound))
    out = sum(e.act.number for e in died if isinstance(e, Done) and isinstance(e.act, Remove))
    return float(max(told, out))


def parts(case: ToTell, room: Room, facts: Facts, now: datetime, zone: str) -> tuple[Part, ...]:
    """The parts in the order in which they are asked for."""
    found = (
        _asked(case, facts),
        Part(heading="Signs", rows=_cut(_looks(case.looks, facts, now, zone)), note=_share(case)),
        Part(heading="Dead", rows=_cut(_dated(case.died, room, facts, now, zone))),
        Part(heading="What was given", rows=_cut(_given(case, room, facts, now, zone)), note=_fed(case)),
        _water(case.readings, case.tap, now, zone),
        Part(heading="What changed before", rows=_cut(_changed(case, room, facts, now, zone))),
        Part(
            heading="The animals", rows=tuple(("", ended(w)) for w in who_lives(case.lives)), note=_near(case)
        ),
        Part(heading="The tank", rows=tuple(_tank(case))),
        _lens(case, facts, now, zone),
        Part(heading="Notes and photos", rows=_cut(_notes(case, now, zone))),
        _may_be(case, facts),
    )
    return tuple(
        p if p.rows or p.table else msgspec.structs.replace(p, note=p.note or NOTHING) for p in found
    )


def visit(case: ToTell, facts: Facts) -> tuple[str, tuple[tuple[str, str], ...]]:
    """Whom to see and when; what to bring, what to do until then, what the law asks."""
    return vet_head(case.vet), tuple(vet_lines(case.vet, facts).items())


def _asked(case: ToTell, facts: Facts) -> Part:
    """The keeper's own words first; then what a visit is for."""
    may = [short_name(r.id, facts) for r in case.examined.ranking.ranked if r.value > NAMED_FROM][:3]
    seen = bool(case.examined.evidence.seen)
    own = [("You ask", ended(case.asked))] if case.asked else []
    rows = [
        *own,
        (
            "What is it",
            f"Is it {listed(may, 'or')}, or something else?" if may and seen else "What is wrong?",
        ),
        (
            "Which test",
            "Can a fresh fish be opened, or gill, skin and droppings be looked at under the lens?",
        ),
        (
            "What now",
            "Which medicine, by which way, how much, for how long; and what of the others in the tank?",
        ),
    ]
    return Part(heading="What is asked", rows=tuple(rows))


def _cut(rows: Iterable[tuple[str, str]], most: int = MOST_ROWS) -> tuple[tuple[str, str], ...]:
    """The latest rows, newest first; how many older there are is said."""
    every = list(rows)
    kept = tuple(reversed(every[-most:]))
    older = len(every) - len(kept)
    return (*kept, ("Before", f"{older} more, in the log.")) if older else kept


def _looks(looks: Sequence[Look], facts: Facts, now: datetime, zone: str) -> Iterator[tuple[str, str]]:
    """Each look with its counts; looks at well fish one after another are one row."""
    well: list[Look] = []
    for look in looks:
        if not (look.seen or look.counts or look.belly or look.well is False):
            well.append(look)
            continue
        yield from _well(well, now, zone)
        well = []
        yield day_month(look.at, now, zone), _look(look, facts)
    yield from _well(well, now, zone)


def _well(looks: Sequence[Look], now: datetime, zone: str) -> Iterator[tuple[str, str]]:
    if looks:
        times = (
            "" if len(looks) == 1 else f", in {len(looks)} looks from {day_month(looks[0].at, now, zone)} on"
        )
        yield day_month(looks[-1].at, now, zone), f"Nothing was seen{times}."


def _look(look: Look, facts: Facts) -> str:
    of = f" of {plain_number(look.looked_at)}" if look.looked_at else ""
    signs = dict.fromkeys((*look.seen, *(s for s, n in look.counts.items() if n > 0)))
    seen = [
        sign_words(s, facts) + (f" ({plain_number(look.counts[s])}{of})" if s in look.counts else "")
        for s in signs
    ]
    absent = [sign_words(s, facts) for s in look.absent]
    told = [
        upper(listed(seen)) if seen else "Looks odd" if look.well is False else "",
        f"looked for and not there: {listed(absent)}" if absent else "",
        f"worst belly {look.belly} of 5" if look.belly else "",
        {"yes": "eating", "less": "eating less", "no": "not eating"}.get(look.eating, ""),
        f"it came over {look.onset}" if look.onset else "",
    ]
    return ended("; ".join(t for t in told if t))


def _share(case: ToTell) -> str:
    share_of = {"one": "One shows it.", "some": "Some show it.", "most": "Most show it."}
    return share_of.get(case.examined.evidence.share, "")


def _dated(
    entries: Iterable[Entry], room: Room, facts: Facts, now: datetime, zone: str
) -> Iterator[tuple[str, str]]:
    for e in entries:
        yield (
            day_month(e.at, now, zone),
            ended(entry_words(e, room, facts) + (f". {e.note}" if e.note else "")),
        )


def _given(case: ToTell, room: Room, facts: Facts, now: datetime, zone: str) -> Iterator[tuple[str, str]]:
    """Courses and what went in, in the order of time; each dose with what it made in the water."""
    both: list[Entry] = sorted((*case.given, *case.courses), key=lambda e: e.at)
    for e in both:
        told = _dose(e, case.water, facts) if isinstance(e, Done) else ended(entry_words(e, room, facts))
        if isinstance(e, CourseBegun) and e.statement:
            told = f"{told} {ended(e.statement.splitlines()[0])}"
        yield day_month(e.at, now, zone), told


def _dose(entry: Done, water: Answer, facts: Facts) -> str:
    act = entry.act
    if isinstance(act, Feed):
        fed = [
            f"{shown(mg, 'mg')} of {substance_words((s,), facts)}" for s, mg in act.actives_mg_per_g.items()
        ]
        return f"Food with {listed(fed)} in each gram."
    assert isinstance(act, Dose | Bath)
    litres = act.volume_l if isinstance(act, Bath) else water.value
    each = [_active(s, mg, litres, facts) for s, mg in act.actives.items()]
    if isinstance(act, Bath):
        return f"Bath of {plain_number(act.minutes)} minutes in {shown(act.volume_l, 'L')}: {listed(each)}."
    measured = f" Measured as {act.measured}." if act.measured else ""
    return f"Into the water: {listed(each)}.{measured}"


def _active(substance: str, amount: float, litres: float | None, facts: Facts) -> str:
    level = unit_of(facts.substances[substance]) if substance in facts.substances else "mg/L"
    unit = level.removesuffix("/L")
    amount = amount / mg_per_own(substance, facts) if substance in facts.substances else amount
    made = f" ({shown(amount / litres, level)})" if litres else " (water not known)"
    return f"{shown(amount, unit)} of {substance_words((substance,), facts)}{made}"


def _fed(case: ToTell) -> str:
    return (
        "Levels are amount through the water of the tank; what was left of earlier doses is not in them."
        if (any(isinstance(e.act, Dose) for e in case.given))
        else ""
    )


def _water(readings: Sequence[ReadingTaken], tap: Sequence[ReadingTaken], now: datetime, zone: str) -> Part:
    """A row a day and a column a quantity, the newest first; not read is a dash."""
    kept = list(reversed(readings))[:MOST_READ]
    lines = [(day_month(e.at, now, zone), e) for e in kept]
    lines += [(f"Tap, {day_month(tap[-1].at, now, zone)}", tap[-1])] if tap else []
    read = {r.quantity for _, e in lines for r in e.values}
    columns = [q for q in WATER_OF if q in read]
    other = [reading_words(r) for e in kept[:1] for r in e.values if r.quantity not in WATER_OF]
    older = len(readings) - len(kept)
    notes = [
        IN_UNITS if columns else "",
        f"Also read: {listed(other)}." if other else "",
        f"{older} older readings in the log." if older > 0 else "",
    ]
    return Part(
        heading="Water",
        heads=("", *(WATER_OF[q] for q in columns)) if columns else (),
        table=tuple((day, *(_value(e.values, q) for q in columns)) for day, e in lines),
        note=" ".join(n for n in notes if n),
    )


def _value(values: Iterable[Reading], quantity: str) -> str:
    found = next((r for r in values if r.quantity == quantity), None)
    if found is None:
        return "\u2013"
    unit = {"ph": "pH", "temp_c": "C"}.get(quantity, "mg/L")
    return shown(found.value, unit).split(" ")[0]


def _changed(case: ToTell, room: Room, facts: Facts, now: datetime, zone: str) -> Iterator[tuple[str, str]]:
    """Arrivals, moves, work on filter or heater, what was told with a look; water changes in one line."""
    told = [(e.at, _change(e, case.tank.id, room, facts)) for e in case.before]
    told += [
        (look.at - timedelta(days=days or 0.0), ended(f"Told of: {context_words(key)}"))
        for look in case.looks
        for key, days in look.history.items()
    ]
    told += _new_water(case)
    last = {says: at for at, says in sorted(told, key=lambda row: row[0])}
    times = Counter(says for _, says in told)
    for says, at in sorted(last.items(), key=lambda row: row[1]):
        often = f" {times[says]} times." if times[says] > 1 else ""
        yield day_month(at, now, zone), f"{says}{often}"


def _new_water(case: ToTell) -> list[tuple[datetime, str]]:
    shares = [e.act.share for e in case.changes if isinstance(e.act, Change)]
    if not shares:
        return []
    raw = sum(1 for e in case.changes if isinstance(e.act, Change) and e.act.dechlorinated is False)
    untreated = f", {raw} of them without dechlorinator" if raw else ""
    low, high = share(min(shares)), share(max(shares))
    span = low if low == high else f"{low} to {high}"
    times = "once" if len(shares) == 1 else f"{len(shares)} times"
    says = f"Water changed {times} in four weeks, {span} each{untreated}; the last on this day."
    return [(case.changes[-1].at, says)]


def _change(entry: Entry, tank: str, room: Room, facts: Facts) -> str:
    if not (isinstance(entry, Done) and isinstance(entry.act, Move)):
        return ended(entry_words(entry, room, facts))
    act = entry.act
    who = room.stock[act.stock].name if act.stock in room.stock else "animals"
    number = f"{plain_number(act.number)} " if act.number else ""
    way = ("from", entry.tank) if act.to == tank else ("to", act.to)
    other = room.tanks[way[1]].name if way[1] in room.tanks else "elsewhere"
    return upper(f"{number}{who} moved {way[0]} {other}.")


def _near(case: ToTell) -> str:
    names = [t.name for t in case.ill_near]
    return f"In other tanks of the room something was seen too: {listed(names)}." if names else ""


def _tank(case: ToTell) -> Iterator[tuple[str, str]]:
    tank, water = case.tank, case.water
    known = water.value is not None
    yield "Water", f"{water.shown} ({water.shown_range})." if known else "Not known."
    yield "Filter", f"{upper(tank.filter) or 'Not known'}{', with air' if tank.air else ''}."
    if tank.temp_c is not None:
        yield "Warmth", f"{shown_range(tank.temp_c.low, tank.temp_c.high, 'C')} as described."
    if tank.tap:
        yield "Tap", f"{upper(tank.tap)} in it."


def _lens(case: ToTell, facts: Facts, now: datetime, zone: str) -> Part:
    """Parasites counted, and trials in a jar: what was found beyond looking at the fish."""
    rows = [
        (day_month(look.at, now, zone), ended(said)) for look in case.looks for said in _closer(look, facts)
    ]
    rows += [(day_month(e.at, now, zone), ended(f"In a jar: {trial_words(e, facts)}")) for e in case.trials]
    return Part(
        heading="Counted and tried",
        rows=_cut(rows),
        note="" if rows else "No parasite was counted under the lens, and nothing was tried in a jar.",
    )


def _closer(look: Look, facts: Facts) -> Iterator[str]:
    """Parasites on the fish, germs in a field of the lens, gill beats."""
    fish = f", on {plain_number(look.looked_at)} fish" if look.looked_at else ""
    for sign, number in look.parasites.items():
        yield f"{plain_number(number)} counted: {sign_words(sign, facts)}{fish}"
    names = {v.id: v.name for v in facts.hygiene.view}
    for view, number in look.in_field.items():
        where = f", {look.sample.replace('_', ' ')}" if look.sample else ""
        many = plain_number(number) if number else "none"
        yield f"Under the lens: {many} in one low-power field, {names.get(view, view)}{where}"
    if look.gill_beats_per_min is not None:
        yield f"{plain_number(look.gill_beats_per_min)} gill beats a minute"


def _notes(case: ToTell, now: datetime, zone: str) -> Iterator[tuple[str, str]]:
    for note in case.notes:
        yield day_month(note.at, now, zone), ended(note.text[:300])
    for photo in case.photos:
        yield (
            day_month(photo.at, now, zone),
            ended(f"Photo: {photo.shows or 'of what was written down then'}"),
        )


def _may_be(case: ToTell, facts: Facts) -> Part:
    """The likeliest causes in words; none where nothing was seen."""
    if not case.examined.evidence.seen:
        return Part(heading="What it may be", note="Nothing was seen this week, so no cause is named.")
    ranked = [r for r in case.examined.ranking.ranked if r.value > NAMED_FROM][:5]
    rows = tuple(("", f"{upper(short_name(r.id, facts))}: {ranked_words(r)}.") for r in ranked)
    return Part(heading="What it may be", rows=rows, note=JUDGED)
