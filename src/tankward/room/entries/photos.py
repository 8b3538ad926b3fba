"""Photos: one belongs to an entry; one removed for good stays removed."""

from __future__ import annotations

from typing import Annotated

import msgspec

from .base import Entry, Question

# What may stand where a file's name is made of it: sixty-four digits and nothing else.
Digest = Annotated[str, msgspec.Meta(pattern="^[0-9a-f]{64}$", max_length=64)]


class PhotoAdded(Entry, frozen=True, tag="photo"):
    """A photo of what an entry tells. The picture lies beside the logbook, under its digest."""

    digest: Annotated[Digest, Question("Which picture?", hidden=True)]
    about: Annotated[str, Question("Of which entry?", "entry", hidden=True)]
    shows: Annotated[str, Question("What does it show?")] = ""


class PhotoRemoved(Entry, frozen=True, tag="photo_removed"):
    """A photo removed for good. Taking this back brings no picture back."""

    photo: Annotated[str, Question("Which photo?", "entry")]
