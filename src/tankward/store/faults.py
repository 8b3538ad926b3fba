"""The one way in which keeping entries can fail: the folder or its disk does not let us."""

from __future__ import annotations

import errno
import sqlite3
from pathlib import Path


class StoreFault(Exception):
    """One sentence on what stands in the way and what to do about it. Nothing was half written."""


HINT = " Choose another folder with --room or TANKWARD_ROOM."
SENTENCES = {
    errno.ENOSPC: "{folder}: the disk is full. Nothing was written; make room and try again.",
    errno.EDQUOT: "{folder}: the disk is full. Nothing was written; make room and try again.",
    errno.EFBIG: "{folder}: the file is too large for this disk. Nothing was written.",
    errno.EROFS: "{folder} can only be read.{hint}",
    errno.EACCES: "{folder} can't be written by you.{hint}",
    errno.EPERM: "{folder} can't be written by you.{hint}",
    errno.ENOTDIR: "{folder} is not a folder.{hint}",
    errno.EEXIST: "{folder} is not a folder.{hint}",
}
CODES = {
    sqlite3.SQLITE_FULL: errno.ENOSPC,
    sqlite3.SQLITE_READONLY: errno.EACCES,
    sqlite3.SQLITE_CANTOPEN: errno.EACCES,
    sqlite3.SQLITE_PERM: errno.EACCES,
}
OTHER = {
    sqlite3.SQLITE_BUSY: "{folder}: another program is writing there. Nothing was written; try again.",
    sqlite3.SQLITE_IOERR: "{folder}: the disk did not do it. Nothing was written; is it full or failing?",
    sqlite3.SQLITE_CORRUPT: "{folder}: the logbook is damaged. Put back a copy from its folder copies.",
    sqlite3.SQLITE_NOTADB: "{folder}: logbook.db is not a logbook. Move it away or choose another folder.",
}


def explain(folder: Path, fault: BaseException, hint: str = HINT) -> StoreFault:
    """What a fault of the disk or the database means to a keeper.

    Parameters
    ----------
    folder
        Where it happened.
    fault
        Of the system, of SQLite or of what wraps it.
    hint
        What to do when the folder can't be written.
    """
    if isinstance(fault, OSError):
        return StoreFault(_sentence(fault.errno or 0, fault).format(folder=folder, hint=hint))
    original = getattr(fault, "orig", fault)
    code = (getattr(original, "sqlite_errorcode", None) or 0) & 0xFF
    if code in OTHER:
        return StoreFault(OTHER[code].format(folder=folder))
    return StoreFault(_sentence(CODES.get(code, 0), original).format(folder=folder, hint=hint))


def _sentence(number: int, fault: object) -> str:
    told = str(fault).replace("{", "(").replace("}", ")")
    return SENTENCES.get(number, "{folder} can't be used: " + told + ". Nothing was written.")
