"""Rule 30: whose a substance is to use, by its use, the region and the statement of the keeper."""

import pytest

from tankward.treat.policy import permission, why_not
from tests.treat.tanks import FACTS, lawful, sachet

REGIONS = ("US", "UK", "EU", "DE", "other", "")


@pytest.mark.parametrize("region", REGIONS)
def test_rule_30_a_keepers_substance_is_theirs_everywhere(region):
    found = permission("sodium_chloride", region, (), FACTS)
    assert found.may == "yes"
    assert found.amounts
    assert why_not(found, FACTS) is None


@pytest.mark.parametrize("region", REGIONS)
def test_rule_30_a_vet_substance_is_referred_until_it_is_stated_to_be_held(region):
    found = permission("metronidazole", region, (sachet(),), FACTS)
    assert (found.may, found.amounts) == ("vet", False)
    assert "held-lawfully=yes" in why_not(found, FACTS).would_change


def test_rule_30_the_statement_and_its_day_go_with_the_permission():
    found = permission("metronidazole", "UK", (lawful(),), FACTS)
    assert (found.may, found.amounts, found.stated_on) == ("held", True, "2026-05-01")
    assert {line.region for line in found.law} <= {"UK", "all"}
    assert any(line.region == "UK" for line in found.law)


def test_rule_30_a_packet_of_something_else_lifts_nothing():
    assert permission("kanamycin", "UK", (lawful(),), FACTS).may == "vet"


def test_rule_30_germany_is_under_the_law_of_the_eu():
    german = permission("metronidazole", "DE", (), FACTS)
    assert {line.region for line in german.law} == {"EU", "all"}


def test_rule_30_an_unknown_region_shows_every_line():
    """Don't know is the strictest: all lines of law stand on the sheet."""
    unknown = permission("metronidazole_praziquantel", "", (), FACTS)
    assert {"EU", "UK", "all"} <= {line.region for line in unknown.law}


def test_rule_30_a_combination_is_as_strict_as_its_strictest_part():
    """Praziquantel alone is a keeper's; together with metronidazole it is not."""
    assert permission("praziquantel", "UK", (), FACTS).may == "yes"
    assert permission("metronidazole_praziquantel", "UK", (), FACTS).may == "vet"


@pytest.mark.parametrize("substance", [s.id for s in FACTS.substances.values() if s.use == "hazard"])
def test_rule_30_a_hazard_is_refused_with_its_reason(substance):
    found = permission(substance, "US", (), FACTS)
    assert found.may == "hazard"
    assert FACTS.substances[substance].use_note in why_not(found, FACTS).because


def test_rule_30_what_is_history_is_only_explained():
    found = permission("quinine", "US", (), FACTS)
    assert (found.may, found.amounts) == ("historic", False)
    assert why_not(found, FACTS).kind == "use-historic"
