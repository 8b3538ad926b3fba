"""The network of causes as the facts have it."""

from __future__ import annotations

from tankward.knowledge.known import Facts
from tankward.knowledge.records import cause as known

from .context import Row
from .network import Cause, KnownTest, Network

_LAST: list[
    tuple[Facts, Network]
] = []  # facts are loaded once: the last network built is the one wanted again


def network_of(facts: Facts) -> Network:
    """The network of these facts; built once for one value of facts."""
    if not (_LAST and _LAST[0][0] is facts):
        _LAST[:] = [(facts, build(facts))]
    return _LAST[0][1]


def build(facts: Facts) -> Network:
    """Every cause with its ranges, and how often each sign is reported where nothing is wrong."""
    unknown = facts.tables.unknown_cause[0]
    return Network(
        causes=tuple(_cause(c, facts) for c in facts.causes.values()),
        leak={s.id: s.p_background for s in facts.signs.values()},
        course_unknown=_answers(unknown.course),
        share_unknown=_answers(unknown.share_of_tank),
        host_groups=frozenset(facts.host_tags),
    )


def _cause(cause: known.Cause, facts: Facts) -> Cause:
    return Cause(
        id=cause.id,
        group=cause.group,
        prior=cause.prior,
        sign={s.id: (s.low, s.high) for s in cause.sign},
        against={s.id: (s.low, s.high) for s in cause.against},
        context=tuple(_row(w, facts) for w in cause.context),
        course=_answers(cause.course),
        share=_answers(cause.share_of_tank),
        survey=_survey(cause, facts),
        tests=tuple(
            KnownTest(
                name=t.name,
                sensitivity=t.sensitivity,
                specificity=t.specificity,
                cost=t.cost,
                sample=t.sample,
                same_as=t.same_as,
            )
            for t in cause.test
        ),
        urgency=cause.urgency,
        human_hazard="" if cause.human_hazard == "none" else cause.human_hazard,
    )


def _answers(row: known.Course | known.Share) -> dict[str, tuple[float, float]]:
    return {field: getattr(row, field) for field in row.__struct_fields__}


def _row(weight: known.Weight, facts: Facts) -> Row:
    """A row of context with the defaults of its context filled in."""
    default = facts.contexts[weight.id]
    return Row(
        id=weight.id,
        low=weight.factor[0],
        high=weight.factor[1],
        of=weight.of,
        none_of=weight.none_of,
        window_d=weight.window_d or default.window_d,
        fade_d=weight.fade_d if weight.fade_d is not None else default.fade_d,
        above_c=weight.above_c,
        below_c=weight.below_c,
        min_g_l=weight.min_g_l,
        one_of=weight.one_of,
    )


ANY_OF = {"any_parasite": "parasite"}


def _survey(cause: known.Cause, facts: Facts) -> dict[str, tuple[float, float]]:
    """Factors of the surveys by host group.

    A row on any parasite holds for each of them that says nothing of its own hosts: a row on the cause
    itself, of the surveys or elicited, knows more.
    """
    rows = facts.tables.prior_by_group
    own = {row.group: row.factor for row in rows if row.cause == cause.id}
    if own or any(w.id == "host" for w in cause.context):
        return own
    return {row.group: row.factor for row in rows if ANY_OF.get(row.cause) == cause.group}
