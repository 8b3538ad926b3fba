"""causes, now: the examination at the command line, with or without a room."""

from __future__ import annotations

from collections.abc import Sequence

from cyclopts import App

from tankward.desk.examine import Examination, examine_tank, told_of
from tankward.desk.find import find_tank
from tankward.desk.in_it_now import in_it_now
from tankward.desk.overdose import overdoses
from tankward.desk.running import running
from tankward.desk.sources import titles
from tankward.desk.walk import Walk, breathes, counted, examine_walk, read
from tankward.knowledge.find import find_sign
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import is_unknown
from tankward.room.lists import words
from tankward.rounds.states import state_of
from tankward.rounds.watch import open_watches
from tankward.show.answers_judge import (
    act_rows,
    cause_row,
    closer_rows,
    finding_row,
    look_row,
)
from tankward.show.results import Source
from tankward.show.results_judge import CausesResult, NowResult
from tankward.show.words.breathing import breathing_words
from tankward.show.words.causes import NOTHING_SEEN, tells_words
from tankward.show.words.closer import counted_words
from tankward.show.words.judge import causes_heading, urgent_heading, water_line
from tankward.show.words.mistake import level_soft
from tankward.show.words.overdose import over_head, overdose_says
from tankward.show.words.tank import Known, tank_finding
from tankward.show.words.told import doubt_lines

from ..common import Common, opened

NO_PROOF = "no look at a fish proves a cause; the chances are judged, not measured, where a row says so"
SHOWN_CAUSES = 12  # rows that are worth reading; the rest lie under 1 of 1,000


def sources_of(rows: list[str]) -> list[Source]:
    """Sources by the keys that rows carry."""
    keys = [k for row in rows for k in row.split()]
    return [Source(key=key, title=title, where=read) for key, title, read in titles(keys) if title]


def named(text: str) -> list[str]:
    """Words parted by commas, without what is not known."""
    return [w for w in words(text) if not is_unknown(w)]


def causes(
    tank: str = "",
    *,
    seen: str = "",
    not_seen: str = "",
    water: str = "",
    animals: str = "",
    history: str = "",
    onset: str = "",
    share: str = "",
    belly: str = "",
    eating: str = "",
    gill_beats: str = "",
    gill_beats_well: str = "",
    common: Common = Common(),
) -> CausesResult:
    """What it may be: causes TANK, or causes --seen "pine cone, lethargy" --not-seen "white spots".

    Parameters
    ----------
    tank
        A tank of the room; else what is said here.
    seen
        Signs seen, in plain words, parted by commas.
    not_seen
        Signs looked for and absent.
    water
        Readings: "ammonia 0.5 mg/L as N, pH 7.8, 26C".
    animals
        Who lives there: "18 cherry_barb 3.5cm; 30 cherry_shrimp".
    history
        What happened: "new fish 10 days ago; filter cleaned".
    onset
        hours, days or weeks.
    share
        one, some or most of the fish.
    belly
        The worst belly, 1 hollow to 5 swollen.
    eating
        yes, less or no.
    gill_beats
        Gill beats in 15 seconds, of the one that breathes worst.
    gill_beats_well
        The same of one that looks well.
    """
    facts = load()
    breath = ""
    if tank:
        with opened(common) as desk:
            room = desk.room()
            found = examine_tank(room, find_tank(room, tank).id, common.moment, facts)
    else:
        if not any(x.strip() for x in (seen, belly, eating, gill_beats)):
            raise BadInput("seen", seen, 'is empty. Write a tank, or --seen "pine cone, lethargy".')
        counted(gill_beats, "gill-beats")
        counted(gill_beats_well, "gill-beats-well")
        walk = Walk(
            seen=tuple(find_sign(facts, w, "seen") for w in named(seen)),
            absent=tuple(find_sign(facts, w, "not-seen") for w in named(not_seen)),
            water=water, animals=animals,
            history=history, onset=onset, share=share, beats=gill_beats, beats_well=gill_beats_well,
            belly=one_of("belly", belly, BELLIES), eating=one_of("eating", eating, APPETITES),
        )  # fmt: skip
        found = examine_walk(walk, read(walk, facts), facts)
        breath = breathing_words(breathes(walk, facts))
    return causes_result(found, common, breath)


BELLIES, APPETITES = ("1", "2", "3", "4", "5"), ("yes", "less", "no")


def one_of(field: str, text: str, known: Sequence[str]) -> str:
    """A choice as typed; "" where it was left out or is not known."""
    told = text.strip().lower()
    if not told or is_unknown(told):
        return ""
    if told not in known:
        raise BadInput(field, text, f"is not one of {', '.join(known)}.")
    return told


def causes_result(found: Examination, common: Common, breath: str = "") -> CausesResult:
    """An examination as the command answers it."""
    facts = load()
    seen = found.evidence.seen
    each = (*found.ranking.ranked[:SHOWN_CAUSES], found.ranking.unlisted) if seen else ()
    ranked = [cause_row(r, facts) for r in each]
    looks = [look_row(n, facts) for n in found.next_look]
    closer = closer_rows(found.lens, found.wait, found.sent, facts)
    acts = act_rows(found.urgent)
    head = [urgent_heading(found.urgent)] if found.urgent else []
    heading = causes_heading(found.ranking, facts) if seen else NOTHING_SEEN
    told = [*head, water_line(found.findings, found.gate, bool(seen)), heading, tells_words(seen, facts)]
    told.append(counted_words(found.counted, facts))
    told += [breath, *doubt_lines(found.evidence, facts)]
    return CausesResult(
        says="\n".join(t for t in told if t),
        urgent=acts,
        water_first=[finding_row(f) for f in found.findings if f.severity != "fine"],
        ranked=ranked,
        next_look=looks,
        closer=closer,
        missing=list(found.ranking.missing),
        cautions=[NO_PROOF] if seen else [],
        sources=sources_of([r.source for r in ranked] + [n.source for n in looks]),
        now=common.told,
    )


def now(tank: str, *, common: Common = Common()) -> NowResult:
    """The state of a tank and what it means: findings, worst first.

    Parameters
    ----------
    tank
        A tank of the room, by its name.
    """
    facts = load()
    with opened(common) as desk:
        room = desk.room()
        found = find_tank(room, tank)
        seen = examine_tank(room, found.id, common.moment, facts)
        over = overdoses(room, found.id, common.moment, facts)
        then = told_of(room, found.id, seen.water, common.moment)
        much = next((x for x in in_it_now(room, found.id, common.moment, facts, then) if x.surely_over), None)
        run = running(room, found.id, common.moment, common.zone, facts)
        watched = open_watches(room, common.moment, common.zone, facts)
        state = state_of(room, found.id, common.moment, watched)
    unit = much.published.unit if much and much.published else ""
    ph = seen.water.of("ph")
    known = Known(
        name=found.name, state=state, findings=seen.findings, gate=seen.gate, urgent=seen.urgent,
        ph=ph.value if ph else None,
        next_steps=tuple(s.step for s in run.next) if run else (),
        late=bool(run and run.next and run.next[0].state == "late"),
        over=over_head(much.substance, much.level, unit, facts) if much else "",
        over_why=level_soft(much) if much else "",
    )  # fmt: skip
    told = tank_finding(known, common.moment, common.zone, facts)
    rows = [finding_row(f) for f in seen.findings]
    return NowResult(
        says="\n".join(t for t in (told.says, told.why) if t),
        tank=found.id, urgent=act_rows(seen.urgent), findings=rows,
        cautions=[overdose_says(o.substance, o.level, o.published, facts) for o in over],
        sources=sources_of([r.source for r in rows]), now=common.told,
    )  # fmt: skip


def add_to(app: App) -> None:
    """Add the commands."""
    app.command(causes)
    app.command(now)
