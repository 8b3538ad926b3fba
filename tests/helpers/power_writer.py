"""Makes a logbook, writes, closes, opens it again and writes on: power_writer.py FOLDER HOW_MANY [WAY].

Ways: "delete" keeps the journal of file systems that can't do WAL; "off" tells SQLite not to wait for the
disk; "nameless" leaves out the syncs of folders.
"""

import sys
from datetime import UTC, datetime

from tankward.desk.desk import Desk
from tankward.desk.folder import new_id
from tankward.room.entries.notes import Note
from tankward.store import database, store

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
        store.fsync_folder = lambda folder: None


def write(folder, many):
    with Desk.open(folder) as desk:
        for number in range(many):
            (kept,) = desk.append(Note(id=new_id(), at=AT, text=f"note {number} " + "x" * (number * 150)))
            print(kept, flush=True)


def main(folder, many, way=""):
    changed(way)
    for _ in range(2):
        write(folder, int(many))


if __name__ == "__main__":
    main(*sys.argv[1:])
