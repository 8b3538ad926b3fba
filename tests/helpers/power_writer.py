"""Makes a logbook, writes, closes, opens it again and writes on: power_writer.py FOLDER HOW_MANY [WAY].

Every other entry comes with a photo, and one is removed for good at the end. Ways: "delete" keeps the
journal of file systems that can't do WAL; "off" tells SQLite not to wait for the disk; "nameless" leaves out
the syncs of folders; "blurred" does not wait for the pictures.
"""

import sys
from datetime import UTC, datetime

from tankward.desk.desk import Desk
from tankward.desk.folder import new_id
from tankward.desk.photos import remove
from tankward.room.entries.notes import Note
from tankward.room.entries.photos import PhotoAdded
from tankward.store import database, photos, store
from tankward.store.photos import Picture

AT = datetime(2026, 3, 1, tzinfo=UTC)


def without_waiting(connect):
    def connected(*args, **kwargs):
        raw = connect(*args, **kwargs)
        raw.execute("pragma synchronous=off")
        return raw

    return connected


def changed(way):
    """Make this process a build that is worse in one thing."""
    if way == "delete":
        database.trial_journal = lambda folder: "delete"
    if way == "off":
        database._connect = without_waiting(database._connect)
    if way == "nameless":
        store.fsync_folder = photos.fsync_folder = lambda folder: None
    if way == "blurred":
        photos.to_disk = lambda out: out.flush()


def write(folder, many, life):
    with Desk.open(folder) as desk:
        for number in range(many):
            about = Note(id=new_id(), at=AT, text=f"note {number} " + "x" * (number * 150))
            pictures = [Picture.of(f"{life} {number} ".encode() * 400)] if number % 2 else []
            photo = [PhotoAdded(id=new_id(), at=AT, digest=p.digest, about=about.id) for p in pictures]
            for kept in desk.append(about, *photo, pictures=pictures):
                print(kept, flush=True)


def main(folder, many, way=""):
    changed(way)
    for life in range(2):
        write(folder, int(many), life)
    with Desk.open(folder) as desk:
        photo = next(e for e in desk.entries() if isinstance(e, PhotoAdded))
        remove(desk, photo.id, AT, "UTC")
        print(f"-{photo.digest}", flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
