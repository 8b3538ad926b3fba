"""Forms follow from the records: what is asked, what is refused, and that a new kind is one new file."""

import subprocess
import sys
import typing

import pytest

from tankward.quantities.faults import BadInput, BadInputs
from tankward.quantities.parse import Estimate, Taste
from tankward.room import acts
from tankward.room.entries.base import questions
from tankward.room.entries.looks import Look
from tankward.room.fields import Reader, read
from tankward.room.forms import form, forms, values
from tankward.room.questions import fields_of, key_of, unit_in
from tankward.room.things import Kit, Spoon, Stock, Tank

PLAIN = Reader()


def test_every_act_and_every_kind_has_a_form():
    words = set(forms())
    assert {
        "tank",
        "stock",
        "supply",
        "kit",
        "reading",
        "look",
        "counted",
        "death",
        "jar_trial",
        "note",
    } <= words
    assert {
        "dose",
        "change",
        "top_up",
        "lost_water",
        "power_cut",
        "power_back",
        "siphon",
        "media",
        "heat",
        "air",
        "light",
        "feed",
        "bath",
        "move",
    } <= words
    assert len(typing.get_args(acts.AnyAct)) == len([f for f in forms().values() if f.slot == "act"])


@pytest.mark.parametrize("word", sorted(forms()))
def test_every_field_of_every_form_asks_something(word):
    found = form(word)
    own = set(found.record.__struct_fields__) - set(type(found).__struct_fields__)
    asked = {placed.field.name for placed in found.fields.values()} | {
        p.path[1] for p in found.fields.values() if len(p.path) > 1
    }
    base = {"id", "at", "zone", "tank", "who", "sure", "note", "version"} if found.slot == "" else set()
    assert own - base <= asked | {"record"}
    assert all(ask.says for ask in found.questions.values())


def test_a_new_kind_is_one_new_file(tmp_path):
    (tmp_path / "moods.py").write_text('''
"""Moods."""
from typing import Annotated
from tankward.room.entries.base import Entry, Question

class Mood(Entry, frozen=True, tag="mood"):
    """How they seem."""
    calm: Annotated[int, Question("How calm, 1 to 5?", "number", at_least=1, at_most=5)]
''')
    script = f"""
from tankward.room import entries
entries.__path__.append({str(tmp_path)!r})
from tankward.room.codec import decode, encode
from tankward.room.forms import form
from tankward.room.text import read_logbook, write_logbook
entry, = read_logbook("1 March 08:00 mood A calm=4")
assert decode(encode(entry)) == entry and entry.calm == 4
assert read_logbook(write_logbook([entry])) == [entry]
print(form("mood").title, form("mood").questions["calm"].says)
"""
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "How they seem How calm, 1 to 5?"


def test_keys_are_names_without_units():
    assert key_of("length_cm") == "length"
    assert key_of("hours_per_day") == "hours"
    assert key_of("taken_out") == "taken-out"
    assert (unit_in("glass_mm"), unit_in("minutes"), unit_in("name")) == ("mm", "min", "")
    assert questions(Look)["not-seen"].says == "What did you look for and not find?"


def value(record, key, text, taste=None):
    return read(fields_of(record)[key], text, Reader(taste=taste or Taste()))


def test_a_field_is_kept_in_its_own_unit():
    assert value(Tank, "glass", "0.6 cm") == 6
    assert value(Tank, "filter-age", "2 weeks") == 14
    assert value(Stock, "mass", "250 mg") == Estimate.exact(0.25)
    assert value(Tank, "volume", "10 gal", Taste(gallon="US")).value == pytest.approx(37.854, abs=1e-3)
    assert value(Kit, "syringes", "1/5/20 mL") == (1, 5, 20)
    assert value(Kit, "buckets", "10 L; 5 L") == (10, 5)
    assert value(Kit, "spoons", "teaspoon 5 mL sodium_chloride=6 g") == (
        Spoon(name="teaspoon", volume_ml=5, grams={"sodium_chloride": 6}),
    )


def test_about_and_from_to_keep_their_ends():
    assert value(Stock, "number", "about 40") == Estimate(40, 34, 46)
    assert value(Tank, "volume", "33 to 37 L") == Estimate(35, 33, 37)


def test_dont_know_is_a_value_where_nobody_could_know():
    assert value(Tank, "temp", "dont-know") is None
    assert value(Tank, "filter", "don't know") == ""
    assert value(Stock, "kind", "unknown") == ""
    with pytest.raises(BadInput, match="has to be known here"):
        value(acts.Change, "share", "dont-know")
    with pytest.raises(BadInput, match="has to be known here"):
        value(acts.Heat, "temp", "dont-know")
    assert value(acts.Heat, "temp", "off") is None


@pytest.mark.parametrize(
    ("record", "key", "text", "accepted"),
    [
        (Tank, "volume", "0 L", "it must be more than 0 L"),
        (Tank, "volume", "54", "has no unit"),
        (Tank, "volume", "10 gal", "US gal or imp gal"),
        (Tank, "temp", "300C", "between 0 and 45 C"),
        (Tank, "temp", "0 to 60 C", "between 0 and 45 C"),
        (Tank, "name", "<b>T7</b>", "can't hold < or >"),
        (Tank, "name", "T7\u202e", "can't be seen"),
        (Tank, "name", "x" * 61, "at most 60"),
        (Tank, "name", "", "is empty"),
        (Tank, "filter", "magic", "is not one of sponge"),
        (Tank, "heater", "maybe", "neither yes nor no"),
        (Tank, "place", "1.5", "not a whole number"),
        (acts.Change, "share", "130 %", "between 0 and 100 %"),
        (acts.Change, "share", "0 %", "between 0 and 100 %"),
        (acts.TopUp, "volume", "1,500 L", "could mean two things"),
        (Stock, "number", "-3", "between 0 and 100000"),
        (Look, "belly", "6", "between 1 and 5"),
        (Look, "counts", "white_spots", "has no number"),
        (Kit, "syringes", "0 mL", "more than nothing"),
        (Kit, "spoons", "teaspoon", "is not a spoon"),
    ],
)  # fmt: skip
def test_a_fault_names_field_value_and_what_is_accepted(record, key, text, accepted):
    with pytest.raises(BadInput) as told:
        value(record, key, text)
    assert told.value.field == key
    assert accepted in str(told.value)


def test_all_faults_of_a_form_are_told_at_once():
    with pytest.raises(BadInputs) as told:
        values(form("change"), {"share": "130%", "temp": "300C", "colour": "red"}, PLAIN)
    assert [f.field for f in told.value.faults] == ["share", "temp", "colour"]


def test_an_unknown_kind_lists_the_known_ones():
    with pytest.raises(BadInput, match=r"Known are .*dose"):
        form("unheard")
