"""Entries as lines of JSON: older ones are brought up to date, newer ones are refused with a sentence."""

from datetime import UTC, datetime

import msgspec
import pytest
from hypothesis import given

from tankward.quantities.parse import Estimate
from tankward.room.codec import Unreadable, decode, encode, kinds, upgraded
from tankward.room.entries.animals import Counted
from tankward.room.entries.base import current_version, tag, title
from tests.helpers.logbooks import logbooks

COUNTED = Counted(
    id="a", at=datetime(2026, 3, 1, 8, tzinfo=UTC), tank="t", stock="s", number=Estimate.exact(4)
)


@given(logbooks())
def test_every_entry_comes_back_the_same(logbook):
    assert [decode(encode(entry)) for entry in logbook] == logbook


def test_every_kind_has_a_word_a_title_and_a_version():
    for word, kind in kinds().items():
        assert tag(kind) == word
        assert title(kind)
        assert current_version(kind) >= 1


def test_an_older_line_goes_through_every_upgrade(monkeypatch):
    monkeypatch.setattr(
        Counted,
        "UPGRADES",
        {0: lambda raw: raw | {"number": {"value": raw["heads"], "low": raw["heads"], "high": raw["heads"]}}},
    )
    old = {
        "kind": "counted",
        "id": "a",
        "at": "2026-03-01T08:00:00Z",
        "tank": "t",
        "stock": "s",
        "version": 0,
    }
    assert decode(msgspec.json.encode(old | {"heads": 4.0})) == COUNTED
    assert upgraded(old | {"heads": 4.0}, Counted)["version"] == 1


def test_a_line_of_a_newer_program_is_refused():
    newer = msgspec.json.decode(encode(COUNTED)) | {"version": 99}
    with pytest.raises(Unreadable, match="newer program"):
        decode(msgspec.json.encode(newer))


@pytest.mark.parametrize("line", ['{"kind": "unheard"}', '{"kind": "counted"}', "{", '{"kind": 3}'])
def test_what_is_no_entry_is_refused_with_a_sentence(line):
    with pytest.raises(Unreadable):
        decode(line)
