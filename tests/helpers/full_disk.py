"""Fills the disk under a logbook and tells what happened: full_disk.py FOLDER, as one line of JSON.

On a disk of its own where the system lets us mount one; else the size of any one file is limited, which the
system tells in other words.
"""

import json
import os
import resource
import signal
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

from tankward.desk import data
from tankward.desk.desk import Desk
from tankward.desk.folder import new_id
from tankward.room.entries.notes import Note
from tankward.room.entries.photos import PhotoAdded
from tankward.store.check import checked
from tankward.store.faults import StoreFault
from tankward.store.photos import Picture

AT = datetime(2026, 3, 1, tzinfo=UTC)
SIZE_KB = 700


def note():
    return Note(id=new_id(), at=AT, text="x" * 3000)


def said_by(work):
    """The sentence of the fault that this meets."""
    try:
        work()
    except StoreFault as fault:
        return str(fault)
    return ""


def filled(desk):
    """Write until it no longer goes."""
    kept = []
    while True:
        try:
            kept += desk.append(note())
        except StoreFault as fault:
            return kept, str(fault)


def with_photo(desk):
    """A note whose photo is larger than what is left."""
    about, picture = note(), Picture.of(bytes(range(256)) * 8 * SIZE_KB)
    photo = PhotoAdded(id=new_id(), at=AT, digest=picture.digest, about=about.id)
    desk.append(about, photo, pictures=[picture])


def told(folder, way, make_room):
    """What a keeper meets on a full disk, and after making room."""
    with Desk.open(folder) as desk:
        desk.append(note())
        kept, sentence = filled(desk)
        copy = said_by(lambda: data.back_up(desk, AT))
        photo = said_by(lambda: with_photo(desk))
        pictures = sum(1 for f in folder.rglob("*.jpg"))
        parts = sum(1 for f in folder.rglob(".part-*"))
        there = {e.id for e in desk.entries()}
        make_room()
        after = said_by(lambda: desk.append(note()))
    return {
        "way": way, "kept": len(kept), "lost": len(set(kept) - there), "sentence": sentence, "copy": copy,
        "photo": photo, "pictures": pictures, "parts": parts, "after": after,
        "faults": checked(desk.store.file).faults,
    }  # fmt: skip


def on_a_small_disk(folder):
    ballast = folder / "ballast"
    ballast.write_bytes(bytes(200_000))
    return told(folder / "room", "a disk of its own", ballast.unlink)


def with_small_files(folder):
    _, most = resource.getrlimit(resource.RLIMIT_FSIZE)
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (SIZE_KB * 1024, most))
    lift = lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))  # noqa: E731
    return told(folder / "room", "small files", lift)


MOUNTED = 'mount -t tmpfs -o size="$1"k tmpfs "$2" && exec "$3" "$4" "$2" mounted'


def run(folder: Path, *, mounted: bool) -> dict:
    """Fill a disk in another process; mounted for it alone, if asked for and to be had."""
    folder.mkdir()
    small = [sys.executable, __file__, str(folder)]
    disk = ["sh", "-c", MOUNTED, "sh", str(SIZE_KB), str(folder), sys.executable, __file__]
    ways = [["unshare", "-m", *disk], ["unshare", "-Urm", *disk]] if mounted else []
    for command in (*ways, small):
        try:
            ran = subprocess.run(command, capture_output=True, text=True, env=os.environ)
        except FileNotFoundError:
            continue
        if ran.returncode == 0:
            return json.loads(ran.stdout)
    raise AssertionError(ran.stderr)


def main(folder, mounted=""):
    found = on_a_small_disk(Path(folder)) if mounted else with_small_files(Path(folder))
    print(json.dumps(found))


if __name__ == "__main__":
    main(*sys.argv[1:])
