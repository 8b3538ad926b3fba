"""Rule 18 worked out: the changes of an overdose within the shock limits for salts, pH and ammonia."""

import math
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankward.judge.shock import Largest, Mixes, bound_of, largest
from tankward.judge.thinning import thinning
from tankward.model.levels import levels
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change
from tankward.water.ammonia import unionised_share
from tests.judge.tanks import FACTS, approx

BOUND = bound_of(FACTS)
ALIKE = Mixes(ph=7.4, kh=90.0, gh=140.0, conductivity=350.0)
NOW = datetime(2026, 5, 12, 21, 0, tzinfo=UTC)


def series(start, target, *, substance="metronidazole", old=Mixes(), new=Mixes(), small=False, bound=BOUND):
    begin = start if isinstance(start, Estimate) else Estimate.exact(start)
    return thinning(substance, begin, target, FACTS, old=old, new=new, bound=bound, small=small)


def test_rule_18_start_over_two_to_the_n():
    """16 mg/L down to 2 in halves: 8, 4, 2. Arithmetic."""
    found = series(16.0, 2.0, old=ALIKE, new=ALIKE)
    assert [c.after.value for c in found.changes] == [approx(16 / 2**n) for n in (1, 2, 3)]
    assert [c.at_h for c in found.changes] == [0.0, 1.0, 2.0]
    assert (found.reached, found.limited) == (True, ())


@given(start=st.floats(1.0, 500.0), over=st.floats(1.01, 60.0), small=st.booleans())
def test_level_after_n_changes_is_the_closed_form(start, over, small):
    """start × (1 − f)^n, n the least for which it is under the target: ln(over) ÷ −ln(1 − f), arithmetic."""
    found = series(start, start / over, small=small)
    f = 0.175 if small else 0.5
    assert len(found.changes) == math.ceil(math.log(over) / -math.log(1 - f) - 1e-6)
    assert found.changes[-1].after.value == pytest.approx(start * (1 - f) ** len(found.changes))


@pytest.mark.parametrize("small", [False, True])
def test_the_series_is_that_of_the_exact_model_of_one_substance(small):
    """model/levels of a substance that nothing takes: the same level just after each change."""
    start = Estimate(20.0, 18.0, 22.0)
    found = series(start, 6.6, small=small)
    acts = [(NOW + timedelta(hours=c.at_h), Change(share=c.share)) for c in found.changes]
    made = levels(
        "metronidazole", acts, facts=FACTS, volume_l=Estimate.exact(35.0), start_level=start,
        half_life_h=(1e9, 1e9), draws=256,
    )  # fmt: skip
    for ours, model in zip(found.changes, made.points, strict=True):
        assert model.after.value == pytest.approx(ours.after.value, rel=0.01)
        assert (model.after.low, model.after.high) == (
            pytest.approx(ours.after.low, rel=0.02), pytest.approx(ours.after.high, rel=0.02),
        )  # fmt: skip


def test_that_it_fades_too_only_leaves_less():
    found = series(20.0, 6.6, small=True)
    acts = [(NOW + timedelta(hours=c.at_h), Change(share=c.share)) for c in found.changes]
    made = levels(
        "metronidazole", acts, facts=FACTS, volume_l=Estimate.exact(35.0), start_level=Estimate.exact(20.0)
    )
    assert made.end.high <= found.changes[-1].after.value * 1.0001


def test_the_high_end_has_to_come_down_too():
    """9.9 (8 to 13.5) against 6.6: one half leaves 6.75 at the high end, so there is a second."""
    assert len(series(Estimate(9.9, 8.0, 13.5), 6.6).changes) == 2
    assert len(series(Estimate(9.9, 8.0, 13.0), 6.6).changes) == 1


def test_nothing_is_changed_where_it_is_under_the_target_already():
    assert series(2.0, 6.6).changes == ()


def test_rule_18_salt_is_lowered_by_its_own_rule():
    """30 % a day: 10 g/L to 3 takes four days, ln(10/3) ÷ −ln 0.7 = 3.4."""
    found = series(10_000.0, 3_000.0, substance="sodium_chloride")
    assert [c.at_h for c in found.changes] == [0.0, 24.0, 48.0, 72.0]
    assert {c.by for c in found.changes} == {"salt"}


def test_rule_17_an_old_tank_changes_15_to_20_per_cent_every_two_to_three_hours():
    found = series(16.0, 8.0, small=True)
    assert {c.share for c in found.changes} == {0.175}
    assert all(2.0 <= b.at_h - a.at_h <= 3.0 for a, b in zip(found.changes, found.changes[1:], strict=False))


@pytest.mark.parametrize("name", ["kh", "gh", "conductivity"])
def test_rule_18_hardness_moves_by_no_more_than_a_quarter_at_once(name):
    """100 into 280: a share of 0.25 × 100 ÷ 180 = 13.9 %; then more, as the two grow alike."""
    found = series(16.0, 8.0, old=Mixes(**{name: 100.0}), new=Mixes(**{name: 280.0}))
    assert found.changes[0].share == approx(0.25 * 100 / 180)
    had = 100.0
    for change in found.changes:
        has = had * (1 - change.share) + 280.0 * change.share
        assert has - had <= 0.25 * had * (1 + 1e-9)
        had = has
    assert found.limited == (name,)


def test_salts_are_told_by_one_quantity_the_conductivity_first():
    """KH shows itself in the pH; the hardness is asked only where no pen was dipped."""
    old, new = Mixes(kh=20.0, gh=100.0, conductivity=300.0), Mixes(kh=200.0, gh=100.0, conductivity=360.0)
    assert largest(old, new, BOUND, small=False).share == 0.5
    harder = Mixes(kh=200.0, gh=180.0, conductivity=600.0)
    assert largest(old, harder, BOUND, small=False) == Largest(0.25, "conductivity")


def test_less_than_a_tenth_thins_nothing():
    assert largest(Mixes(gh=20.0), Mixes(gh=400.0), BOUND, small=False).share == 0.1


def test_rule_18_bee_shrimp_bear_a_tenth():
    bound = bound_of(FACTS, ["bee_shrimp"])
    found = series(16.0, 8.0, old=Mixes(gh=100.0), new=Mixes(gh=150.0), bound=bound)
    assert found.changes[0].share == approx(0.2)


SOFT, HARD = Mixes(ph=6.6, kh=18.0, temp_c=25.0), Mixes(ph=7.8, kh=180.0)


def test_rule_18_the_ph_moves_by_no_more_than_it_may_in_a_day():
    """Fact ph_day: 0.5 at most. In no 24 hours of the series does it move further."""
    found = series(16.0, 4.0, old=SOFT, new=HARD)
    told = [(-1.0, 6.6), *((c.at_h, c.ph) for c in found.changes)]
    for at, ph in told:
        lately = [p for t, p in told if at - 24.0 < t <= at]
        assert max(lately) - min(lately) <= 0.5 + 1e-6, (at, ph)
    assert found.changes[0].share < 0.5
    assert "ph" in found.limited


def test_waters_alike_need_no_care_for_the_ph():
    assert largest(ALIKE, ALIKE, BOUND, small=False).share == 0.5


def test_ph_apart_and_no_carbonate_hardness_read_is_taken_as_an_old_tank():
    assert largest(Mixes(ph=6.4), Mixes(ph=7.8), BOUND, small=False) == Largest(0.175, "ph")
    assert largest(Mixes(ph=7.3), Mixes(ph=7.6), BOUND, small=False).share == 0.5


def test_rule_17_hard_tap_water_must_not_make_the_ammonia_poisonous():
    """4 mg/L total at pH 6.5: 0.009 mg/L NH3-N (EMERSON75); every change keeps it at 0.02 or under."""
    old = Mixes(ph=6.5, kh=20.0, ammonia_n=4.0, temp_c=25.0)
    new = Mixes(ph=7.8, kh=180.0, ammonia_n=0.0)
    found = largest(old, new, bound_of(FACTS), small=False)
    left = 4.0 * (1 - found.share)
    assert found.share < 0.5
    assert left * unionised_share(found.ph, 25.0) <= 0.02 + 1e-9


@given(
    old=st.tuples(st.floats(5.5, 8.5), st.floats(5.0, 300.0), st.floats(20.0, 400.0)),
    new=st.tuples(st.floats(5.5, 8.5), st.floats(5.0, 300.0), st.floats(20.0, 400.0)),
    tan=st.floats(0.0, 5.0),
)
def test_no_share_passes_any_bound(old, new, tan):
    a = Mixes(ph=old[0], kh=old[1], gh=old[2], ammonia_n=tan, temp_c=25.0)
    b = Mixes(ph=new[0], kh=new[1], gh=new[2], ammonia_n=0.0)
    found = largest(a, b, BOUND, small=False)
    assert 0.0 <= found.share <= 0.5
    salts = abs(new[2] - old[2]) * found.share
    assert salts <= 0.25 * old[2] * (1 + 1e-9) or found.share <= 0.1
    if found.share and found.ph is not None:
        assert abs(found.ph - old[0]) <= 0.5 + 1e-9
