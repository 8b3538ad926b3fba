"""What works at least, what the most tender bears: in one unit, of what is treated; missing is missing."""

from datetime import UTC, datetime

import pytest

from tankward.knowledge.loader import load
from tankward.model.forecast import forecast
from tankward.treat.drugs_ahead import drugs_ahead, works_from
from tankward.treat.medicine import is_medicine
from tests.helpers.rooms import room_from

FACTS = load()
NOW = datetime(2026, 3, 9, 20, 0, tzinfo=UTC)
ROOM = """
1 March 2026 08:00  tank    A  volume="50 L" temp=25C filter=sponge
1 March 2026 08:01  stock   A  kind=guppy number=10 length=2.5cm
1 March 2026 08:02  stock   A  kind=nerite number=3
9 March 2026 08:00  reading A  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=25C
"""


def drugs(more="", causes=()):
    room = room_from(ROOM + more)
    found = forecast(room, "a", NOW, facts=FACTS, days=7, draws=64)
    return drugs_ahead(found, room, causes, FACTS)


@pytest.mark.parametrize(
    ("substance", "causes", "level"),
    [
        ("sodium_chloride", ("white_spot",), 2000.0),
        ("sodium_chloride", ("columnaris",), 1000.0),
        ("praziquantel", ("gill_flukes",), 2.0),
        ("praziquantel", ("tapeworms",), 0.75),
        ("formalin", ("white_spot",), 15.0),
    ],
)
def test_what_works_is_of_what_is_treated_in_the_unit_of_the_level(substance, causes, level):
    found = works_from(substance, causes, FACTS)
    assert found is not None
    assert found[0] == pytest.approx(level)


def test_where_nothing_is_published_for_the_cause_any_cause_counts():
    assert works_from("praziquantel", ("white_spot",), FACTS) == works_from("praziquantel", (), FACTS)
    assert works_from("nobody_knows_it", (), FACTS) is None


def test_a_dose_has_both_lines_with_their_hours():
    (drug,) = drugs('9 March 2026 10:00  dose A  praziquantel="150 mg"\n', ("gill_flukes",))
    assert (drug.substance, drug.where, drug.unit) == ("praziquantel", "water", "mg/L")
    assert 1.0 < drug.now.low < drug.now.value < drug.now.high <= 3.1
    assert drug.works is not None and drug.works.level == pytest.approx(2.0)
    assert drug.works.fall.first.value < drug.bothers.fall.last.value  # the tender bear less than what works
    assert drug.bothers.who == ("guppy",)
    assert drug.bothers.level < 2.0


def test_of_copper_a_snail_bears_none_and_that_is_no_level():
    (drug,) = drugs('9 March 2026 10:00  dose A  copper="5 mg"\n')
    assert drug.never
    assert drug.bothers is not None and drug.bothers.level > 0.0


def test_what_only_makes_water_fit_is_no_medicine_and_a_trace_is_not_told():
    assert not is_medicine("sodium_thiosulfate", FACTS)
    assert is_medicine("praziquantel", FACTS)
    assert drugs('9 March 2026 10:00  dose A  sodium_thiosulfate="500 mg"\n') == ()
    assert drugs() == ()
