"""Power lost at every point: recorded writes and syncs are cut there, and what is left is opened."""

import hashlib
import random
import re
import sqlite3
from datetime import UTC, datetime

import pytest

from tankward.desk.folder import new_id
from tankward.room.entries.notes import Note
from tankward.room.photos import pictures_of
from tankward.store.check import checked
from tankward.store.faults import StoreFault
from tankward.store.photos import faults_of, pictures_in
from tankward.store.store import Store
from tests.helpers import power
from tests.helpers.power import Disk, Op

HOWS = ("lost", "kept", "some")
SAFE, UNSAFE = ("", "delete"), ("off", "nameless", "blurred")
SAID = 2 * (power.MANY + power.MANY // 2) + 1  # two lives of notes, a photo with every other; one removed


@pytest.fixture(scope="module")
def recorded(tmp_path_factory):
    """A recording of this very program where strace is at hand, else the one that is kept."""
    made = {}

    def of(way):
        if way not in made:
            fresh = power.can_record()
            made[way] = power.record(tmp_path_factory.mktemp("traced"), way) if fresh else power.kept(way)
        return made[way]

    return of


class Cuts:
    """Cuts a recording at every point and counts what was lost."""

    def __init__(self, folder, ops, hows=HOWS):
        self.folder, self.ops, self.hows = folder, ops, hows
        self.tried = self.opened = self.lost = self.photos = self.unseen = self.back = 0
        self.faults = []

    def run(self):
        disk, seen, chance = Disk(), set(), random.Random(20260314)
        for op in [None, *self.ops]:
            if op is not None:
                disk.do(op)
            for how in self.hows:
                self.tried += 1
                left = disk.left(how, chance)
                mark = hashlib.blake2b(repr((sorted(left.items()), len(disk.said))).encode()).digest()
                if mark not in seen:
                    seen.add(mark)
                    self._look(left, {said for said in disk.said if said})
        return self

    def told(self, way):
        found = f"{self.tried} cuts, {self.opened} states opened, {self.photos} photos looked for in them"
        return f"{way}: {found}; {self.lost} states with a lost entry, {self.unseen} with a lost photo"

    def _look(self, left, said):
        self.opened += 1
        folder = self.folder / str(self.opened)
        folder.mkdir()
        power.put(left, folder)
        store = Store(folder / "room")
        try:
            entries = store.all()
            if store.file.exists():
                self.faults += checked(store.file).faults
            removed = {word[1:] for word in said if word.startswith("-")}
            self.back += bool(removed & pictures_in(store.pictures))
            self.lost += bool({word for word in said if word[0] != "-"} - {e.id for e in entries})
            named = pictures_of(entries)
            self.photos += len(named)
            self.unseen += bool(faults_of(store.pictures, named))
            if self.opened % 10 == 0:
                assert store.append([Note(id=new_id(), at=datetime(2026, 3, 2, tzinfo=UTC), text="after")])
        except StoreFault as fault:
            self.faults.append(str(fault))
        finally:
            store.close()


@pytest.mark.parametrize("way", SAFE)
def test_no_acknowledged_entry_is_lost_wherever_the_power_goes(recorded, tmp_path, way):
    cuts = Cuts(tmp_path, recorded(way)).run()
    print(cuts.told(way or "wal"))
    assert cuts.faults == []
    assert cuts.lost == 0
    assert cuts.back == 0, "a photo that was removed for good is back"
    assert cuts.unseen == 0, "an entry names a photo that is not there"
    assert cuts.opened > 150
    assert cuts.photos > 150


@pytest.mark.parametrize("way", UNSAFE)
def test_a_build_that_does_not_wait_for_the_disk_loses_something(recorded, tmp_path, way):
    """The same cuts; were nothing lost here, the test above would prove nothing."""
    cuts = Cuts(tmp_path, recorded(way), hows=("lost",)).run()
    print(cuts.told(way))
    assert cuts.unseen > 0 if way == "blurred" else cuts.lost > 0


@pytest.mark.parametrize("way", [*SAFE, *UNSAFE])
def test_the_kept_recording_is_that_of_this_program(recorded, way):
    """Where strace and the same SQLite are at hand the two are compared; the kept one tells a whole life."""
    told = power.kept(way)
    assert sum(op.do == "said" for op in told) == SAID
    if power.kept_with(way) == sqlite3.sqlite_version:
        assert shape(told) == shape(recorded(way)), "run scripts/record_power.py"


def shape(ops):
    return [(op.do, re.sub(r"(trial|part)-[^.]*", r"\1", op.path)) for op in ops]


def test_the_forgetful_disk_forgets_what_was_not_synced():
    disk, chance = Disk(), random.Random(1)
    for op in (
        Op("folder", "room"),
        Op("sync", "."),
        Op("make", "room/a"),
        Op("write", "room/a", 0, b"x" * 1024),
    ):
        disk.do(op)
    assert disk.left("lost", chance) == {"room": None}
    assert disk.left("kept", chance) == {"room": None, "room/a": b"x" * 1024}
    disk.do(Op("sync", "room"))
    assert disk.left("lost", chance) == {"room": None, "room/a": b""}
    disk.do(Op("sync", "room/a"))
    assert disk.left("lost", chance) == disk.left("kept", chance)
    disk.do(Op("write", "room/a", 0, b"y" * 1024))
    parts = {disk.left("some", chance)["room/a"] for _ in range(50)}
    assert parts == {a * 512 + b * 512 for a in (b"x", b"y") for b in (b"x", b"y")}
    disk.do(Op("unlink", "room/a"))
    assert "room/a" in disk.left("lost", chance)
    assert "room/a" not in disk.left("kept", chance)
