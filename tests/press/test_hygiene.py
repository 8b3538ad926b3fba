"""The hygiene sheet: rules 23 to 25, and its amounts against calc bleach."""

from datetime import UTC, datetime

import pytest

from tankward.desk.calculations import CALCULATIONS
from tankward.desk.hygiene import hygiene_wanted
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Taste
from tankward.room.replay import Room
from tankward.show.words.hygiene import DEAD, NEVER, instead, order

NOW = datetime(2026, 5, 14, 18, 0, tzinfo=UTC)
FACTS = load()


def wanted(**typed):
    return hygiene_wanted(Room(), "", typed, NOW, FACTS, Taste())


def heads(found):
    return [head for head, *_ in order(found)]


@pytest.mark.parametrize("against", ["general", "wasting", "worm_eggs", "mycobacteria"])
def test_rule_23_the_order_and_alcohol_only_on_what_is_dry(against):
    first = [head.split(":")[0].split(",")[0] for head in heads(wanted(against=against))]
    assert first == ["Wash", "Bleach", "Rinse", "Thiosulfate", "Rinse", "Dry", "Only now"]
    alcohol = order(wanted(against=against))[-1]
    assert "only if dry" in alcohol[0] and "70 % alcohol, 1 minute" in alcohol[0]
    assert "No flame, window open" in alcohol[2]


def test_rule_23_what_bleach_never_meets():
    never = " ".join(NEVER)
    for word in ("acid", "ammonia", "formalin", "Alcohol never on wet bleach"):
        assert word in never


def test_rule_24_wasting_without_a_known_cause():
    """3,000 mg/L for 10 min is 60 mL of 5 % in a litre; or 50 to 60 °C for 30 min and dry."""
    found = wanted(against="wasting", strength="5 %", volume="1 L")
    assert found.plan.own_net
    assert found.bleach.high == 3000
    assert "60 mL in 1 L of cold water, 10 minutes" in heads(found)[1]
    (hot,) = instead(found)
    assert hot[0] == "Water of 50 to 60 °C, 30 minutes"
    assert "dry" in hot[1]


@pytest.mark.parametrize(("cause", "germ"), [
    ("camallanus", "worm_eggs"), ("capillaria", "worm_eggs"), ("mycobacteriosis", "mycobacteria"),
    ("white_spot", "general"),
])  # fmt: skip
def test_rule_24_the_bath_hangs_on_the_germ(cause, germ):
    found = wanted(against=cause)
    assert found.germ == germ
    assert (found.bleach.high == 3000) == (germ == "worm_eggs")


def test_rule_24_bleach_does_not_surely_kill_mycobacteria():
    how = order(wanted(against="mycobacteria"))[1][1]
    assert "not surely kill mycobacteria" in how
    assert instead(wanted(against="mycobacteria")) == []


def test_rule_25_the_dead_are_evidence():
    told = " ".join(f"{head} {how}" for head, how in DEAD)
    for words in ("Out at once", "bag", "In the fridge, not the freezer", "within hours"):
        assert words in told


@pytest.mark.parametrize("strength", ["2 %", "4 %", "12 %"])
@pytest.mark.parametrize("volume", ["5 L", "2 US gal"])
def test_amounts_are_those_of_calc_bleach(strength, volume):
    found = wanted(against="general", strength=strength, volume=volume)
    same = CALCULATIONS["bleach"].run({"strength": strength, "target": "200 mg/L", "volume": volume})
    assert found.amount == same
    assert same.shown in heads(found)[1]
    assert same.also[0].shown in heads(found)[3]


def test_every_figure_says_how_it_is_known():
    for head, _, _, sure in order(wanted(against="wasting")):
        assert sure or head == "Rinse"


@pytest.mark.parametrize(
    ("typed", "field"),
    [({"against": "dragons"}, "against"), ({"strength": "x"}, "strength"), ({"volume": "5"}, "volume")],
)
def test_bad_input_names_the_field(typed, field):
    with pytest.raises(BadInput) as fault:
        wanted(**typed)
    assert fault.value.field == field
