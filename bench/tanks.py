"""The tanks that docs/bench.md is measured on. Numbers are invented; they are of the usual size."""

from datetime import UTC, datetime, timedelta

from tankward.knowledge.loader import load
from tankward.model.events import Timed
from tankward.model.living import Living
from tankward.model.prepare import prepare, substances_of
from tankward.model.setup import Setup
from tankward.model.simulate import minutes
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Dose

START = datetime(2026, 3, 1, 8, 0, tzinfo=UTC)
DAYS = 28.0
VOLUME_L = 46.0


ROOM = """
1 March 2026 08:00  tank     Nursery  volume="46 L" temp=25C filter=sponge filter-age="14 weeks" light=9h
1 March 2026 08:05  stock    Nursery  kind=guppy number=20 length=2.5cm
"""
LOOKED = """
3 March 2026 08:00  reading  Nursery  ammonia="0.25 mg/L as N" ph=7.4 kh=4dKH
7 March 2026 20:00  look     Nursery  seen=white_spots,flashing counts="white_spots 6" looked-at=20
"""
SUSPECTS = ("ichthyophthirius", "gyrodactylus", "camallanus", "trichodina")


def setup():
    """46 L with 15 g of fish and plants, run in, sponge filter; pH and alkalinity were read, so pH moves."""
    return Setup(
        volume_l=Estimate(VOLUME_L, 44.0, 49.0),
        temp_c=Estimate.exact(25.0),
        ph=Estimate(7.4, 7.2, 7.6),
        alkalinity=Estimate(70.0, 60.0, 80.0),
        living=Living(mass_g=Estimate(15, 12, 19), breath_50g=Estimate(1.5, 1.2, 1.9), planted=True),
        filter="sponge",
        filter_age_d=100.0,
        light_h=9.0,
        levels={"ammonia_n": Estimate.exact(0.4), "nitrite_n": Estimate.exact(0.2)},
    )


# A usual level of each, so that all act on what they act on. [mg/L]
LEVELS = {"praziquantel": 2.5, "formalin": 20.0, "methylene_blue": 2.0, "levamisole": 2.0}


def course(substances=1, days=DAYS):
    """Two changes a week, and after every second one a dose of each substance."""
    names = list(LEVELS)[:substances]
    acts = []
    for day in range(1, int(days), 4):
        at = START + timedelta(days=day, hours=10)
        acts.append((at, Change(share=0.3)))
        if names and day % 8 == 1:
            acts.append((at, Dose(actives={s: LEVELS[s] * VOLUME_L for s in names})))
    return acts


def run_of(*, draws, days=DAYS, substances=1, step_min=None):
    """A prepared run."""
    facts = load()
    timed = [Timed(minutes(at, START), act) for at, act in course(substances, days)]
    rows = substances_of(setup(), timed, facts)
    return prepare(
        setup(), timed, rows, facts, start=START, hours=24.0 * days, draws=draws, step_min=step_min
    )
