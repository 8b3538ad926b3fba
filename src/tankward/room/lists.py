"""Fields that hold several things in one value, parted by ; or , and the keys that gather into one field."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import NUMBER, Taste, number, quantity

from .names import Names
from .numerals import plain
from .questions import Field
from .readings import readings, readings_in, write_readings
from .things import Active, Reading, Spoon

Read = Callable[[Field, str, Taste, Names], Any]


def words(text: str) -> list[str]:
    """Parted by ; or a comma that isn't a decimal mark."""
    return [part.strip() for part in re.split(r";|(?<!\d),|,(?!\d)", text) if part.strip()]


def _ids(what: str) -> Read:
    def read(field: Field, text: str, taste: Taste, names: Names) -> tuple[str, ...]:
        return tuple(dict.fromkeys(names.resolve(what, word, field.key) for word in words(text)))

    return read


def _numbers(what: str) -> Read:
    def read(field: Field, text: str, taste: Taste, names: Names) -> dict[str, float]:
        found: dict[str, float] = {}
        for part in words(text):
            m = re.fullmatch(rf"(.+?)[\s:=]+({NUMBER})", part)
            if not m:
                raise BadInput(field.key, part, "has no number. Write it like cherry_shrimp 3.")
            count = float(number(m[2], field.key))
            if count < 0:
                raise BadInput(field.key, part, "can't be fewer than none.")
            found[names.resolve(what, m[1], field.key)] = count
        return found

    return read


def _history(field: Field, text: str, taste: Taste, names: Names) -> dict[str, float | None]:
    return dict(names.happened(part, field.key) for part in words(text))


def _volumes(field: Field, text: str, taste: Taste, names: Names) -> tuple[float, ...]:
    """ "1/5/20 mL" or "1 mL; 5 mL": the unit of the last holds for those that have none."""
    parts = [p for p in re.split(r"[;,]|(?<=\d)\s*/\s*(?=\d)", text) if p.strip()]
    unit = (re.search(r"[^\d.,/\s].*$", parts[-1]) or [""])[0] if parts else ""
    found = (part if re.search(r"[^\d.,\s]", part) else f"{part} {unit}" for part in parts)
    factor = 1000 if field.unit == "mL" else 1
    litres = [
        _positive(quantity(part.strip(), "volume", field.key, taste).value, field, part) for part in found
    ]
    return tuple(round(v * factor, 9) for v in litres)


def _positive(value: float, field: Field, text: str) -> float:
    if value <= 0:
        raise BadInput(field.key, text, "can't be right: it must be more than nothing.")
    return value


def _spoons(field: Field, text: str, taste: Taste, names: Names) -> tuple[Spoon, ...]:
    """ "teaspoon 5 mL sodium_chloride=6 g; scoop 1.2 mL"."""
    return tuple(_spoon(field, part, taste, names) for part in re.split(";", text) if part.strip())


def _spoon(field: Field, text: str, taste: Taste, names: Names) -> Spoon:
    head, *weighed = re.split(r"\s+(?=[\w-]+=)", text.strip())
    m = re.fullmatch(rf"(\D+?)(?:\s+({NUMBER}\s*[^\d=]+))?", head)
    if not m or not (m[2] or weighed):
        raise BadInput(field.key, text, "is not a spoon. Write it like teaspoon 5 mL sodium_chloride=6 g.")
    grams = {}
    for pair in weighed:
        powder, _, mass = pair.partition("=")
        mg = _positive(quantity(mass, "mass", field.key, taste).value, field, pair)
        grams[names.resolve("substance", powder, field.key)] = mg / 1000
    if not m[2]:
        return Spoon(name=m[1].strip(), grams=grams)
    volume = _positive(quantity(m[2].strip(), "volume", field.key, taste).value, field, text)
    return Spoon(name=m[1].strip(), volume_ml=round(volume * 1000, 9), grams=grams)


def _actives(field: Field, text: str, taste: Taste, names: Names) -> tuple[Active, ...]:
    """ "metronidazole 200 mg; praziquantel 90 mg", in one unit of the supply."""
    return tuple(_active(field, part, taste, names) for part in words(text))


def _active(field: Field, text: str, taste: Taste, names: Names) -> Active:
    m = re.fullmatch(rf"(\D.*?)[\s=:]+({NUMBER}\s*[^\d\s]\S*)(?:\s+as\s+(.+))?", text)
    if not m:
        raise BadInput(
            field.key,
            text.strip(),
            "does not say how much is in one. Write praziquantel 90 mg, or actives=dont-know.",
        )
    mg = _positive(quantity(m[2], "mass", field.key, taste).value, field, text)
    return Active(substance=names.resolve("substance", m[1], field.key), mg=mg, form=(m[3] or "").strip())


def _joined(values: dict[str, float | None]) -> str:
    return "; ".join(k if v is None else f"{k} {plain(v)}" for k, v in values.items())


WRITERS: dict[str, Callable[[Any], str]] = {
    "words": "; ".join,
    "signs": "; ".join,
    "test_kits": "; ".join,
    "sign_numbers": _joined,
    "germ_numbers": _joined,
    "species_numbers": _joined,
    "history": lambda values: "; ".join(
        k if v is None else f"{k} {plain(v)} days ago" for k, v in values.items()
    ),
    "actives": lambda values: "; ".join(
        f"{a.substance} {plain(a.mg)} mg" + (f" as {a.form}" if a.form else "") for a in values
    ),
}


def read_rest(field: Field, given: dict[str, str], taste: Taste, names: Names) -> Any:
    """The keys that no other field takes, as the value of the field that gathers them.

    Raises
    ------
    BadInput
        For a key that means nothing here, or its value.
    """
    return RESTS[field.ask.dimension](field, given, taste, names)


def merged(field: Field, old: Any, new: Any) -> Any:
    """A gathered field with some of its keys written anew."""
    if not old:
        return new
    if isinstance(new, dict):
        return old | new
    name = "quantity" if field.ask.dimension == "readings" else "substance"
    anew = {getattr(item, name) for item in new}
    return (*(item for item in old if getattr(item, name) not in anew), *new)


def _masses(dimension: str, most: float) -> Callable[[Field, dict[str, str], Taste, Names], dict[str, float]]:
    def read(field: Field, given: dict[str, str], taste: Taste, names: Names) -> dict[str, float]:
        found: dict[str, float] = {}
        for word, text in given.items():
            substance = names.resolve("substance", word, word)
            value = quantity(text, _own(dimension, substance, text), word, taste).value
            if not 0 < value <= most:
                raise BadInput(
                    word, text, "can't be right: it must be more than nothing and can't be tonnes."
                )
            found[substance] = value
        return found

    return read


def _own(dimension: str, substance: str, text: str) -> str:
    """What is counted by volume (formalin) may be written so: 15 uL/L."""
    known = load().substances.get(substance)
    by_volume = known is not None and known.dose_as.startswith("uL")
    return "volume_level" if dimension == "level" and by_volume and VOLUME_LEVEL.search(text) else dimension


VOLUME_LEVEL = re.compile(r"[uµm][lL]\s*/\s*[lL]")


def _mass_list(dimension: str, most: float) -> Read:
    gather = _masses(dimension, most)

    def read(field: Field, text: str, taste: Taste, names: Names) -> dict[str, float]:
        return gather(field, dict(_pair(field, part) for part in words(text)), taste, names)

    return read


def _pair(field: Field, text: str) -> tuple[str, str]:
    m = re.fullmatch(rf"(\D.*?)[\s=:]+({NUMBER}.*)", text)
    if not m:
        raise BadInput(field.key, text, "has no amount. Write it like praziquantel 90 mg.")
    return m[1], m[2]


def _rest_readings(field: Field, given: dict[str, str], taste: Taste, names: Names) -> tuple[Reading, ...]:
    return readings(given, taste)


def _readings(field: Field, text: str, taste: Taste, names: Names) -> tuple[Reading, ...]:
    return readings_in(text, taste)


def _rest_actives(field: Field, given: dict[str, str], taste: Taste, names: Names) -> tuple[Active, ...]:
    return tuple(_active(field, f"{word} {text}", taste, names) for word, text in given.items())


MOST_MG, MOST_MG_L, MOST_MG_G = 1e9, 1e6, 1000.0  # a tonne, a litre of it in a litre, all of the food
READERS: dict[str, Read] = {
    "words": lambda field, text, taste, names: tuple(dict.fromkeys(words(text))),
    "readings": _readings,
    "masses": _mass_list("mass", MOST_MG),
    "levels": _mass_list("level", MOST_MG_L),
    "feed_strengths": _mass_list("feed_strength", MOST_MG_G),
    "signs": _ids("sign"),
    "test_kits": _ids("test_kit"),
    "sign_numbers": _numbers("sign"),
    "germ_numbers": _numbers("germ"),
    "species_numbers": _numbers("species"),
    "history": _history,
    "volumes": _volumes,
    "spoons": _spoons,
    "actives": _actives,
}
RESTS: dict[str, Callable[[Field, dict[str, str], Taste, Names], Any]] = {
    "masses": _masses("mass", MOST_MG),
    "levels": _masses("level", MOST_MG_L),
    "feed_strengths": _masses("feed_strength", MOST_MG_G),
    "actives": _rest_actives,
    "readings": _rest_readings,
}


def write_rest(field: Field, value: Any) -> dict[str, str] | None:
    """A gathered field as its keys; None where they would lose something."""
    if field.ask.dimension == "readings":
        return write_readings(value)
    unit = {"masses": "mg", "levels": "mg/L", "feed_strengths": "mg/g"}.get(field.ask.dimension)
    return None if unit is None else {k: f"{plain(v)} {unit}" for k, v in value.items()}
