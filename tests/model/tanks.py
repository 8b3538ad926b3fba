"""Small bodies of water for the tests. Numbers are invented; the hospital tub is that of rule 22."""

from datetime import UTC, datetime, timedelta

from tankward.knowledge.loader import load
from tankward.model.events import Timed
from tankward.model.living import Living
from tankward.model.prepare import prepare, substances_of
from tankward.model.setup import Setup
from tankward.model.simulate import minutes
from tankward.quantities.parse import Estimate

FACTS = load()
START = datetime(2026, 3, 1, 8, 0, tzinfo=UTC)


def exact(value):
    return Estimate.exact(value)


def after(hours=0.0, days=0.0):
    """An instant so long after the start."""
    return START + timedelta(hours=hours, days=days)


def tank(**changed):
    """46 L with 15 g of fish, run in, sponge filter."""
    told = {
        "volume_l": Estimate(46.0, 44.0, 49.0),
        "temp_c": exact(25.0),
        "ph": Estimate(7.4, 7.2, 7.6),
        "living": Living(mass_g=Estimate(15, 12, 19), breath_50g=Estimate(1.5, 1.2, 1.9), planted=True),
        "filter": "sponge",
        "filter_age_d": 100.0,
        "light_h": 9.0,
    }
    return Setup(**(told | changed))


def run_of(setup, acts=(), *, hours, draws=64, **more):
    """A prepared run."""
    timed = [Timed(minutes(at, START), act) for at, act in acts]
    rows = substances_of(setup, timed, FACTS)
    return prepare(setup, timed, rows, FACTS, start=START, hours=hours, draws=draws, **more)
