"""Lines read by several threads at once from the first moment on, as the web app and its daily copy do."""

import threading
import time
from datetime import UTC, datetime

import msgspec
import pytest

from tankward.room import codec
from tankward.room.entries.notes import Note

LINE = codec.encode(Note(id="a", at=datetime(2026, 5, 1, tzinfo=UTC), text="invented"))


@pytest.fixture
def making(monkeypatch):
    """How many decoders were in the making at once: one that is half made crashes whoever reads with it."""
    now, seen, made = [], [], msgspec.json.Decoder

    def slowly(kinds):
        now.append(kinds)
        seen.append(len(now))
        time.sleep(0.05)
        decoder = made(kinds)
        now.pop()
        return decoder

    monkeypatch.setattr(codec.msgspec.json, "Decoder", slowly)
    codec._made.cache_clear()
    yield seen
    codec._made.cache_clear()


def test_the_decoder_is_made_by_one_thread_for_all(making):
    found = []
    threads = [threading.Thread(target=lambda: found.append(codec.decode(LINE).text)) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert found == ["invented"] * 6
    assert making == [1]
