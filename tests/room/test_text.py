"""The logbook as plain text: it reads back whole, and faults name their lines."""

from datetime import UTC, datetime

import pytest
from hypothesis import given

from tankward.quantities.faults import BadInput, BadInputs
from tankward.quantities.parse import Estimate
from tankward.room.entries.notes import Note
from tankward.room.text import made_id, read_logbook, write_line, write_logbook
from tankward.room.things import Active, LabelRule, Reading
from tests.helpers.logbooks import logbooks


@given(logbooks())
def test_what_is_written_reads_back_the_same(logbook):
    assert read_logbook(write_logbook(logbook)) == logbook


@given(logbooks())
def test_each_entry_is_one_line(logbook):
    lines = write_logbook(logbook).splitlines()
    assert len([line for line in lines if not line.startswith("zone ")]) == len(logbook)


def test_a_room_as_a_keeper_tells_it():
    entries = read_logbook("""
        zone Europe/Berlin
        # invented
        1 March 2026 08:00  tank   Nursery  volume="54 L" temp=79F length="24 in"
        1 March 08:05  stock  Nursery  kind="cherry shrimp" number="about 20"
        1 March 08:10  supply "two-part"  unit=sachet metronidazole=200mg praziquantel="90 mg" per=40L
        2026-03-02 19:00  reading nursery
            ammonia="0.5 mg/L as N" ph=7.4
    """)
    tank, stock, supply, reading = entries
    assert tank.at == datetime(2026, 3, 1, 7, tzinfo=UTC)
    assert tank.thing.volume_l == Estimate.exact(54)
    assert tank.thing.temp_c.value == pytest.approx(26.11, abs=0.01)
    assert tank.thing.length_cm == pytest.approx(60.96)
    assert (stock.thing.id, stock.thing.kind, stock.tank) == (
        "nursery-cherry-shrimp",
        "cherry_shrimp",
        "nursery",
    )
    assert supply.thing.actives == (
        Active(substance="metronidazole", mg=200),
        Active(substance="praziquantel", mg=90),
    )
    assert supply.thing.rule == LabelRule(units=1, per_volume_l=40)
    assert reading.values == (Reading(quantity="ammonia_n", value=0.5), Reading(quantity="ph", value=7.4))


def test_a_line_makes_the_same_id_every_time_and_keeps_its_place():
    text = "1 March 08:00 note A text=one\n1 March 08:00 note A text=two\n"
    first, again = read_logbook(text), read_logbook(text)
    assert first == again
    assert first[0].id < first[1].id


def test_a_made_id_is_a_uuid_of_its_instant():
    at = datetime(2026, 3, 1, 8, tzinfo=UTC)
    id_ = made_id(at, 3, "x")
    assert id_[14] == "7"
    assert int(id_.replace("-", "")[:12], 16) == at.timestamp() * 1000


def test_an_hour_that_comes_twice_is_told_with_its_offset():
    """25 October 2026, 03:00 becomes 02:00 in Berlin: 00:30 and 01:30 UTC are both 02:30."""
    first = Note(id="a", at=datetime(2026, 10, 25, 0, 30, tzinfo=UTC), zone="Europe/Berlin", text="x")
    second = Note(id="b", at=datetime(2026, 10, 25, 1, 30, tzinfo=UTC), zone="Europe/Berlin", text="x")
    assert "02:30  note" in write_line(first)
    assert "02:30+01:00  note" in write_line(second)
    assert read_logbook(write_logbook([first, second])) == [first, second]


def test_all_faults_are_told_with_their_lines():
    with pytest.raises(BadInputs) as told:
        read_logbook("""
            1 March 08:00 tank A volume=0L
            1 March 08:00 tank B volume=10L colour=red
            yesterday tank C
            1 March 08:00 unheard B
        """)
    assert [f.field for f in told.value.faults] == ["line 2", "line 3", "line 4", "line 5"]
    assert "must be more than 0 L" in str(told.value)
    assert "colour" in str(told.value)


@pytest.mark.parametrize(
    "line",
    [
        '1 March 08:00 note A text="open',
        "1 March 08:00 note A B text=x",
        "31 February 08:00 note A text=x",
        "1 March 25:00 note A text=x",
        "1 Marchember 2026 note",
        "1 March 08:00 course A name=x steps=[{}]",
        "zone Mars/Olympus",
    ],
)
def test_what_is_no_line_is_refused(line):
    with pytest.raises(BadInput):
        read_logbook(line)


def test_without_ids_the_text_is_for_reading():
    entry = read_logbook('1 March 2026 08:00  note  A  text="a b"')[0]
    assert write_line(entry, ids=False) == '1 March 2026 08:00  note      A  text="a b"'
