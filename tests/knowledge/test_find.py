"""Plain words to ids: ids, names, synonyms; never part of a word."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankward.knowledge.find import (
    anything,
    find,
    find_animal,
    find_cause,
    find_one,
    find_sign,
    find_signs,
    find_substance,
    index_of,
)
from tankward.knowledge.loader import load
from tankward.knowledge.plain import plain
from tankward.quantities.faults import BadInput

FACTS = load()
KNOWN = [
    (kind, thing)
    for kind, things in (
        ("sign", FACTS.signs),
        ("cause", FACTS.causes),
        ("substance", FACTS.substances),
        ("animal", FACTS.animals),
        ("organism", FACTS.organisms),
        ("plant", FACTS.plants),
        ("feed", FACTS.feeds),
        ("group", FACTS.groups),
        ("context", FACTS.contexts),
    )
    for thing in things
]


@pytest.mark.parametrize(
    ("ask", "words", "thing"),
    [
        (find_sign, "pine cone", "pinecone"),
        (find_sign, "Pinecone", "pinecone"),
        (find_sign, "scales sticking out", "pinecone"),
        (find_sign, "flashing", "flashing"),
        (find_sign, "clamped  fins.", "clamped_fins"),
        (find_animal, "cherry shrimp", "cherry_shrimp"),
        (find_animal, "18 cherry_barb", "cherry_barb"),
        (find_animal, "6x guppies", "guppy"),
        (find_animal, "Cherry-Shrimps", "cherry_shrimp"),
        (find_animal, "Poecilia reticulata", "guppy"),
        (find_animal, "zebrafish", "zebra_danio"),
        (find_animal, "endler's livebearer", "endler"),
        (find_substance, "salt", "sodium_chloride"),
        (find_substance, "Methylene Blue", "methylene_blue"),
        (find_substance, "povidone iodine", "povidone_iodine"),
        (find_substance, "chloramine T", "chloramine_t"),
        (find_substance, "55268-74-1", "praziquantel"),
        (find_cause, "white spot", "white_spot"),
        (find_cause, "ich", "white_spot"),
        (find_cause, "Gill Flukes", "gill_flukes"),
        (find_cause, "nitrite", "nitrite"),
    ],
)
def test_words_people_use(facts, ask, words, thing):
    assert ask(facts, words) == thing


@pytest.mark.parametrize(("kind", "thing"), KNOWN, ids=[f"{k} {t}" for k, t in KNOWN])
def test_every_id_is_found_as_itself(facts, kind, thing):
    assert find(facts, kind, thing) == (thing,)
    assert find(facts, kind, thing.replace("_", " ").upper()) == (thing,)


def test_words_that_leave_it_open_give_all(facts):
    assert set(find_signs(facts, "pop eye")) == {"popeye_one", "popeye_both"}
    assert set(find(facts, "animal", "corydoras")) == {
        "bronze_cory",
        "panda_cory",
        "peppered_cory",
        "pygmy_cory",
    }


@pytest.mark.parametrize(
    ("words", "sign"),
    [
        ("stringy feces", "white_stringy_faeces"),
        ("Stringy poo", "white_stringy_faeces"),
        ("white poop", "white_stringy_faeces"),
        ("clamped", "clamped_fins"),
        ("clamping", "clamped_fins"),
        ("flashing", "flashing"),
        ("pine cone", "pinecone"),
        ("dropsy", "pinecone"),
        ("gasping", "gasping_surface"),
        ("bloated", "belly_swollen"),
        ("swollen", "belly_swollen"),
        ("skinny", "belly_sunken"),
        ("hollow", "belly_sunken"),
        ("rapid breathing", "fast_gills"),
        ("not pooping", "no_faeces"),
        ("red poop", "bloody_faeces"),
        ("white dots", "white_spots"),
    ],
)
def test_everyday_words_for_what_is_seen(facts, words, sign):
    assert find_sign(facts, words) == sign


@pytest.mark.parametrize("words", ["poop", "poo", "droppings", "feces"])
def test_droppings_alone_leave_open_what_is_wrong_with_them(facts, words):
    assert set(find_signs(facts, words)) == {
        "white_stringy_faeces", "bloody_faeces", "no_faeces", "segments_in_faeces",
    }  # fmt: skip


def test_a_fault_names_the_field_in_which_the_sign_was_written(facts):
    with pytest.raises(BadInput, match='not-seen: "purple ears" is no sign known here'):
        find_sign(facts, "purple ears", "not-seen")


def test_one_is_asked_for_and_several_are_meant(facts):
    with pytest.raises(BadInput, match='sign: "pop eye" can be popeye_one or popeye_both: say which'):
        find_sign(facts, "pop eye")


@pytest.mark.parametrize(
    ("ask", "words", "near"),
    [
        (find_animal, "chery barb", "cherry barb"),
        (find_cause, "flukes", "gill flukes"),
        (find_substance, "prazi", "praziquantel"),
        (find_sign, "pinecon", "pine cone"),
    ],
)
def test_part_of_a_word_is_only_suggested(facts, ask, words, near):
    with pytest.raises(BadInput, match="did you mean") as said:
        ask(facts, words)
    assert said.value.given == words
    assert near in said.value.accepted


def test_nothing_close_is_said_so(facts):
    with pytest.raises(BadInput, match='cause: "qqqq" is no cause known here; tankward facts lists'):
        find_cause(facts, "qqqq")


@pytest.mark.parametrize("words", ["", "   ", "---", "7"])
def test_no_words_are_no_animal(facts, words):
    with pytest.raises(BadInput):
        find_one(facts, "animal", words)


def test_anything_of_any_kind(facts):
    assert anything(facts, "copper") == (("cause", "copper"), ("substance", "copper"))
    assert ("organism", "ichthyophthirius") in anything(facts, "white spots")
    assert anything(facts, "qqqq") == ()


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("Guppies", "guppy"),
        ("white spots", "white spot"),
        ("fish boxes", "fish box"),
        ("abscesses", "abscess"),
        ("discus", "discus"),
        ("Père-David's  carp", "pere davids carp"),
        ("gas", "gas"),
        ("loss", "loss"),
        ("columnaris", "columnaris"),
        ("", ""),
    ],
)
def test_plain(words, key):
    assert plain(words) == key


@given(st.text(max_size=30))
def test_any_text_is_answered_or_refused(words):
    for kind in ("sign", "animal", "substance", "cause"):
        found = index_of(FACTS, kind).ids(words)
        if found:
            assert find(FACTS, kind, words) == found
        else:
            with pytest.raises(BadInput, match=f"is no {kind} known here"):
                find(FACTS, kind, words)
