"""How long a keeper waits for a forecast, and a planner for one course of one substance."""

from datetime import UTC, datetime, timedelta

from run import faster, within

from tankward.knowledge.loader import load
from tankward.model.compiled import trace_compiled
from tankward.model.forecast import forecast
from tankward.model.levels import levels
from tankward.model.living import Living
from tankward.model.oracle import trace
from tankward.model.prepare import prepare
from tankward.model.setup import Setup
from tankward.model.suspect import of_causes
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Dose
from tankward.room.text import room_of_text

NOW = datetime(2026, 3, 7, 9, 20, tzinfo=UTC)
ROOM = """
1 March 2026 08:00  tank     Nursery  volume="54 L" temp=26C filter=sponge filter-age="12 weeks" light=8h
1 March 2026 08:05  stock    Nursery  kind=guppy number=20 length=2.5cm
2 March 2026 08:00  reading  Nursery  ammonia="0.25 mg/L as N" ph=7.6
6 March 2026 20:00  look     Nursery  well=yes
"""


def course():
    acts = []
    for n in range(3):
        acts.append((NOW + timedelta(days=2 * n), Change(share=0.3)))
        acts.append((NOW + timedelta(days=2 * n), Dose(actives={"praziquantel": 108.0})))
    return acts


@within(seconds=1.5)
def bench_forecast_of_a_week_with_256_draws():
    facts, room = load(), room_of_text(ROOM)
    return lambda: forecast(room, "nursery", NOW, facts=facts, planned=course())


@within(seconds=1.5)
def bench_forecast_of_a_week_in_which_white_spot_is_suspected():
    facts = load()
    room = room_of_text(
        ROOM + '6 March 2026 21:00  look     Nursery  seen=white_spots counts="white_spots 6"\n'
    )
    spot = of_causes([("white_spot", None)], facts)
    return lambda: forecast(room, "nursery", NOW, facts=facts, planned=course(), suspects=spot)


def a_week():
    """A prepared run of 256 draws."""
    living = Living(mass_g=Estimate(15, 12, 19), breath_50g=Estimate(1.5, 1.2, 1.9))
    tank = Setup(volume_l=Estimate(46, 44, 49), temp_c=Estimate.exact(25), living=living, filter="sponge")
    return prepare(tank, (), (), load(), start=NOW, hours=168, draws=256)


def oracle():
    run = a_week()
    return lambda: trace(run)


@faster(times=15, than=oracle)
def bench_a_week_of_water_compiled_against_the_oracle():
    """On one thread. Where the compiler no longer makes vectors of the lanes, it is a fifth of that."""
    run = a_week()
    return lambda: trace_compiled(run, threads=1)


@within(seconds=0.015)
def bench_a_course_of_one_substance():
    facts = load()
    return lambda: levels("praziquantel", course(), facts=facts, volume_l=Estimate(54, 51, 57))
