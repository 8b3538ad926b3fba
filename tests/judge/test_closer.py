"""Looking closer: what a look takes is weighed, nobody waits in danger, counts move the odds by the facts."""

from datetime import UTC, datetime, timedelta

import msgspec
import numpy as np
import pytest

from tankward.desk.examine import examine_said, examine_tank
from tankward.desk.names import DeskNames
from tankward.desk.said import water
from tankward.judge.causes import causes
from tankward.judge.evidence import Evidence, Outcome
from tankward.judge.from_room import own_evidence
from tankward.judge.network_of import network_of
from tankward.judge.next_look import burden_min, next_look
from tankward.judge.trend import TRENDS, trend_column
from tankward.judge.under_lens import grade_of
from tankward.judge.waiting import WAIT, wait_and_count
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.replay import Room
from tankward.room.text import room_of_text

FACTS = load()
NET = network_of(FACTS)
NOW = datetime(2026, 5, 20, 18, 0, tzinfo=UTC)
GOOD = "ammonia 0 mg/L as N, nitrite 0 mg/L as N, pH 7.4, 25C, nitrate 10 mg/L"
TANK = """
1 January 2026 08:00  tank     Left   volume="54 L" temp=25C filter=sponge filter-age="12 weeks"
1 January 2026 08:05  stock    Left   kind=angelfish number=10 length=5cm
"""


def days_ago(days):
    return f"{NOW - timedelta(days=days):%-d %B %Y %H:%M}"


def of_room(lines):
    return own_evidence(room_of_text(TANK + lines), "left", FACTS, NOW)


def said(*seen, readings=GOOD):
    return examine_said(list(seen), [], FACTS, readings=water(readings))


def every(evidence):
    return next_look(evidence, NET, FACTS, most=1000)


def test_the_gain_is_over_time_harm_and_what_has_to_be_there():
    looks = every(Evidence(seen=("flashing", "excess_slime")))
    scrape = next(x for x in looks if x.sample == "skin")
    dropping = next(x for x in looks if x.sample == "faeces" and x.tool_min)
    assert scrape.harm == "a little"
    assert dropping.harm == "none"
    assert scrape.gain_per_minute == pytest.approx(scrape.gain / burden_min(30.0, "a little", 15.0))
    assert burden_min(30.0, "a little", 15.0) > burden_min(30.0, "none", 15.0) > 30.0


def test_what_a_sign_or_a_reading_tells_already_is_not_proposed():
    names = {x.id for x in every(said("white_spots").evidence)}
    assert not names & {"white_spot:naked eye, spots as grains", "cold:thermometer", "heat:thermometer"}
    assert "cold:thermometer" in {x.id for x in every(Evidence(seen=("white_spots",)))}


def test_no_live_fish_is_cut_by_a_keeper():
    samples = {x.sample for x in every(Evidence(seen=("fast_gills",)))}
    assert not samples & {"gills", "gut", "muscle"}
    with_dead = next_look(Evidence(seen=("fast_gills",)), NET, FACTS, most=1000, dead_at_hand=True)
    assert {x.harm for x in with_dead if x.sample in ("gills", "gut", "muscle")} == {"only a dead fish"}


def test_what_a_laboratory_tells_stands_apart_with_sensitivity_and_specificity():
    found = said("belly_sunken", "white_stringy_faeces")
    ids = {s.look.id for s in found.sent}
    assert ids
    assert not ids & {x.id for x in every(found.evidence)}
    one = found.sent[0]
    test = next(t for t in FACTS.causes[one.cause].test if t.name == one.look.what)
    assert (one.sensitivity, one.specificity) == (test.sensitivity, test.specificity)
    gains = [s.look.gain for s in found.sent]
    assert gains == sorted(gains, reverse=True)


def test_more_the_same_and_fewer_are_all_there_is():
    given = [trend_column(NET, t) for t in TRENDS]
    assert sum(g for g, _ in given) == pytest.approx(np.ones((256, len(NET.causes) + 1)))
    assert sum(none for _, none in given) == pytest.approx(np.ones(256))


def test_a_day_tells_quick_causes_from_slow_ones():
    more, _ = trend_column(NET, "more")
    quick, slow = more[:, NET.index("velvet")].mean(), more[:, NET.index("mycobacteriosis")].mean()
    assert quick > 2.0 * slow
    before = Evidence(seen=("fast_gills", "belly_sunken"))
    worse = msgspec.structs.replace(before, trend="more")
    same = msgspec.structs.replace(before, trend="same")
    assert causes(worse, NET).of("velvet").value > causes(same, NET).of("velvet").value
    assert causes(same, NET).of("mycobacteriosis").value > causes(worse, NET).of("mycobacteriosis").value


def test_waiting_is_offered_where_it_tells_and_nothing_presses():
    found = said("belly_sunken", "white_stringy_faeces")
    assert found.wait is not None
    assert found.wait.id == WAIT
    assert found.wait.harm == "a day lost"


@pytest.mark.parametrize(
    ("seen", "readings"),
    [
        (("gasping_surface", "belly_sunken"), GOOD),  # rule 17
        (("on_side",), GOOD),
        (("belly_sunken",), "ammonia 2 mg/L as N, nitrite 0 mg/L as N, pH 8.2, 26C"),  # rule 20: bad water
        (("belly_sunken",), ""),  # rule 20: not read
        (("gold_dust", "flashing"), GOOD),  # velvet is likely: it kills in a day or two
    ],
)
def test_rules_17_and_20_nobody_waits_in_danger(seen, readings):
    assert said(*seen, readings=readings).wait is None


def test_nobody_waits_who_counted_already_or_saw_nothing():
    assert wait_and_count(Evidence(seen=("belly_sunken",), trend="same"), NET) is None
    assert wait_and_count(Evidence(), NET) is None


@pytest.mark.parametrize(("second", "trend"), [(6, "more"), (3, "same"), (1, "fewer")])
def test_two_counts_a_day_apart_are_a_trend(second, trend):
    lines = (
        f'{days_ago(1.5)}  look  Left counts="flashing 3" looked-at=10\n'
        f'{days_ago(0.5)}  look  Left counts="flashing {second}" looked-at=10\n'
    )
    assert of_room(lines).trend == trend


def test_the_dead_in_between_are_no_recovery():
    lines = (
        f'{days_ago(1.5)}  look  Left counts="flashing 3" looked-at=10\n'
        f"{days_ago(1.0)}  death Left stock=angelfish number=3\n"
        f'{days_ago(0.5)}  look  Left counts="flashing 3" looked-at=7\n'
    )
    assert of_room(lines).trend == "more"


def test_after_a_medicine_a_count_tells_of_the_medicine():
    lines = (
        f'{days_ago(1.5)}  look  Left counts="flashing 3" looked-at=10\n'
        f"{days_ago(1.0)}  dose  Left supply=unknown praziquantel=100mg\n"
        f'{days_ago(0.5)}  look  Left counts="flashing 6" looked-at=10\n'
    )
    assert of_room(lines).trend == ""


@pytest.mark.parametrize(
    ("number", "grade"),
    [
        (0, ""), (1, "slight"), (5, "slight"), (6, "moderate"), (15, "moderate"), (16, "marked"),
        (31, "extreme"), (500, "extreme"),
    ],
)  # fmt: skip
def test_rule_35_the_field_scale(number, grade):
    assert grade_of(number, FACTS) == grade


def test_a_count_under_the_microscope_is_the_result_of_a_test():
    found = of_room(f'{days_ago(0.5)}  look  Left in-field="spironucleus 40" sample=faeces\n')
    test = "fresh faecal smear, motile flagellates"
    assert found.tests == (Outcome(cause="hexamita", test=test, positive=True, degree="extreme"),)
    none = of_room(f'{days_ago(0.5)}  look  Left in-field="spironucleus 0" sample=faeces\n')
    assert none.tests == (Outcome(cause="hexamita", test=test, positive=False),)


def test_the_newest_count_holds_and_the_sample_names_the_test():
    lines = (
        f'{days_ago(2)}  look  Left in-field="spironucleus 40" sample=faeces\n'
        f'{days_ago(1)}  look  Left in-field="spironucleus 3; costia 0; trichodina 20" sample=skin\n'
    )
    by_cause = {t.cause: t for t in of_room(lines).tests}
    assert by_cause["costia_trichodina"].test == "wet mount, three sites"
    assert (by_cause["costia_trichodina"].positive, by_cause["costia_trichodina"].degree) == (True, "marked")


def test_rule_35_many_say_more_than_few_and_none_speaks_against():
    test = "fresh faecal smear, motile flagellates"
    seen = Evidence(seen=("belly_sunken",), hosts=("cichlid",))
    chance = {
        degree: causes(
            msgspec.structs.replace(
                seen, tests=(Outcome(cause="hexamita", test=test, positive=bool(degree), degree=degree),)
            ),
            NET,
        ).of("hexamita").value
        for degree in ("", "slight", "moderate", "extreme")
    }  # fmt: skip
    before = causes(seen, NET).of("hexamita").value
    assert chance[""] < before < chance["slight"] < chance["moderate"] < chance["extreme"]


def test_few_flagellates_alone_are_no_proof():
    found = of_room(f'{days_ago(0.5)}  look  Left in-field="spironucleus 3" sample=faeces\n')
    assert causes(found, NET).of("hexamita").value < 0.66


def test_parasites_counted_on_them_are_seen():
    assert "white_spots" in of_room(f'{days_ago(0.5)}  look  Left parasites="white_spots 14"\n').seen
    assert "white_spots" in of_room(f'{days_ago(0.5)}  look  Left parasites="white_spots 0"\n').absent
    room = room_of_text(TANK + f'{days_ago(0.5)}  look  Left parasites="white_spots 14"\n')
    first = examine_tank(room, "left", NOW, FACTS).ranking.ranked[0]
    assert first.id == "white_spot"


def test_a_germ_that_is_not_drawn_is_asked_back():
    names = DeskNames(Room(), FACTS)
    assert [names.resolve("germ", word, "in-field") for word in ("Costia", "hexamita", "gill flukes")] == [
        "costia",
        "spironucleus",
        "gill_fluke",
    ]
    with pytest.raises(BadInput, match="is no germ drawn here"):
        names.resolve("germ", "costa", "in-field")
