"""Looking closer, as a part of the page of causes: with a microscope, a day later, by a laboratory."""

from __future__ import annotations

import msgspec

from tankward.desk.examine import Examination
from tankward.desk.next_result import after_waiting
from tankward.knowledge.known import Facts
from tankward.show.words import closer as words
from tankward.show.words.acts import upper
from tankward.show.words.causes import short_name
from tankward.show.words.chance import chance_words


class CloserRow(msgspec.Struct, frozen=True, kw_only=True):
    """One way to look closer."""

    head: str
    soft: str
    url: str


class Closer(msgspec.Struct, frozen=True, kw_only=True):
    """All ways, each list empty where it tells too little."""

    lens: list[CloserRow]
    waits: list[tuple[str, str]]  # more, same, fewer: what would come first
    wait: CloserRow | None
    sent: list[CloserRow]
    bring: str
    write_url: str  # where a count under the microscope is written down; "" without a tank


def closer_of(found: Examination, facts: Facts, tank: str) -> Closer:
    """What would tell more than a look from the side."""
    lens = [
        CloserRow(
            head=words.lens_head(x, facts), soft=words.lens_soft(x, facts), url=words.guide_url(x.sample)
        )
        for x in found.lens
    ]
    sent = [
        CloserRow(head=words.sent_head(s, facts), soft=words.sent_soft(s), url="/guide/sample")
        for s in found.sent
    ]
    waits = []
    if found.wait is not None:
        for trend, result in after_waiting(found.evidence, facts):
            name = short_name(result.cause, facts) if result.cause else "something not on this list"
            chance = chance_words(result.low, result.high, result.value)
            waits.append((words.TREND_HEADS[trend], f"{upper(name)} comes first: {chance}."))
    return Closer(
        lens=lens,
        waits=waits,
        wait=CloserRow(head=words.WAIT_HEAD, soft=words.WAIT_SOFT, url="") if waits else None,
        sent=sent,
        bring=words.BRING,
        write_url=f"/tanks/{tank}/log/look#f-in-field" if tank else "",
    )
