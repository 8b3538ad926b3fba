"""Pictures beside a logbook, each under its digest: `photos` in the folder of the file they belong to."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import msgspec

from tankward.room.photos import is_digest

from .database import FILE
from .parts import fsync_folder, to_disk
from .picture import digest_of

FOLDER = "photos"
COPIES = "copies"  # the folder of copies beside a logbook
ENDING = ".jpg"


class Picture(msgspec.Struct, frozen=True):
    """A picture in its kept form, with its name."""

    digest: str
    content: bytes

    @classmethod
    def of(cls, content: bytes) -> Picture:
        return cls(digest_of(content), content)


def folder_of(logbook: Path) -> Path:
    """Where the pictures of a logbook, or of a copy of one, lie.

    Beside a copy that was put elsewhere the folder bears its name: there may be other people's photos.
    """
    if logbook.name == FILE or logbook.parent.name == COPIES:
        return logbook.parent / FOLDER
    return logbook.parent / f"{logbook.stem}-{FOLDER}"


def picture_file(folder: Path, digest: str) -> Path:
    """The file of one picture in a folder of them."""
    if not is_digest(digest):
        raise ValueError(f"{digest[:80]!r} is no digest")
    return folder / f"{digest}{ENDING}"


def pictures_in(folder: Path) -> set[str]:
    """The digests that files in a folder are called by; other files are not ours."""
    files = folder.iterdir() if folder.is_dir() else ()
    return {f.stem for f in files if f.suffix == ENDING and is_digest(f.stem)}


def sound(folder: Path, digest: str) -> bytes | None:
    """A picture's bytes; None if it is not there or its bytes are not those it is called by."""
    try:
        content = picture_file(folder, digest).read_bytes()
    except OSError:
        return None
    return content if digest_of(content) == digest else None


def faults_of(folder: Path, digests: Iterable[str]) -> dict[str, str]:
    """What is wrong with pictures that must be there: "missing" or "damaged"."""
    found = {}
    for digest in sorted(digests):
        if sound(folder, digest) is None:
            found[digest] = "damaged" if picture_file(folder, digest).exists() else "missing"
    return found


@contextmanager
def staged(folder: Path, pictures: Iterable[Picture]) -> Iterator[Staged]:
    """Pictures written beside their places and on the disk; `named` gives them their names.

    What was not named is removed again.
    """
    found = Staged(folder)
    try:
        for picture in pictures:
            found.add(picture)
        yield found
    finally:
        found.dropped()


class Staged:
    """Pictures that wait for their names."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.parts: dict[str, Path] = {}

    def add(self, picture: Picture) -> None:
        """Write one and wait for the disk; also one that is there: another program may be removing that."""
        if picture.digest in self.parts:
            return
        made_folder(self.folder)
        handle, name = tempfile.mkstemp(prefix=".part-", suffix=ENDING, dir=self.folder)
        self.parts[picture.digest] = Path(name)
        with os.fdopen(handle, "wb") as out:
            out.write(picture.content)
            to_disk(out)

    def named(self) -> None:
        """From here on they are there, whatever happens."""
        for digest, part in self.parts.items():
            part.replace(picture_file(self.folder, digest))
        if self.parts:
            fsync_folder(self.folder)
        self.parts = {}

    def dropped(self) -> None:
        for part in self.parts.values():
            with suppress(OSError):
                part.unlink(missing_ok=True)


def made_folder(folder: Path) -> None:
    """The folder of pictures, whose name outlives a power cut as theirs do."""
    if not folder.is_dir():
        folder.mkdir(exist_ok=True)
        fsync_folder(folder.parent)


def carried(source: Path, to: Path, digests: Collection[str]) -> None:
    """Bring pictures from one folder to another, as far as they are whole here and not there."""
    lacking = set(digests) - pictures_in(to)
    wholes = ((digest, sound(source, digest)) for digest in sorted(lacking))
    with staged(to, (Picture(d, content) for d, content in wholes if content is not None)) as waiting:
        waiting.named()


def mended(logbook: Path, copies: Path, digests: Collection[str]) -> None:
    """Each of two folders gets from the other what it lacks or has damaged."""
    here, there = folder_of(logbook), copies / FOLDER
    bad = [d for d in digests if sound(here, d) is None]
    wholes = ((d, sound(there, d)) for d in bad)
    with staged(here, (Picture(d, content) for d, content in wholes if content is not None)) as waiting:
        waiting.named()
    carried(here, there, digests)


def dropped(folder: Path, digests: Iterable[str]) -> None:
    """Delete pictures, and wait until the disk has forgotten their names."""
    files = [picture_file(folder, d) for d in digests]
    for file in files:
        file.unlink(missing_ok=True)
    if files:
        fsync_folder(folder)
