"""Sentences about a medicine to come and about today's readings: read aloud by somebody tired."""

from types import SimpleNamespace

import pytest

from tankward.judge.learned import Learned, Moved
from tankward.knowledge.loader import load
from tankward.model.falling import Fall, When
from tankward.quantities.parse import Estimate
from tankward.show.words.drugs_ahead import drug_says, falls_said, last_said, when_said
from tankward.show.words.learned import NOTHING, learned_says
from tankward.treat.drugs_ahead import Drug, Line

FACTS = load()
NEVER = When(low=None, value=None, high=None)
AT_ONCE = When(low=0.0, value=0.0, high=0.0)


def when(low, value, high):
    return When(low=low, value=value, high=high)


def fall(first, last=None, over_now=1.0, over_at_end=0.0):
    return Fall(line=1.0, over_now=over_now, over_at_end=over_at_end, first=first, last=last or first)


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (when(5.2, 12.0, 29.8), "in 5 to 30 hours"),
        (when(30.0, 60.0, 110.0), "in 1 to 5 days"),
        (when(0.0, 0.5, 0.4), "within the hour"),
        (when(0.2, 6.0, 8.0), "within 8 hours"),
        (when(47.0, 60.0, None), "in 47 hours at the earliest, perhaps not before the end"),
        (NEVER, "not before the end"),
    ],
)
def test_hours_are_told_as_hours_and_then_as_days(found, said):
    assert when_said(found) == said


def test_until_when_it_works():
    assert falls_said(fall(when(5.0, 12.0, 20.0))) == "it falls under that in 5 to 20 hours"
    assert falls_said(fall(AT_ONCE, over_now=0.0)) == "it is under that, and stays so"
    again = fall(when(5.0, 12.0, 20.0), when(60.0, 70.0, 96.0))
    assert falls_said(again).endswith("; with what is planned, under it for good in 2 to 4 days")
    perhaps = fall(when(0.0, 3.0, 9.0), over_now=0.6)
    assert falls_said(perhaps) == "it is perhaps under that already, else within 9 hours"
    later = fall(AT_ONCE, NEVER, over_now=0.0, over_at_end=1.0)
    assert falls_said(later) == "under that now; with what is planned it is over it again, to the end"


def test_from_when_on_it_bothers_nobody():
    assert last_said(fall(when(5.0, 12.0, 20.0))) == "under that for good in 5 to 20 hours"
    assert last_said(fall(when(0.0, 0.0, 20.0))) == "probably under that already, else within 20 hours"
    assert last_said(fall(NEVER)) == "under that for good not before the end"


def test_a_medicine_says_what_is_not_known_of_it():
    line = Line(level=2000.0, unit="mg/L", source="X", status="memory", fall=fall(when(5.0, 12.0, 20.0)))
    drug = Drug(
        substance="sodium_chloride", where="water", unit="mg/L", now=Estimate(2500.0, 2000.0, 3000.0),
        works=line, never=("snails", "shrimp"), unknown=("loaches",),
    )  # fmt: skip
    assert drug_says(drug, FACTS) == [
        "Salt (sodium chloride) in the water: 2 to 3 g/L now.",
        "  It works from 2 g/L: it falls under that in 5 to 20 hours.",
        "  No amount of it is known to be borne by snails and shrimp.",
        "  What loaches bear of it isn't known.",
    ]
    fed = Drug(substance="metronidazole", where="fish", unit="mg/kg", now=Estimate(3.0, 1.0, 9.0))
    assert drug_says(fed, FACTS)[0] == "Metronidazole in the fish: 1 to 9 mg/kg now."
    assert "nobody has measured" in drug_says(fed, FACTS)[1]
    unknown = Drug(substance="praziquantel", where="water", unit="mg/L", now=Estimate(1.0, 0.9, 1.1))
    assert "  From how much on it works is not known." in drug_says(unknown, FACTS)


def forecast(fits=True, odd=()):
    cautions = [SimpleNamespace(kind="reading-unexplained", about=q) for q in odd]
    return SimpleNamespace(cautions=cautions, fits=fits)


def moved(before, after):
    return Moved(name="nh3_n", kind="peak", unit="mg/L", before=Estimate(*before), after=Estimate(*after))


def test_what_a_reading_changed_stands_beside_what_was_thought_without_it():
    big = moved((0.01, 0.002, 0.05), (0.02, 0.01, 0.03))
    told = learned_says(Learned(read=("ammonia_n", "ph"), moved=(big,)), forecast(), FACTS)
    assert told == [
        "Today's readings (total ammonia and pH) change it:",
        "  the poisonous part of ammonia, highest: 0.01 to 0.03 mg/L, without them 0.002 to 0.05 mg/L",
    ]


def test_what_changes_little_is_said_in_a_line_and_nothing_read_is_said():
    little = moved((0.01, 0.005, 0.02), (0.011, 0.006, 0.02))
    assert not little.matters
    (told,) = learned_says(Learned(read=("ph",), moved=(little,)), forecast(), FACTS)
    assert told.startswith("Today's readings (pH) change little")
    assert learned_says(Learned(), forecast(), FACTS) == [NOTHING]


def test_what_fits_nothing_is_said_whatever_else():
    told = learned_says(Learned(), forecast(fits=False, odd=("nitrite_n",)), FACTS)
    assert told[1:] == [
        "Nitrite as you read it is explained by nothing here.",
        "What you entered does not fit together: read the water again.",
    ]
