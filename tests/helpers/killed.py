"""Kills writers, many to one start of Python, and counts what was lost: killed.py FOLDER KILLS [SEED].

A writer is a fork that opens the folder anew and says what was kept once it was; it is killed at a moment by
chance, with a second one writing beside it every other time. One in ten begins in a folder that isn't there.
"""

import json
import os
import random
import select
import signal
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

from tankward.desk.desk import Desk
from tankward.desk.folder import new_id
from tankward.room.entries.notes import Note
from tankward.room.entries.photos import PhotoAdded
from tankward.room.photos import pictures_of
from tankward.store.check import checked
from tankward.store.photos import Picture, faults_of
from tankward.store.store import Store

AT = datetime(2026, 3, 1, tzinfo=UTC)
BATCH = 3  # entries that must be there together or not at all
LONGEST_S = 0.04  # a few commits
EARLY = 0.2  # share of rounds in which a writer may die before it has said anything
FRESH = 10
SHOWN = 3  # every third batch comes with a photo


def write_for_ever(folder, out):
    desk, number = Desk.open(folder), 0
    while True:
        mark = new_id()
        batch = [Note(id=new_id(), at=AT, text=f"{mark} {'x' * 400}") for _ in range(BATCH)]
        number += 1
        pictures = [] if number % SHOWN else [Picture.of(mark.encode() * 500)]
        photos = [PhotoAdded(id=new_id(), at=AT, digest=p.digest, about=batch[0].id) for p in pictures]
        desk.append(*batch, *photos, pictures=pictures)
        os.write(out, "".join(f"{e.id}\n" for e in batch).encode())


def begun(folder):
    """A writer and the pipe on which it says what was kept."""
    reader, out = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(reader)
            write_for_ever(folder, out)
        finally:
            os._exit(1)
    os.close(out)
    return child, reader


def ended(child, reader):
    """Kill it; the ids that it had said."""
    os.kill(child, signal.SIGKILL)
    with os.fdopen(reader) as pipe:
        lines = pipe.read().split("\n")
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), "the writer ended by itself"
    return {line for line in lines[:-1] if line}


class Count:
    """What was tried and what came of it."""

    def __init__(self, root):
        self.root = root
        self.kills = self.acknowledged = self.lost = self.halves = self.before_the_first = 0
        self.photos = self.unseen = 0  # photos that entries named, and those that were not there whole
        self.faults = []
        self.said = {}

    def round(self, number, chance):
        folder = self.root / str(number // FRESH)
        writers = [begun(folder) for _ in range(1 + number % 2)]
        if chance.random() > EARLY:
            select.select([reader for _, reader in writers], [], [], 10)
        time.sleep(chance.random() * LONGEST_S)
        for writer in writers:
            said = ended(*writer)
            self.kills += 1
            self.acknowledged += len(said)
            self.before_the_first += not said
            self.said.setdefault(folder, set()).update(said)
        self.look(folder)

    def look(self, folder):
        store = Store(folder)
        entries = store.all()
        store.sweep()
        store.close()
        named = pictures_of(entries)
        self.photos += len(named)
        self.unseen += len(faults_of(store.pictures, named))
        self.lost += len(self.said[folder] - {e.id for e in entries})
        marks = [e.text.split()[0] for e in entries if isinstance(e, Note)]
        self.halves += sum(marks.count(mark) != BATCH for mark in set(marks[-50 * BATCH :]))
        if (folder / "logbook.db").exists():
            self.faults += checked(folder / "logbook.db").faults

    def told(self):
        return {k: v for k, v in vars(self).items() if k not in ("said", "root")}


def main(folder, kills, seed="1"):
    count, chance = Count(Path(folder)), random.Random(int(seed))
    Desk.open(count.root / "warm", make=True).close()  # what every writer needs is loaded once, here
    number = 0
    while count.kills < int(kills):
        count.round(number, chance)
        number += 1
    print(json.dumps(count.told()))


if __name__ == "__main__":
    main(*sys.argv[1:])
