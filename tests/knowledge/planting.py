"""Plant a slip in one file of the facts and see what the load says."""

from pathlib import Path

from tankward.knowledge.checking import faults
from tankward.knowledge.documents import Document, FactFault, read
from tankward.knowledge.loader import FOLDER
from tankward.knowledge.merge import merged


def first_fault(documents: tuple[Document, ...], folder: Path, name: str, text: str) -> str:
    """The sentence with which these facts are refused once the file `name` says `text`; "" when they load."""
    file = folder / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, encoding="utf-8")
    try:
        planted = read(file, name)
        whole = (planted, *(d for d in documents if d.name != name))
        found = next(faults(whole, merged(whole, "test", "test")), None)
    except FactFault as fault:
        return str(fault)
    return str(found or "")


def with_slip(name: str, old: str, new: str) -> str:
    """The text of a file of the facts with one place changed."""
    text = (FOLDER / name).read_text(encoding="utf-8")
    assert old in text, f"{name} no longer holds {old!r}"
    return text.replace(old, new, 1)
