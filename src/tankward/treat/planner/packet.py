"""As the packet says: each packet of the shelf by its own rule, judged as every other course is."""

from __future__ import annotations

from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.room.things import Supply
from tankward.treat.course.make import make_course
from tankward.treat.course.records import Course
from tankward.treat.remedies.levels import supply_of
from tankward.treat.remedies.records import Option, Options

from .judging import Judging
from .records import Packet, Planned
from .score import cost_of, tops_of_option
from .ways import Setting

FINE = 1024


def packets(here: Setting, options: Options, judging: Judging) -> tuple[Packet, ...]:
    """Every packet with a rule that is for one of the causes."""
    found: dict[str, Packet] = {}
    for option in options.open if here.clocks else ():
        supply = _supply(option, here)
        if supply is not None and supply.id not in found:
            found[supply.id] = _judged(option, supply, here, judging)
    return tuple(found.values())


def _supply(option: Option, here: Setting) -> Supply | None:
    if option.kind != "substance" or option.route != "water_long" or option.place != "tank":
        return None
    supply = supply_of(here.facts.substances[option.substance], here.request.shelf)
    return supply if supply is not None and supply.rule is not None else None


def _judged(option: Option, supply: Supply, here: Setting, judging: Judging) -> Packet:
    assert option.regimen is not None
    try:
        course = make_course(
            here.request, option.substance, option.route, facts=here.facts, start=here.clocks[0].start,
            now=here.now, regimen_id=option.regimen.id, supply=supply, own_rule=True,
        )  # fmt: skip
    except Refused as no:
        return Packet(supply=supply.name, planned=None, refused=no.reasons)
    except BadInput as fault:
        return Packet(
            supply=supply.name, planned=None, refused=(Reason(kind="not-known", because=str(fault)),)
        )
    tops = tops_of_option(option, here.facts)
    score = judging.scored_course(course, tops, FINE, cost_of(units_of(course), supply))
    planned = Planned(best=(), option=option, course=course, score=score)
    return Packet(supply=supply.name, planned=planned)


def units_of(course: Course) -> float | None:
    """Packets of all its doses."""
    given = [dose.units for dose in course.doses]
    known = [n for n in given if n is not None]
    return sum(known) if known and len(known) == len(given) else None
