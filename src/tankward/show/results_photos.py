"""What the commands about photos answer."""

from __future__ import annotations

import msgspec

from .results import Result


class PhotosAdded(Result, frozen=True, kw_only=True):
    """Photos put to an entry."""

    photos: list[str]
    entry: str


class PhotoRow(msgspec.Struct, frozen=True, kw_only=True):
    """One photo. `there` is there, missing or removed; `file` is "" where there is none."""

    photo: str
    entry: str
    tank: str
    at: str
    shows: str
    there: str
    file: str


class PhotoList(Result, frozen=True, kw_only=True):
    """The photos, oldest first."""

    photos: list[PhotoRow]


class PhotoGone(Result, frozen=True, kw_only=True):
    """A photo removed for good."""

    photo: str
