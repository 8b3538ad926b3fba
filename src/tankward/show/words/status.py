"""How sure a figure is, in plain words."""

from __future__ import annotations

STATUS = {
    "published-read": "published",
    "common-practice": "usual practice",
    "memory": "recalled, not read",
    "computed": "computed",
    "stated": "as you said",
    "label": "as the packet says",
    "read": "as you measured",
    "": "not known",
}


def status_words(status: str) -> str:
    """The plain words of a status."""
    return STATUS.get(status, status)
