"""Fish in a tub beside their tank: what leaves with them, what stays, what no clean tub holds."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from tankward.model.clearance import gone_by
from tankward.model.events import Stocked
from tankward.model.follow import follow, herd_of, prepared
from tankward.model.from_room import story
from tankward.model.happening import EMPTY, on_the_fish, spared
from tankward.model.living import Living
from tankward.model.organisms import fish_number, life_of
from tankward.model.simulate import simulate
from tankward.quantities.parse import Estimate
from tankward.room.acts import Apart, Change, Transfer
from tankward.room.text import room_of_text
from tests.model.lives import course
from tests.model.tanks import FACTS, START, after, tank

NOW = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)
ROOM = """
1 March 2026 08:00  tank     Nursery  volume="54 L" temp=24.5C filter=sponge filter-age="12 weeks" light=8h
1 March 2026 08:05  stock    Nursery  kind=guppy number=20 length=2.5cm stock=g
1 March 2026 08:06  stock    Nursery  kind=cherry_shrimp number=30 mass=0.2g stock=s
"""
OUT, BACK = Apart(stock="g", volume_l=20.0), Apart(stock="g", out=False)
DAY = 1440


def told(*acts, days=0, text=ROOM):
    planned = tuple((NOW + timedelta(days=d), act) for d, act in acts)
    return story(room_of_text(text), "nursery", NOW - timedelta(days=days), NOW, FACTS, planned)


def run(story_, organism="ichthyophthirius", days=16, draws=64):
    record = simulate(
        story_.setup, story_.acts, FACTS, start=story_.start, hours=24 * days, draws=draws,
        events=story_.events,
    )  # fmt: skip
    life = life_of(FACTS, organism, herd_of(story_, FACTS, draws), draws)
    return life, record


def test_fish_leave_shrimp_stay():
    """20 guppies go, 30 shrimp of 0.2 g are 6 g of all the animals: no fish is left, some of the mass is."""
    ((_, event),) = [(at, e) for at, e in told((1, OUT)).events if isinstance(e, Stocked)]
    grams = told().setup.living
    assert event.fish == 0.0
    assert event.share == pytest.approx(6.0 / grams.mass_g.value)


def test_they_come_back_as_many_as_they_went():
    life, record = run(told((1, OUT), (9, BACK)))
    found = follow(life, told((1, OUT), (9, BACK)), record, 0, np.full(64, 1e-9), FACTS)
    minutes = np.array(found.passed.minutes)

    def there(day):
        return fish_number(life, found.passed.rows[np.flatnonzero(minutes <= day * DAY)[-1]])

    assert there(5) == pytest.approx(life.herd.fish * EMPTY, rel=1e-3)
    assert there(16) == pytest.approx(life.herd.fish, rel=1e-3)


def test_what_sat_on_them_leaves_with_them_and_what_lies_stays():
    life, record = run(told((1, OUT)))
    found = follow(life, told((1, OUT)), record, 0, None, FACTS)
    minutes = found.passed.minutes
    before = found.passed.rows[minutes.index(DAY)]
    left = found.passed.rows[minutes.index(DAY) + 1]
    hosted = on_the_fish(life)
    lying = [r for r, row in enumerate(life.gathered.rows) if row.place in ("water", "surface")]
    assert (left[hosted] <= before[hosted] * EMPTY * 1.001).all()
    assert (left[lying] == before[lying]).all()
    assert before[lying].sum() > 0


def test_an_empty_tank_clears_with_its_days():
    story_ = told((0.01, OUT))
    life, record = run(story_, days=29)
    made = prepared(life, story_, record, 0, None, FACTS)
    few, many = (gone_by(made.course, [day * DAY]).chance.mean() for day in (3, 28))
    with_fish = gone_by(prepared(life, told(), run(told(), days=29)[1], 0, None, FACTS).course, [28 * DAY])
    assert few < 0.5 < 0.99 < many
    assert with_fish.chance.mean() < 0.4


def test_apart_before_the_beginning_of_a_run_they_are_out_of_the_water():
    text = ROOM + '2 March 2026 08:00  apart  Nursery  stock=g volume="20 L"\n'
    found = told(text=text)
    assert [(e.fish, at) for at, e in found.events if isinstance(e, Stocked)] == [(0.0, NOW)]
    assert found.setup.living.fish.value == 20.0  # what the tank is reckoned for
    back = told(text=text + "5 March 2026 08:00  apart  Nursery  stock=g out=no\n")
    assert not [e for _, e in back.events if isinstance(e, Stocked)]


def test_a_clean_tub_holds_nothing_but_what_is_on_the_fish_and_swims_in_the_cup():
    life = course("ichthyophthirius", 16).life
    left = spared(Transfer(carried=0.02), life, ())
    for row, share in zip(life.gathered.rows, left, strict=True):
        kept = {"water": 0.02, "surface": 0.0, "corpse": 0.0}.get(row.place, 1.0)
        assert (share == kept).all(), row.name
    usual = spared(Transfer(), life, ())
    swims = [r for r, row in enumerate(life.gathered.rows) if row.place == "water"]
    assert (usual[swims] == FACTS.conversion["transfer_carried"].high).all()


def test_a_clean_tub_holds_new_water():
    """Ammonia of a filterless tub is gone with its water; what new water brings is there."""
    setup = tank(filter="none", filter_age_d=None, levels={}, living=tank().living)
    record = simulate(
        setup, [(after(hours=24), Transfer(volume_l=46.0))], FACTS, start=START, hours=30, draws=64
    )
    level, minutes = record.levels("ammonia_n"), np.array(record.minutes)
    before, at = np.flatnonzero(minutes == DAY)[[0, -1]]
    assert level[before].min() > 0.05
    assert level[at].max() == pytest.approx(0.0, abs=1e-6)


def test_the_walls_of_a_clean_tub_turn_nothing_over():
    """What grew in a tub in a fortnight is not in the next: moved every day, nitrite is never made."""
    fish = Living(mass_g=Estimate.exact(4.0), breath_50g=Estimate.exact(4.0 * 0.02**0.79))
    bare = tank(volume_l=Estimate.exact(10.0), filter="none", filter_age_d=None, living=fish, air=True)
    still = [(after(days=d), Change(share=0.5)) for d in range(1, 15)]
    moved = [(after(days=d), Transfer(volume_l=10.0)) for d in range(1, 15)]
    one, other = (simulate(bare, acts, FACTS, start=START, hours=360, draws=64) for acts in (still, moved))
    assert other.guild_mg_h[-1].max() < 0.1 * one.guild_mg_h[-1].max()
    assert other.levels("nitrite_n").max() < 0.2 * one.levels("nitrite_n").max()


def test_the_hospital_tub_of_rule_22():
    """4 g of fish in 10 L fed 1 %, no filter: 0.17 mg/L TAN-N a day; at pH 7.8 and 25 °C half a change daily
    holds NH3-N at 0.011 mg/L. Worked by hand for food of one protein, all eaten; here both are drawn.
    """
    fish = Living(mass_g=Estimate.exact(4.0), breath_50g=Estimate.exact(4.0 * 0.02**0.79))
    bare = tank(
        volume_l=Estimate.exact(10.0), ph=Estimate.exact(7.8), filter="none", filter_age_d=None, living=fish,
        air=True, food_g=0.04,
    )  # fmt: skip
    half = [(after(days=d), Change(share=0.5)) for d in range(1, 15)]
    kept = simulate(bare, half, FACTS, start=START, hours=336, draws=256)
    left = simulate(bare, [], FACTS, start=START, hours=24, draws=256)
    low, _, high = np.quantile(left.levels("ammonia_n")[-1], (0.05, 0.5, 0.95))
    assert low < 0.17 < high
    assert np.median(kept.levels("nh3_n").max(axis=0)) == pytest.approx(0.011, rel=0.15)
