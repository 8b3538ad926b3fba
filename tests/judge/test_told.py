"""Evidence from one line of words, and from the logbook."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.judge.causes import causes
from tankward.judge.findings import findings
from tankward.judge.from_room import room_evidence, stated
from tankward.judge.network_of import network_of
from tankward.judge.phrases import age, history
from tankward.judge.told import evidence_of, with_water
from tankward.judge.trials import trials_of
from tankward.judge.waterstate import said_water, water_state
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Clean, Dose
from tankward.room.entries.acts import Done
from tankward.room.entries.animals import JarTrial, StockAdded
from tankward.room.entries.looks import Look
from tankward.room.entries.tanks import TankAdded
from tankward.room.entries.water import ReadingTaken
from tankward.room.replay import replay
from tankward.room.things import Reading, Tank
from tests.judge.tanks import FACTS, approx, group, thin_livebearers

NOW = datetime(2026, 5, 14, 18, tzinfo=UTC)


def ago(days):
    return NOW - timedelta(days=days)


@pytest.mark.parametrize(
    ("text", "context", "days", "of"),
    [
        ("new fish 10 days ago", "arrival", 10.0, ()),
        ("new plants 2 weeks ago", "arrival", 14.0, ("plants",)),
        ("filter cleaned", "filter_upset", None, ()),
        ("filter cleaned yesterday", "filter_upset", 1.0, ()),
        ("new tank", "tank_age", 0.0, ()),
        ("tank set up 3 weeks ago", "tank_age", 21.0, ()),
        ("dosed twice", "dose", None, ("doubled or wrong volume",)),
        ("water change this morning", "water_change", 0.3, ()),
        ("forgot the dechlorinator", "tap_untreated", None, ()),
        ("power cut 5 hours ago", "power_stop", 5 / 24, ()),
        ("filter_upset 2 days ago", "filter_upset", 2.0, ()),
    ],
)
def test_history_in_plain_words(text, context, days, of):
    (found,), _ = history(text, FACTS)
    assert (found.context, found.of) == (context, of)
    assert found.age_d == (None if days is None else approx(days))


def test_a_dose_of_a_named_substance_says_what_it_does_to_the_filter():
    (dose,), _ = history("dosed erythromycin 3 days ago", FACTS)
    assert {"erythromycin", "harms filter", "antibiotic"} <= set(dose.of)
    assert dose.age_d == 3.0


def test_what_is_not_known_is_refused_by_name():
    with pytest.raises(BadInput, match="sang to them"):
        history("new fish; sang to them", FACTS)


def test_the_vent_that_was_looked_at_is_told():
    assert history("vent looked at; new fish", FACTS)[1] is True


def test_ages_in_words():
    assert age("a week ago, new fish")[0] == 7.0
    assert age("new fish")[0] is None


def test_signs_in_plain_words_and_a_contradiction_is_not_known():
    told = evidence_of(["pine cone", "flashing"], ["flashing", "gold_dust"], FACTS)
    assert told.seen == ("pinecone",)
    assert told.absent == ("gold_dust",)
    assert told.unsure == ("flashing",)


def test_a_word_that_is_no_sign_is_refused():
    with pytest.raises(BadInput):
        evidence_of(["sparkly"], [], FACTS)


def test_animals_are_hosts_and_their_stage_counts():
    told = evidence_of([], [], FACTS, animals=thin_livebearers())
    assert told.hosts[:2] == ("livebearer", "platy")
    assert "shrimp" not in told.hosts
    stages = next(h.of for h in told.happened if h.context == "life_stage")
    assert "grown livebearer female" in stages


def test_the_water_speaks_for_and_against_causes():
    state = said_water(
        [Reading(quantity="nitrite_n", value=3.0), Reading(quantity="temp_c", value=31.0)], FACTS
    )
    found = findings(state, FACTS)
    told = with_water(evidence_of(["gasping_surface"], [], FACTS), state, found, FACTS)
    assert {t.cause: t.positive for t in told.tests}["nitrite"] is True
    net = network_of(FACTS)
    ranked = causes(told, net)
    assert ranked.ranked[0].id == "nitrite"
    assert any(m.context == "warm" for m in ranked.of("low_oxygen").moved)


def room():
    tank = Tank(id="T", name="T7", volume_l=Estimate.exact(35.0), temp_c=Estimate.exact(25.0))
    fish, newcomers = group("neon_rainbow", 11), group("forktail", 6, id="new")
    entries = [
        TankAdded(id="1", at=ago(90), tank="T", thing=tank),
        StockAdded(id="2", at=ago(90), tank="T", thing=fish),
        StockAdded(id="3", at=ago(12), tank="T", thing=newcomers),
        Done(id="4", at=ago(3), tank="T", act=Change(share=0.5, dechlorinated=False)),
        Done(id="5", at=ago(2), tank="T", act=Clean(what="filter")),
        Done(id="6", at=ago(1), tank="T", act=Dose(actives={"formalin": 500.0})),
        Look(id="7", at=ago(20), tank="T", seen=("white_spots",)),
        Look(id="8", at=ago(2), tank="T", seen=("flashing",), absent=("gold_dust",)),
        Look(
            id="9",
            at=ago(0.1),
            tank="T",
            absent=("flashing",),
            belly=2,
            eating="no",
            history={"dose:unknown actives": 3},
        ),
        ReadingTaken(id="a", at=ago(1), tank="T", values=(Reading(quantity="ph", value=7.4),)),
    ]
    return replay(entries)


def test_the_newest_look_within_a_week_counts():
    told = room_evidence(room(), "T", FACTS, NOW)
    assert set(told.seen) == {"belly_sunken", "no_appetite"}
    assert set(told.absent) == {"flashing", "gold_dust"}


def test_entries_are_what_happened():
    told = {
        (h.context, round(h.age_d, 1)) for h in room_evidence(room(), "T", FACTS, NOW).happened if h.age_d
    }
    assert {("arrival", 12.0), ("water_change", 3.0), ("tap_untreated", 3.0), ("filter_upset", 2.0)} <= told
    assert ("arrival", 90.0) not in told
    dose = [h for h in room_evidence(room(), "T", FACTS, NOW).happened if h.context == "dose"]
    assert {h.of[0] for h in dose} == {"unknown actives", "formalin"}


def test_the_water_of_the_room_is_its_latest_reading_with_its_age():
    state = water_state(room(), "T", NOW, FACTS)
    assert state.of("ph").age_h == approx(24.0)
    assert state.of("temp_c").value == 25.0
    assert state.of("ammonia_n") is None
    assert state.doses[0].substances == ("formalin",)


def test_a_belly_of_three_is_not_hollow():
    assert stated(Look(id="x", at=NOW, belly=3), FACTS)["belly_sunken"] == "absent"


def test_a_jar_trial_of_the_log_is_a_trial():
    entry = JarTrial(
        id="t",
        at=NOW,
        tank="T",
        conc_mg_l={"levamisole": 2.0},
        hours=24,
        lived={"cherry_shrimp": 3},
        died={"nerite": 1},
    )
    found = {t.animal: t.harmed for t in trials_of(replay([entry]), "T")}
    assert found == {"cherry_shrimp": False, "nerite": True}
