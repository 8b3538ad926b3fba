"""The list of calculations is read off the modules that hold them."""

from __future__ import annotations

import importlib
import sys

import pytest

import tankward.water.calc
from tankward.desk import calculations
from tankward.quantities.calculation import Calculation

NEW = '''
from typing import Annotated

from tankward.quantities.calculation import Ask, calculation
from tankward.quantities.working import Answer, Working, answer


@calculation("{name}", unit="L", formula="twice", group="the tank")
def double(volume: Annotated[float, Ask("volume", "the water", above=0)]) -> Answer:
    """Twice the water."""
    work = Working()
    return answer(work.step("twice", "2 × volume", 2 * volume, "L"), "L", work, says="{{shown}}.")
'''
PROMISED = {
    "volume", "volume-by-salt", "ammonia", "ammonia-criterion", "ammonia-made",
    "oxygen-saturation", "oxygen-use",
    "carbon-dioxide", "alkalinity-use", "buffer", "hardness", "salt-for-nitrite", "salinity", "dechlorinate",
    "mix-water", "match-water", "evaporation", "convert", "dose", "level", "redose", "wash-out", "dilute-out",
    "build-up", "half-life", "stock-solution", "bath", "dilute", "bleach", "biomass",
    "ration", "medicated-feed",
    "feed-dose", "copper", "cycle", "measure",
}  # fmt: skip


@pytest.fixture
def shelf(tmp_path, monkeypatch):
    """A folder whose modules count as water calculations."""
    monkeypatch.setattr(tankward.water.calc, "__path__", [*tankward.water.calc.__path__, str(tmp_path)])
    yield tmp_path
    for name in [n for n in sys.modules if n.startswith("tankward.water.calc.planted")]:
        del sys.modules[name]
    importlib.invalidate_caches()


def test_every_promised_calculation_is_there():
    assert set(calculations.CALCULATIONS) >= PROMISED


def test_every_calculation_says_what_it_is_for_and_where_it_belongs():
    for calculation in calculations.CALCULATIONS.values():
        assert calculation.purpose.endswith(".")
        assert calculation.group
        assert calculation.formula
        assert all(i.ask.says for i in calculation.inputs)


def test_one_new_file_adds_one(shelf):
    (shelf / "planted.py").write_text(NEW.format(name="double-water"), encoding="utf-8")
    found = calculations.gather()
    assert isinstance(found["double-water"], Calculation)
    assert found["double-water"].run({"volume": "10 L"}).says == "20 L."


def test_two_of_one_name_are_a_fault(shelf):
    (shelf / "planted_twin.py").write_text(NEW.format(name="volume"), encoding="utf-8")
    with pytest.raises(TypeError, match="two calculations are called volume"):
        calculations.gather()
