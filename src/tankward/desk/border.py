"""From what a keeper types to entries, for both faces. All faults are told, nothing is half written."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

import msgspec

from tankward.judge.kits import as_owned
from tankward.knowledge.known import Facts
from tankward.quantities.faults import BadInput, BadInputs, gathered
from tankward.room.best_before import as_printed
from tankward.room.entries.base import Entry
from tankward.room.entries.corrections import Corrected, Undone
from tankward.room.entries.shelf import SupplyAdded
from tankward.room.entries.water import ReadingTaken
from tankward.room.fields import NOTE_LENGTH, Reader
from tankward.room.forms import Form, Head, build, form, form_of, held, values
from tankward.room.names import slug
from tankward.room.replay import Room, taken_back
from tankward.room.things import Supply
from tankward.room.time import day_of, moment, not_future
from tankward.room.treated import unclosed
from tankward.rounds.heads import as_missed

from . import checks, labelled, spelled
from .desk import Desk
from .find import find_entry, find_supply, find_tank
from .folder import new_id
from .measured import measured
from .names import DeskNames
from .poured import poured

COMMON = ("when", "who", "sure", "note")
RESERVED = {"new", "alike", "list", "move"}  # words that stand in an address where a tank's id would
SURE = ("sure", "about", "guess")
Texts = Mapping[str, str]


class Written(msgspec.Struct, frozen=True, kw_only=True):
    """Entries ready to be kept, and what was taken where the keeper was not exact."""

    entries: tuple[Entry, ...]
    says: tuple[str, ...] = ()

    @property
    def entry(self) -> Entry:
        return self.entries[0]

    @property
    def corrects(self) -> bool:
        """Whether it puts another entry right: then the last one alone is what an undo takes back."""
        return isinstance(self.entries[-1], Corrected)


class Border(msgspec.Struct, frozen=True, kw_only=True):
    """What reading needs: room and entries as they are, the facts, the moment, the zone of the wall clock."""

    room: Room
    facts: Facts
    now: datetime
    zone: str = "UTC"
    entries: tuple[Entry, ...] = ()  # with those taken back; for undo and correct
    made: Callable[[], str] = new_id

    @classmethod
    def of(cls, desk: Desk, facts: Facts, now: datetime, zone: str = "UTC") -> Border:
        """The border of a desk at a moment."""
        return cls(room=desk.room(), facts=facts, now=now, zone=zone, entries=tuple(desk.entries()))

    def tank(self, texts: Texts, like: Mapping[str, Any] | None = None) -> Written:
        """A new tank; what isn't named is as in `like`. Its tap is the room's, unless it says otherwise.

        Raises
        ------
        BadInput
            For every field that can't be used, or a name that is taken.
        """
        texts = spelled.sizes(texts)
        tank = self._free(slug(texts.get("name", "")), self._tank_ids() | RESERVED)
        usual = {"tap": self.room.kit.tap} if self.room.kit.tap else {}
        written = self._entry(form("tank"), tank, texts, usual | dict(like or {}) | {"tank": tank})
        checks.tank(written.entry, self.room)
        return written

    def tank_changed(self, word: str, texts: Texts) -> Written:
        """A tank described anew in some fields."""
        old = self.room.as_described(find_tank(self.room, word).id)
        written = self._entry(form("tank"), old.id, spelled.sizes(texts), held(form("tank"), ("thing", old)))
        checks.tank(written.entry, self.room)
        return written

    def stock(self, word: str, texts: Texts) -> Written:
        """Animals or plants that live in a tank."""
        tank = find_tank(self.room, word).id
        texts = spelled.planted(spelled.counted(texts), self.facts)
        name = texts.get("name", "").strip() or texts.get("kind", "").replace("_", " ").strip()
        group = self._free(f"{tank}-{slug(name)}", set(self.room.stock))
        return self._entry(form("stock"), tank, texts, {"in": tank, "stock": group, "name": name})

    def supply(self, texts: Texts) -> Written:
        """Something on the shelf, as its label says."""
        name = texts.get("name", "").strip()
        texts, implied = self._label(texts)
        implied |= {"supply": self._free(slug(name), set(self.room.shelf)), "name": name}
        written = self._entry(form("supply"), "", texts, implied)
        checks.supply(written.entry, self.room)
        return written

    def _label(self, texts: Texts, old: Supply | None = None) -> tuple[dict[str, str], dict[str, Any]]:
        """A label with its actives; a statement of lawful possession has the day on which it was made."""
        here = labelled.Here(self.room.kit.taste, self.facts, self.now, self.zone)
        given, implied = labelled.label(texts, here, old)
        states = given.get("held-lawfully", "").strip().lower() in ("yes", "y", "true", "on")
        if states and not (old and old.held_lawfully):
            implied["held-since"] = day_of(self.now, self.zone).isoformat()
        return given, implied

    def packet(self, word: str, supply: str, texts: Texts) -> Written:
        """What became of a packet: used-up, bought, thrown-away."""
        wanted = form(word)
        if wanted.word not in checks.OF_PACKETS:
            known = ", ".join(w.replace("_", "-") for w in checks.OF_PACKETS)
            raise BadInput("kind", word, f"is not one of {known}.")
        if texts.get("expiry"):
            texts = {**texts, "expiry": as_printed(texts["expiry"], "expiry")}
        packet = find_supply(self.room, supply).id
        written = self._entry(wanted, "", {**texts, "supply": packet}, {})
        checks.packet(wanted.word, packet, self.room)
        return written

    def kit(self, texts: Texts) -> Written:
        """What the keeper measures with; what isn't named stays as it was."""
        return self._entry(form("kit"), "", texts, held(form("kit"), ("thing", self.room.kit)))

    def spoon(self, texts: Texts) -> Written:
        """A spoon weighed with a powder: spoons=10 mass=58g powder=salt."""
        texts, implied = measured(form("spoon"), texts, self.room)
        return self._entry(form("spoon"), "", texts, implied)

    def hose(self, texts: Texts) -> Written:
        """The hose timed into a bucket: volume=10L time=75s."""
        return self._entry(form("hose"), "", texts, {})

    def log(self, word: str, tank: str, texts: Texts) -> Written:
        """One thing that happened in a tank: log("dose", "T7", {"praziquantel": "108 mg"})."""
        wanted = form(spelled.WORDS.get(word.strip().lower(), word))
        if wanted.word in checks.APART:
            raise BadInput("kind", word, f"is written with its own command: {checks.APART[wanted.word]}.")
        where = find_tank(self.room, tank).id
        texts, liquid = poured(wanted, texts, self.room, self.facts)
        texts, implied = spelled.dose(wanted, texts, self.room, self.facts)
        at = moment(texts.get("when", ""), self.now, self.zone).at
        texts = spelled.changed(wanted, texts, self.room, where, at)
        texts, found = measured(wanted, texts, self.room, where)
        written = self._entry(wanted, where, texts, implied | liquid | found)
        written = msgspec.structs.replace(written, entries=(self._as_read(written.entry),))
        checks.happened(written.entry, self.room)
        checks.hardly(written.entry)
        checks.gone(written.entry, self.room)
        when = written.entry if texts.get("when") else as_missed(written.entry, self.room, self.now)
        return msgspec.structs.replace(written, entries=(when,))

    def course_closed(self, word: str, texts: Texts) -> Written:
        """How a tank's course ended: outcome=cleared cause="white spot" note="...".

        Raises
        ------
        BadInput
            Where no course waits for it, or what was told can't be.
        """
        where = find_tank(self.room, word)
        waits = unclosed(self.room, where.id)
        if waits is None:
            raise BadInput("tank", where.name, "has no course that could be closed.")
        written = self._entry(form("course_closed"), where.id, texts, {"course": waits.begun.id})
        checks.course_closed(written.entry, waits.begun.at, texts.get("when", ""))
        return written

    def _as_read(self, entry: Entry) -> Entry:
        """Readings with the kits that the keeper owns."""
        if not isinstance(entry, ReadingTaken):
            return entry
        values = as_owned(entry.values, self.room.kit.tests, self.facts)
        return msgspec.structs.replace(entry, values=values)

    def undo(self, word: str) -> Written:
        """An entry taken back."""
        entry = self._standing(word)
        undone = Undone(id=self.made(), at=self._second, zone=self.zone, tank=entry.tank, entry=entry.id)
        return Written(entries=(undone,))

    def correct(self, word: str, texts: Texts) -> Written:
        """An entry replaced by one with other values; what isn't named stays."""
        old = self._standing(word)
        wanted = form_of(old)
        texts, liquid = poured(wanted, texts, self.room, self.facts)
        if isinstance(old, SupplyAdded):
            texts, implied = self._label(texts, old.thing)
        else:
            texts, implied = spelled.again(wanted, texts, old, self.room, self.facts)
        texts, found = measured(wanted, texts, self.room, old.tank)
        tank = self._where(old, texts)
        own = {k: v for k, v in texts.items() if k != "of"}
        head = Head(**{f: getattr(old, f) for f in Head.__struct_fields__})
        written = self._entry(wanted, tank, own, held(wanted, ("", old)) | implied | liquid | found, head)
        checks.corrected(written.entry, self.room)
        by = Corrected(
            id=self.made(), at=self._second, zone=self.zone, tank=old.tank, entry=old.id, by=written.entry.id
        )
        return msgspec.structs.replace(written, entries=(written.entry, by))

    def _where(self, old: Entry, texts: Texts) -> str:
        """The tank of a corrected entry: `of` moves what was written down for the wrong one."""
        word = texts.get("of", "").strip()
        if not word:
            return old.tank
        if form_of(old).slot == "thing" or not old.tank:
            raise BadInput("of", word, "can't be: only what happened in a tank can have happened in another.")
        return find_tank(self.room, word, "of").id

    @property
    def _second(self) -> datetime:
        """Now to the second: nobody logs finer, and ids keep the order within one."""
        return self.now.replace(microsecond=0)

    def _standing(self, word: str) -> Entry:
        entry = find_entry(self.entries, word)
        if entry.id in taken_back({e.id: e for e in self.entries}):
            raise BadInput("entry", word, "was taken back already.")
        return entry

    def _entry(
        self, wanted: Form, tank: str, texts: Texts, implied: Mapping[str, Any], old: Head | None = None
    ) -> Written:
        own = {k: v for k, v in texts.items() if k not in COMMON}
        names = DeskNames(self.room, self.facts, tank, self.entries)
        faults: list[BadInput] = []
        head, says = _gather(faults, lambda: self._head(tank, texts, old)) or (None, ())
        reader = Reader(taste=self.room.kit.taste, names=names)
        found = _gather(faults, lambda: values(wanted, own, reader, implied))
        gathered(faults)
        assert head is not None
        return Written(entries=(build(wanted, head, found or {}),), says=says)

    def _head(self, tank: str, texts: Texts, old: Head | None) -> tuple[Head, tuple[str, ...]]:
        told = texts.get("when", "")
        found = moment(told, self.now, self.zone)
        at = old.at if old and not told else not_future(found.at, self.now, told).replace(microsecond=0)
        sure = texts.get("sure", "").strip() or (old.sure if old else "about" if found.rough else "sure")
        if sure not in SURE:
            raise BadInput("sure", sure, f"is not one of {', '.join(SURE)}.")
        head = Head(
            id=self.made(),
            at=at,
            zone=old.zone if old else self.zone,
            tank=tank,
            who=checks.short("who", texts.get("who", old.who if old else "")),
            sure=sure,
            note=checks.short("note", texts.get("note", old.note if old else ""), NOTE_LENGTH),
        )
        return head, (found.says,) if found.says else ()

    def _tank_ids(self) -> set[str]:
        """Ids ever used: a new tank never takes up the logbook of one that was wound down."""
        return {e.tank for e in self.entries} | set(self.room.tanks)

    def _free(self, wanted: str, taken: set[str]) -> str:
        """The id itself, or with the first number that is free."""
        number = 1
        while (found := wanted if number == 1 else f"{wanted}-{number}") in taken:
            number += 1
        return found


def _gather(faults: list[BadInput], work: Callable[[], Any]) -> Any:
    try:
        return work()
    except BadInputs as several:
        faults.extend(several.faults)
    except BadInput as fault:
        faults.append(fault)
    return None
