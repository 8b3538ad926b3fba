"""The judge of harm sees what would harm: planted options, each wrong in one way, and a sound one."""

import pytest

from scripts.report_cases import PAGE
from scripts.reports.evidence import MISSED
from scripts.reports.harm import harms
from scripts.reports.page import all_told, page, share
from tankward.judge.network_of import network_of
from tankward.knowledge.loader import load
from tankward.quantities.parse import Estimate
from tankward.room.things import Stock
from tankward.treat.policy import permission
from tankward.treat.remedies.records import Option

FACTS = load()
FISH = Stock(id="s0", tank="t", name="guppies", kind="guppy", number=Estimate.exact(10.0))
SHRIMP = Stock(id="s1", tank="t", name="shrimp", kind="cherry_shrimp", number=Estimate.exact(20.0))


@pytest.fixture(scope="module")
def told():
    return all_told(network_of(FACTS), FACTS)


def planted(substance, place="tank", cause="velvet", **changed):
    """An open option of a substance, as if nobody had asked whom it harms."""
    regimen = next((r for r in FACTS.substances[substance].regimen if r.route == "water_long"), None)
    regimen = regimen or FACTS.substances[substance].regimen[0]
    told = {
        "id": f"{substance}/{regimen.id}",
        "kind": "substance",
        "cause": cause,
        "substance": substance,
        "route": regimen.route,
        "place": place,
        "regimen": regimen,
        "permission": permission(substance, "", (), FACTS),
    }
    return Option(**(told | changed))


def found(option, *stock, **more):
    return " ".join(harms(option, stock, FACTS, **more))


def test_copper_over_shrimp_is_seen():
    assert "copper is lethal for cherry_shrimp" in found(planted("copper"), FISH, SHRIMP)


def test_the_same_with_the_shrimp_moved_out_is_not():
    assert "cherry_shrimp" not in found(planted("copper", left_out=("s1",)), FISH, SHRIMP)


def test_a_hazard_or_a_thing_of_the_past_is_seen():
    assert "is hazard" in found(planted("trichlorfon"), FISH)
    assert "is historic" in found(planted("quinine"), FISH)


def test_a_veterinarians_substance_without_one_is_seen():
    free = permission("praziquantel", "", (), FACTS)
    assert "belongs to a veterinarian" in found(planted("metronidazole", permission=free), FISH)
    assert "belongs" not in found(planted("metronidazole"), FISH)


def test_what_must_not_meet_is_seen():
    assert "with potassium_permanganate" in found(
        planted("formalin"), FISH, still_in=("potassium_permanganate",)
    )


def test_a_burdening_medicine_in_poisonous_water_is_seen():
    assert "ammonia" in found(planted("formalin"), FISH, nh3_n=0.2)
    assert "ammonia" not in found(planted("formalin"), FISH, nh3_n=0.05)


def test_what_it_is_not_for_is_seen():
    assert "not for any tank with shrimp" in found(planted("lufenuron", cause="argulus"), FISH, SHRIMP)


@pytest.mark.parametrize("place", ["food", "fish"])
def test_what_never_meets_the_water_harms_nobody_in_it(place):
    assert "copper is lethal" not in found(planted("copper", place=place), FISH, SHRIMP)


def test_a_sound_option_is_let_through():
    assert found(planted("praziquantel", cause="flukes"), FISH) == ""


def test_no_option_of_any_report_would_have_harmed(told):
    assert [f"{t.id}: {h}" for t in told for h in t.harm] == []
    assert sum(t.offered for t in told) > 500


def test_the_list_beats_both_plain_ways_of_ranking(told):
    """By the reports in the first three, and by the log score."""
    for rival in ("naive", "prior"):
        assert share(told, "ours", 3) > share(told, rival, 3)
        assert sum(t.scores["ours"] for t in told) < sum(t.scores[rival] for t in told)


def test_the_page_is_that_of_today(told):
    assert PAGE.read_text() == page(told, MISSED), "run make cases"
