"""One question after the other: what was told so far, and the question that tells most."""

from __future__ import annotations

from collections.abc import Collection

import msgspec

from tankward.judge.asking import Question, next_question
from tankward.judge.network_of import network_of
from tankward.knowledge.known import Facts
from tankward.room.entries.looks import Look
from tankward.room.log import Log
from tankward.room.replay import Room

from .examine import Examination


def question_after(found: Examination, asked: Collection[str], facts: Facts) -> Question | None:
    """The question to ask next, None where a dozen were asked or none would tell much."""
    return next_question(found.evidence, network_of(facts), facts, asked)


def with_look(room: Room, look: Look) -> Room:
    """The room as it would be with a look that is not written down."""
    return msgspec.structs.replace(look.effect(room), log=Log([*room.log, look]))
