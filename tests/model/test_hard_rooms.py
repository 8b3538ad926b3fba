"""What no tidy room brings: a long past, many acts, many groups, nobody, a slip. Right answers, or one
sentence.
"""

from datetime import timedelta

import numpy as np
import pytest

from tankward.model.living import living_of
from tankward.model.simulate import simulate
from tankward.quantities.parse import Estimate
from tankward.room.acts import Air, Change, Dose, Feed, Light, Lost, TopUp
from tankward.room.things import Stock
from tests.model.tanks import FACTS, START, after, exact, tank
from tests.model.test_forecast import NURSERY, kinds, later, of

TEN_YEARS_D = 3650
MONTHS = ("January", "February")


def test_ten_years_of_changes_leave_the_last_weeks_alone():
    """Acts before the beginning are not run: the same bytes, and no more steps."""
    past = [(START - timedelta(days=d), Change(share=0.3)) for d in range(1, TEN_YEARS_D, 7)]
    told = [(after(hours=5), Change(share=0.4))]
    short, long = (simulate(tank(), acts, FACTS, start=START, hours=48, draws=64) for acts in
                   (told, [*past, *told]))  # fmt: skip
    assert long.minutes == short.minutes
    assert long.levels("ammonia_n").tobytes() == short.levels("ammonia_n").tobytes()


def test_a_logbook_of_years_is_answered_from_its_last_weeks():
    old = "".join(f"{1 + n % 28} {MONTHS[n // 28]} 2026 08:00  change  Nursery  share=30%\n"
                  for n in range(56))  # fmt: skip
    head, *rest = NURSERY.strip().splitlines()
    told = "\n".join([head.replace("1 March 2026", "1 January 2016"), *rest])
    found = of(f"{told}\n{old}", days=2)
    assert np.isfinite(found.of("ammonia_n").value).all()


def test_a_course_of_sixty_acts():
    kinds_of = (Dose(actives={"formalin": 46 * 15.0}), Change(share=0.3), Feed(usual=0.5), Air(more=True),
                Light(hours_per_day=4.0), TopUp(volume_l=1.0))  # fmt: skip
    told = [(after(hours=3 + 4 * n), kinds_of[n % len(kinds_of)]) for n in range(60)]
    found = simulate(tank(), told, FACTS, start=START, hours=250, draws=64)
    for name in found.names:
        assert np.isfinite(found.levels(name)).all()
        assert found.levels(name).min() >= 0
    assert found.levels("formalin").max() < 10 * 15.0
    assert len([m for m in found.minutes if found.minutes.count(m) == 2]) == 120


def group(n, number):
    return Stock(
        id=f"g{n}", tank="t", kind="guppy", name=f"guppies {n}", number=Estimate.exact(number),
        length_cm=Estimate.exact(2.0),
    )  # fmt: skip


def test_thirty_groups_weigh_and_breathe_what_they_do_together():
    many = living_of([group(n, 1 + n % 3) for n in range(30)], FACTS)
    one = living_of([group(0, 60)], FACTS)
    assert many.mass_g.value == pytest.approx(one.mass_g.value)
    assert many.breath_50g.high == pytest.approx(one.breath_50g.high)
    found, same = (
        simulate(tank(living=living), (), FACTS, start=START, hours=24, draws=64) for living in (many, one)
    )
    assert found.levels("oxygen") == pytest.approx(same.levels("oxygen"), rel=1e-6)


def test_zero_fish_make_no_ammonia():
    nobody = living_of([], FACTS)
    found = simulate(tank(living=nobody), (), FACTS, start=START, hours=48, draws=64)
    assert found.levels("ammonia_n").max() < 1e-6
    assert (found.levels("oxygen")[-1] > 7).all()


@pytest.mark.parametrize("litres", [1.0, 2000.0])
def test_any_litres(litres):
    found = simulate(tank(volume_l=exact(litres)), (), FACTS, start=START, hours=24, draws=64)
    assert all(np.isfinite(found.levels(n)).all() and found.levels(n).min() >= 0 for n in found.names)


@pytest.mark.parametrize("celsius", [1.0, 39.0])
def test_any_warmth(celsius):
    found = simulate(tank(temp_c=exact(celsius)), (), FACTS, start=START, hours=24, draws=64)
    assert all(np.isfinite(found.levels(n)).all() and found.levels(n).min() >= 0 for n in found.names)


def test_a_slip_is_said_and_followed():
    slip = (later(hours=6), Lost(share=0.9))
    found, kept = of(NURSERY, [slip], days=1), of(NURSERY, days=1)
    assert "little-water" in kinds(found)
    assert "little-water" not in kinds(kept)
    # The usual filter keeps up in little water, as it finds more of it in every litre; a weak one doesn't.
    assert found.peak("ammonia_n").high > 1.2 * kept.peak("ammonia_n").high
