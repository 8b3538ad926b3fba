"""Who may have been reached, as the record that the command answers with."""

from __future__ import annotations

from datetime import datetime

from tankward.knowledge.known import Facts
from tankward.room.replay import Room
from tankward.rounds.reached import Contact, Likely
from tankward.rounds.watch import WatchLook

from .answers_after import hold_row
from .results import Source
from .results_after import LookRow
from .results_contact import CameRow, ChanceRow, ContactResult, ContactRow, GoneRow, LinkRow
from .words import contact as words
from .words.after import look_why, signs_said
from .words.chance import chance_words


def contact_result(
    found: words.Found, room: Room, now: datetime, zone: str, facts: Facts, told: str, sources: list[Source]
) -> ContactResult:
    """What the command answers."""
    reach, seen = found.reach, found.episode
    some = bool(reach.contacts)
    hands = [c for c in reach.contacts if c.by_hand]
    gone = [words.gone_says(g, room, now, zone) for g in reach.gone]
    below = [*gone, *words.hold_lines(found, room, now, zone, facts)]
    name = room.tanks[found.tank].name
    says = [words.finding(found, room), words.why(found, room, now, zone, facts)]
    return ContactResult(
        says="\n".join([*says, *([] if some else [words.NOBODY.format(name=name)])]),
        tank=found.tank, causes=list(reach.causes), signs=list(reach.signs),
        first_seen=seen.first_seen.isoformat() if seen.first_seen else "", since=seen.since.isoformat(),
        contacts=[_contact(c, found, room, now, zone, facts) for c in reach.contacts],
        by_hand=f"{words.HANDS}: {words.hand_line(hands, room, now, zone, facts)}" if hands else "",
        gone=[
            GoneRow(stock=g.stock, at=g.at.isoformat(), why=g.why, says=words.gone_says(g, room, now, zone))
            for g in reach.gone
        ],
        came=[
            CameRow(source=o.tank, at=o.at.isoformat(), way=o.way, what=o.what,
                    says=words.came_says(o, found, room, now, zone))
            for o in reach.came
        ],
        holds=[hold_row(found.hold, room, now, zone, facts)] if found.hold else [],
        assumes=[words.judged_words(found).rstrip(".")] if some else [],
        cautions=[*below, *words.rules(found), words.WRITE],
        sources=sources, now=told,
    )  # fmt: skip


def _contact(
    one: Contact, found: words.Found, room: Room, now: datetime, zone: str, facts: Facts
) -> ContactRow:
    row = words.contact_row(one, found, room, now, zone, facts)
    return ContactRow(
        tank=one.tank, name=row.name,
        chances=[_chance(e) for e in one.each],
        path=[
            LinkRow(source=k.source, to=k.to, at=k.at.isoformat(), way=k.way, what=k.what,
                    says=words.link_says(k, room, now, zone))
            for k in one.path
        ],
        at=one.at.isoformat(), until=one.until.isoformat(),
        looks=[_look(k, one, found, facts) for k in one.looks],
        seen=list(one.seen), says=words.contact_says(row),
    )  # fmt: skip


def _chance(one: Likely) -> ChanceRow:
    return ChanceRow(
        cause=one.cause, low=one.chance.low, value=one.chance.value, high=one.chance.high,
        word=chance_words(one.chance.low, one.chance.high, one.chance.value), known=one.known,
        source=" ".join(one.sources) or "none", status=one.status,
    )  # fmt: skip


def _look(look: WatchLook, one: Contact, found: words.Found, facts: Facts) -> LookRow:
    signs = found.reach.signs
    return LookRow(
        tank=one.tank, on=look.on.isoformat(),
        says=f"Look for {signs_said(signs, facts) if signs else 'any sign'}",
        why=look_why(look, found.reach.causes, facts), done=look.done,
    )  # fmt: skip
