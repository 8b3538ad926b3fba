"""Names as a keeper writes them into ids: of the facts (species, substances, signs) or of the room."""

from __future__ import annotations

from tankward.judge import phrases
from tankward.knowledge.find import Kind, find_one, index_of
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import is_unknown
from tankward.room.entries.base import Entry
from tankward.room.names import Names, ident
from tankward.room.replay import Room

from .find import find_entry, find_stock, find_supply, find_tank

OF_FACTS: dict[str, Kind] = {
    "substance": "substance", "sign": "sign", "cause": "cause", "medium": "substance",
}  # fmt: skip


LIVING: tuple[Kind, ...] = ("animal", "plant")


def germ(facts: Facts, word: str, field: str) -> str:
    """The id of what is seen under the microscope.

    Raises
    ------
    BadInput
        If nothing that is drawn here is called so.
    """
    asked, views = ident(word), facts.hygiene.view
    for view in views:
        organism = facts.organisms.get(view.organism)
        own = (view.id, *view.name.split(", "), view.organism, *(organism.common if organism else ()))
        if asked in {ident(name) for name in own} or f"{asked}s" == view.id or asked == f"{view.id}s":
            return view.id
    raise BadInput(field, word, f"is no germ drawn here. Write {', '.join(v.id for v in views)}.")


class DeskNames(Names):
    """Finds by plain words, ids or names; what is not known is refused with what comes close."""

    def __init__(self, room: Room, facts: Facts, tank: str = "", entries: tuple[Entry, ...] = ()) -> None:
        self.room, self.facts, self.tank, self.entries = room, facts, tank, entries

    def resolve(self, what: str, word: str, field: str) -> str:
        """The id that a word means.

        Raises
        ------
        BadInput
            If nothing or several things are called so.
        """
        if not word:
            return ""
        if what == "species":
            return self._species(word, field)
        if what in OF_FACTS:
            return self._of_facts(OF_FACTS[what], word, field)
        if what == "germ":
            return germ(self.facts, word, field)
        if what == "test_kit":
            return self._test_kit(word, field)
        return self._in_room(what, word, field)

    def _test_kit(self, word: str, field: str) -> str:
        kits = {k.id for k in self.facts.kits.values() if k.quantities}
        if (found := ident(word)) not in kits:
            raise BadInput(field, word, f"is not known here. Known are {', '.join(sorted(kits))}.")
        return found

    def happened(self, text: str, field: str) -> tuple[str, float | None]:
        """What happened in the past of a tank, as the causes speak of it."""
        found = phrases.one(text.lower(), self.facts)
        return ":".join((found.context, *found.of[:1])), found.age_d

    def _of_facts(self, kind: Kind, word: str, field: str) -> str:
        try:
            return find_one(self.facts, kind, word)
        except BadInput as fault:
            told = fault.accepted if fault.accepted.endswith((".", "?")) else f"{fault.accepted}."
            raise BadInput(field, word, told) from None

    def _in_room(self, what: str, word: str, field: str) -> str:
        if what == "tank":
            return find_tank(self.room, word, field).id
        if what == "stock":
            return find_stock(self.room, self.tank, word, field).id
        if what == "supply":
            return find_supply(self.room, word, field).id
        return find_entry(self.entries, word, field).id

    def _species(self, word: str, field: str) -> str:
        if is_unknown(word):
            return ""
        found = [i for kind in LIVING for i in index_of(self.facts, kind).ids(word)]
        if len(found) == 1:
            return found[0]
        told = f"can be {', '.join(found)}: say which." if found else self._unknown(word)
        raise BadInput(field, word, f"{told} Or write {field}=unknown: then the strictest limits hold.")

    def _unknown(self, word: str) -> str:
        close = [name for kind in LIVING for name in index_of(self.facts, kind).close(word)][:4]
        return "is not known here" + (f"; did you mean {', '.join(close)}?" if close else ".")
