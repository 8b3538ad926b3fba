"""Whatever lives in a tank and whatever is asked for: no course harms by its own judgement."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from tankward.quantities.faults import BadInput, Refused
from tankward.quantities.parse import Estimate
from tankward.treat.course.make import BY_ROUTE, make_course
from tankward.treat.remedies.options import options
from tests.judge.tanks import group
from tests.treat.tanks import EXPERT, FACTS, NOW, asked, lawful

ANIMALS = sorted(FACTS.animals)
REGIMENS = sorted((s.id, r.id) for s in FACTS.substances.values() for r in s.regimen if r.route in BY_ROUTE)


def regimen_of(name):
    substance, regimen = name
    return next(r for r in FACTS.substances[substance].regimen if r.id == regimen)


KEEPERS = [
    (s, r) for s, r in REGIMENS if FACTS.substances[s].use == "keeper" and regimen_of((s, r)).recommended
]
FEW = settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])

groups = st.builds(
    lambda kind, number, length: group(kind, number, length_cm=Estimate.exact(length)),
    st.sampled_from(ANIMALS),
    st.integers(1, 30),
    st.floats(1.5, 8.0),
)
stocks = st.lists(groups, min_size=1, max_size=4, unique_by=lambda s: s.kind)
litres = st.floats(10.0, 200.0).map(lambda v: Estimate(v, v * 0.95, v * 1.05))


def attempt(request, name, **more):
    """The course, or None where it is refused or something is missing."""
    row = regimen_of(name)
    try:
        return make_course(
            request, name[0], row.route, facts=FACTS, start=NOW, now=NOW, regimen_id=name[1], **more
        )
    except (Refused, BadInput):
        return None


@FEW
@given(stocks, litres, st.sampled_from(REGIMENS), st.sampled_from([None, 0.1, 1.0, 5.0, 50.0, 500.0]))
def test_nobody_refused_is_ever_in_a_course(stock, volume_l, name, level):
    request = asked(tuple(stock), volume_l, read={"kh": 120.0}, people=EXPERT)
    found = attempt(request, name, level=level)
    if found is None:
        return
    assert not [v for v in found.bears if v.says == "refused"]
    assert found.permission.amounts
    assert regimen_of(name).recommended
    for dose in found.doses:
        for active in dose.actives:
            assert active.lies != "refused"
            top = dose.peaks.get(active.substance, active.level)
            ceilings = FACTS.substances[active.substance].ceiling
            assert all(top.value <= c.refuse_above for c in ceilings)


@FEW
@given(stocks, litres, st.sampled_from(KEEPERS))
def test_steps_are_in_order_of_time_with_ids_of_their_own(stock, volume_l, name):
    request = asked(tuple(stock), volume_l, read={"kh": 120.0}, people=EXPERT, shelf=(lawful(),))
    found = attempt(request, name)
    if found is None:
        return
    assert [s.at for s in found.steps] == sorted(s.at for s in found.steps)
    assert len({s.id for s in found.steps}) == len(found.steps)
    assert found.steps[0].at == NOW
    assert NOW < found.ends <= max(found.decide_on, found.ends)
    assert any(s.kind == "read-water" for s in found.steps)


@FEW
@given(stocks, litres, st.sampled_from(KEEPERS))
def test_what_is_measured_out_is_what_the_water_gets(stock, volume_l, name):
    """Amounts of the steps add up to the doses of the plan: no figure is kept twice."""
    request = asked(tuple(stock), volume_l, read={"kh": 120.0}, people=EXPERT)
    found = attempt(request, name)
    if found is None or found.route not in ("water_long", "water_bath", "dip"):
        return
    acts = [s.act for s in found.steps if s.kind in ("dose", "put-back", "bath")]
    assert [a.actives for a in acts] == [{x.substance: x.amount for x in d.actives} for d in found.doses]


@FEW
@given(stocks, litres, st.sampled_from(sorted(FACTS.causes)))
def test_no_open_remedy_is_refused_to_anybody_who_meets_it(stock, volume_l, cause):
    request = asked(tuple(stock), volume_l)
    found = options([cause], request.stock, FACTS, volume_l=volume_l, water=request.water)
    for option in found.open:
        assert not [v for v in option.bears if v.says == "refused"]
        assert {v.limit.stock for v in option.bears}.isdisjoint(option.left_out)
    for row in found.ruled_out:
        assert row.reasons


@FEW
@given(stocks, litres, st.sampled_from(sorted(FACTS.causes)))
def test_one_more_animal_opens_nothing_in_the_tank(stock, volume_l, cause):
    """Whoever comes along can only close what goes into the tank's own water."""
    request = asked(tuple(stock), volume_l)
    more = (*request.stock, group("cherry_shrimp", 20, "more shrimp", length_cm=Estimate.exact(2.0)))

    def in_tank(animals):
        known = {"volume_l": volume_l, "water": request.water, "not_there": ("fry", "egg")}
        found = options([cause], animals, FACTS, **known)
        return {o.id for o in found.open if o.place == "tank"}

    assert in_tank(more) <= in_tank(request.stock)


def test_a_packet_of_something_else_is_refused_by_name():
    request = asked((group("guppy", 6, sex="male"),), Estimate.exact(54.0), shelf=(lawful(),))
    with pytest.raises(BadInput, match="holds no levamisole"):
        make_course(request, "levamisole", "water_long", facts=FACTS, start=NOW, now=NOW, supply=lawful())


def test_both_actives_of_a_packet_are_in_the_food():
    """240 + 80 mg in 48 g: 5 mg/g of one and a third of that of the other; both leach."""
    fish = group("guppy", 20, "guppies", sex="male", length_cm=Estimate.exact(3.0))
    request = asked((fish,), Estimate.exact(54.0), causes=("hexamita",), shelf=(lawful(),))
    found = make_course(request, "metronidazole", "feed", facts=FACTS, start=NOW, now=NOW, supply=lawful())
    held = next(s.act.actives_mg_per_g for s in found.steps if s.kind == "feed")
    assert held == {"metronidazole": held["metronidazole"], "praziquantel": held["metronidazole"] / 3}
    assert {v.limit.part for v in found.bears} == {"metronidazole", "praziquantel"}


def for_nitrite(request):
    return make_course(
        request, "sodium_chloride", "water_long", facts=FACTS, start=NOW, now=NOW, regimen_id="nitrite"
    )


def test_salt_against_nitrite_goes_by_the_reading():
    """1 mg/L as N is 3.28 as the ion; ten times that of chloride is 54 mg/L of salt: 2.9 g in 54 L."""
    fish = group("guppy", 6, "guppies", sex="male", length_cm=Estimate.exact(3.0))
    request = asked((fish,), Estimate.exact(54.0), read={"nitrite_n": 1.0}, causes=("nitrite",))
    raised = [d for d in for_nitrite(request).doses if d.kind != "put-back"]
    grams = sum(a.amount for d in raised for a in d.actives) / 1000
    assert grams == pytest.approx(10 * 3.2845 * 1.6486 * 54 / 1000, abs=0.1)
    with pytest.raises(BadInput, match="no published level"):
        for_nitrite(replace(request, water=None, findings=()))
