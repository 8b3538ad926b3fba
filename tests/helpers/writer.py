"""Writes to a logbook as fast as it can and says what was kept: writer.py FOLDER HOW_MANY NAME."""

import sys
from datetime import UTC, datetime

from tankward.desk.desk import Desk
from tankward.desk.folder import new_id
from tankward.room.entries.notes import Note


def main(folder, many, name):
    with Desk.open(folder) as desk:
        for number in range(int(many)):
            note = Note(id=new_id(), at=datetime(2026, 3, 1, tzinfo=UTC), text=f"{name} {number}")
            (kept,) = desk.append(note)
            print(kept, flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
