"""Tanks, water and packets for the tests of remedies and courses. All invented."""

from datetime import UTC, datetime

from msgspec.structs import replace

from tankward.judge.conditions import People
from tankward.judge.findings import findings
from tankward.judge.waterstate import said_water
from tankward.knowledge.loader import load
from tankward.quantities.parse import Estimate
from tankward.room.things import Active, Kit, LabelRule, Reading, Supply, Tank
from tankward.treat.course.request import CourseRequest
from tests.judge.tanks import group, thin_livebearers, white_grains

FACTS = load()
NOW = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)
EXPERT = People(sensitised=False, pregnant_or_children=False, window=True, goggles=True, expert=True)
KIT = Kit(scale_g=0.1, syringes_ml=(1.0, 5.0, 20.0), region="UK")
TANK = Tank(id="T", name="Nursery", filter="sponge", tap="chloramine")


def water(stock=(), volume_l=None, **read):
    """Good water, with what is said of it put over that."""
    good = {"ammonia_n": 0.0, "nitrite_n": 0.0, "ph": 7.6, "temp_c": 25.0, "oxygen": 7.5} | read
    rows = [Reading(quantity=q, value=v) for q, v in good.items() if v is not None]
    return said_water(rows, FACTS, stock, volume_l)


def sachet(metronidazole=240, praziquantel=80, **more):
    """Case 1's packet: one per 10 US gal; after 48 h change half and repeat."""
    rule = LabelRule(units=1, per_volume_l=37.85411784, repeat_after_h=48, change_before=0.5)
    actives = (
        Active(substance="metronidazole", mg=metronidazole),
        Active(substance="praziquantel", mg=praziquantel),
    )
    return Supply(id="s1", name="sachet", unit="sachet", actives=actives, rule=rule, **more)


def lawful():
    return sachet(held_lawfully=True, held_since="2026-05-01")


def case_1_stock():
    sizes = {"platies": 3.0, "platy males": 2.2}
    return tuple(
        replace(s, length_cm=s.length_cm or Estimate.exact(sizes.get(s.name, 2.5)))
        for s in thin_livebearers()
    )


def asked(stock, volume_l, *, read=None, **more):
    """A request with good water unless said otherwise."""
    state = water(stock, volume_l, **(read or {}))
    temp = state.of("temp_c")
    return CourseRequest(
        tank=more.pop("tank", TANK),
        stock=tuple(stock),
        volume_l=volume_l,
        temp_c=None if temp is None else Estimate.exact(temp.value),
        water=state,
        findings=findings(state, FACTS),
        kit=more.pop("kit", KIT),
        **more,
    )


def case_1(**more):
    return asked(case_1_stock(), Estimate(63.0, 60.0, 66.0), **({"causes": ("hexamita",)} | more))


def case_2(**more):
    read = {"temp_c": 24.0, "ph": 7.0, "kh": 71.4}
    return asked(white_grains(), Estimate.exact(58.0), read=read, **({"causes": ("white_spot",)} | more))


def hardy(number=6, **more):
    """Male guppies alone: nobody presumed, nobody tender."""
    fish = group("guppy", number, "guppies", sex="male", length_cm=Estimate.exact(3.0))
    return asked((fish,), Estimate.exact(54.0), **more)
