"""A form for each word of the logbook, read off the records: what is asked, texts into an entry and back.

The words are the kinds' own, and for an act done the act's: `dose`, `change`, `move`.
"""

from __future__ import annotations

import functools
import typing
from collections.abc import Mapping
from datetime import datetime
from typing import Any

import msgspec

from tankward.quantities.faults import BadInput, BadInputs, gathered
from tankward.quantities.parse import Taste

from . import acts, lists
from .codec import kinds
from .entries.acts import Done
from .entries.base import Entry, tag, title
from .fields import Reader, read, write
from .questions import Field, Question, fields_of
from .things import LabelRule

Path = tuple[str, ...]
ACT_WORDS = {"look": "check"}  # the word "look" is the animals looked at
HEAD = ("id", "who", "sure", "note", "version", "of")  # keys of every entry


class Head(msgspec.Struct, frozen=True, kw_only=True):
    """What every entry has, whatever happened."""

    id: str
    at: datetime
    zone: str = "UTC"
    tank: str = ""
    who: str = ""
    sure: str = "sure"
    note: str = ""


class Placed(msgspec.Struct, frozen=True):
    """A field of a form, and where in the entry its value goes."""

    field: Field
    path: Path


class Form(msgspec.Struct, frozen=True, kw_only=True):
    """What is asked for one word of the logbook."""

    word: str
    title: str
    entry: type[Entry]
    record: type[msgspec.Struct]
    slot: str = ""  # the field of the entry that holds the record; "" = the entry is the record
    fields: dict[str, Placed]

    @property
    def questions(self) -> dict[str, Question]:
        """What a face asks, by key."""
        return {key: placed.field.ask for key, placed in self.fields.items() if not placed.field.ask.hidden}

    @property
    def rest(self) -> Placed | None:
        return next((p for p in self.fields.values() if p.field.ask.rest), None)


TASTE = {
    "gallon": Question("Which gallon?", choices=("US", "imp")),
    "degrees": Question("Celsius or Fahrenheit?", choices=("C", "F")),
    "metric": Question("Grams and litres?", "yes"),
}
TASTE_FIELDS = {
    key: Field(
        name="temperature" if key == "degrees" else key,
        key=key,
        type=bool if key == "metric" else str,
        ask=ask,
        required=False,
        default=getattr(Taste(), "temperature" if key == "degrees" else key),
    )
    for key, ask in TASTE.items()
}
INSIDE: dict[type, dict[str, Field]] = {LabelRule: fields_of(LabelRule), Taste: TASTE_FIELDS}


@functools.lru_cache(maxsize=4)
def _forms(known: tuple[type[Entry], ...]) -> dict[str, Form]:
    found: dict[str, Form] = {}
    for kind in known:
        if kind is Done:
            found |= {f.word: f for f in map(_act_form, typing.get_args(acts.AnyAct))}
        else:
            form = _form(kind)
            found[form.word] = form
    return found


def forms() -> dict[str, Form]:
    """Every form by its word."""
    return _forms(tuple(kinds().values()))


def form(word: str) -> Form:
    """The form of that word, with - or _ between.

    Raises
    ------
    BadInput
        If there is none; it lists them.
    """
    plain = word.strip().lower().replace("-", "_")
    found = forms()
    if plain not in found:
        raise BadInput("kind", word, f"is not a kind of entry. Known are {', '.join(sorted(found))}.")
    return found[plain]


def _form(kind: type[Entry]) -> Form:
    hints = typing.get_type_hints(kind)
    slot = "thing" if "thing" in hints else ""
    record = hints[slot] if slot else kind
    return Form(
        word=tag(kind), title=title(kind), entry=kind, record=record, slot=slot, fields=_placed(record, slot)
    )


def _act_form(act: type[acts.Act]) -> Form:
    word = str(act.__struct_config__.tag)
    own = {key: Placed(field, (field.name,)) for key, field in fields_of(Done).items()}
    return Form(
        word=ACT_WORDS.get(word, word),
        title=title(act),
        entry=Done,
        record=act,
        slot="act",
        fields=_placed(act, "act") | own,
    )


def _placed(record: type[msgspec.Struct], slot: str) -> dict[str, Placed]:
    start = (slot,) if slot else ()
    found: dict[str, Placed] = {}
    for key, field in fields_of(record).items():
        if field.ask.dimension == "inside":
            inner = INSIDE[
                next(kind for kind in INSIDE if kind in (field.type, *typing.get_args(field.type)))
            ]
            found |= {k: Placed(_asked_or_not(f), (*start, field.name, f.name)) for k, f in inner.items()}
        else:
            found[key] = Placed(field, (*start, field.name))
    return found


def _asked_or_not(field: Field) -> Field:
    return msgspec.structs.replace(field, required=False)


def values(
    form: Form, texts: Mapping[str, str], reader: Reader, implied: Mapping[str, Any] | None = None
) -> dict[Path, Any]:
    """Every field that was written, read; with what is implied where nothing was.

    Raises
    ------
    BadInput
        One, or all of them together.
    """
    found: dict[Path, Any] = {}
    faults: list[BadInput] = []
    implied = implied or {}
    given = {key.strip().replace("_", "-"): text for key, text in texts.items()}
    rest = {k: texts[k0] for k, k0 in zip(given, texts, strict=True) if k not in form.fields}
    for key, placed in form.fields.items():
        try:
            _take(found, placed, given.get(key), rest if placed.field.ask.rest else {}, reader, implied)
        except BadInput as fault:
            faults.extend(fault.faults if isinstance(fault, BadInputs) else [fault])
    if rest and form.rest is None:
        faults.extend(_strange(form, key, text) for key, text in rest.items())
    gathered(faults)
    return found


def _strange(form: Form, key: str, text: str) -> BadInput:
    return BadInput(key, text, f"is not asked for by {form.word}; it takes {', '.join(form.questions)}.")


def _take(
    found: dict[Path, Any],
    placed: Placed,
    text: str | None,
    rest: Mapping[str, str],
    reader: Reader,
    implied: Mapping[str, Any],
) -> None:
    field = placed.field
    if text is not None and (text.strip() or field.required):
        found[placed.path] = read(field, text, reader)
    elif rest:
        new = lists.read_rest(field, dict(rest), reader.taste, reader.names)
        found[placed.path] = lists.merged(field, implied.get(field.key), new)
    elif field.key in implied:
        found[placed.path] = implied[field.key]
    elif field.required and not (field.ask.rest and reader.exact):
        raise BadInput(field.key, "", f"is missing. {field.ask.says}".strip())
    elif field.required:
        found[placed.path] = {} if typing.get_origin(field.type) is dict else ()


def build(form: Form, head: Head, found: Mapping[Path, Any]) -> Entry:
    """The entry of a form's values."""
    own = msgspec.structs.asdict(head) | {path[0]: value for path, value in found.items() if len(path) == 1}
    if not form.slot:
        return form.entry(**own)
    own[form.slot] = _record(form, found)
    return form.entry(**own)


def _record(form: Form, found: Mapping[Path, Any]) -> msgspec.Struct:
    parts = {path[1]: value for path, value in found.items() if len(path) == 2}
    deeper: dict[str, dict[str, Any]] = {}
    for path, value in found.items():
        if len(path) == 3:
            deeper.setdefault(path[1], {})[path[2]] = value
    for name, inner in deeper.items():
        parts[name] = _inside(form.record, name)(**inner)
    return form.record(**parts)


@functools.cache
def _inside(record: type[msgspec.Struct], name: str) -> type:
    hint = typing.get_type_hints(record)[name]
    return next(kind for kind in INSIDE if kind in (hint, *typing.get_args(hint)))


def form_of(entry: Entry) -> Form:
    """The form that an entry was made with."""
    if isinstance(entry, Done):
        word = str(type(entry.act).__struct_config__.tag)
        return forms()[ACT_WORDS.get(word, word)]
    return forms()[tag(type(entry))]


def held(form: Form, start: tuple[str, Any]) -> dict[str, Any]:
    """What a record or an entry has in each field, by key. `start`: which part of the entry it is, and it."""
    slot, thing = start
    found: dict[str, Any] = {}
    for key, placed in form.fields.items():
        path = placed.path[1:] if slot else placed.path
        present, value = _at(thing, path)
        if present:
            found[key] = value
    return found


def texts_of(entry: Entry, implied: Mapping[str, Any] | None = None) -> dict[str, str]:
    """An entry's own fields as they would be written; what is implied or usual is left out."""
    form = form_of(entry)
    found: dict[str, str] = {}
    for key, placed in form.fields.items():
        present, value = _at(entry, placed.path)
        usual = (implied or {}).get(key, placed.field.default)
        if not present or (value == usual and (key in (implied or {}) or not _always(placed.field))):
            continue
        found |= _written(form, placed.field, value)
    return found


def _always(field: Field) -> bool:
    return field.required or field.ask.needed


def _written(form: Form, field: Field, value: Any) -> dict[str, str]:
    if field.ask.rest:
        keys = lists.write_rest(field, value)
        taken = {*form.fields, *HEAD}
        if keys is not None and not taken & {k.replace("_", "-") for k in keys} and _same(field, keys, value):
            return keys
    return {field.key: write(field, value)}


def _same(field: Field, keys: dict[str, str], value: Any) -> bool:
    try:
        return bool(lists.read_rest(field, keys, Taste(), Reader().names) == value)
    except (BadInput, ValueError):
        return False


def _at(entry: msgspec.Struct, path: Path) -> tuple[bool, Any]:
    value: Any = entry
    for name in path:
        if value is None:
            return False, None
        value = getattr(value, name)
    return True, value
