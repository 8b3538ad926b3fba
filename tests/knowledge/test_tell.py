"""What is told of a thing: every row with its source, how sure it is, and what contradicts it."""

import pytest

from tankward.knowledge.find import KINDS
from tankward.knowledge.tell import name_of, page, tell, thing_of
from tankward.quantities.faults import BadInput

THINGS = {
    "sign": "signs", "cause": "causes", "substance": "substances", "animal": "animals", "plant": "plants",
    "organism": "organisms", "feed": "feeds", "context": "contexts", "group": "groups",
}  # fmt: skip


def test_praziquantel(facts):
    (told,) = tell(facts, "praziquantel")
    assert (told.kind, told.id, told.name) == ("substance", "praziquantel", "praziquantel")
    lc50 = [t for t in told.rows if t.table == "tolerance" and t.value == 30.4]
    assert [(t.unit, t.source, t.status) for t in lc50] == [("mg/L", "ZUSK22", "published-read")]
    assert told.sources["ZUSK22"] == facts.sources["ZUSK22"]
    assert len(told.disagree) == 6 == len(facts.substances["praziquantel"].contradiction)
    assert {t.table for t in told.disagree} == {"contradiction"}


def test_what_is_kept_but_not_proposed_is_marked(facts):
    (told,) = tell(facts, "praziquantel")
    regimens = {t.says["target"]: t.used for t in told.rows if t.table == "regimen"}
    assert set(regimens.values()) == {True, False}


def test_what_must_not_meet_stands_with_both(facts):
    for substance in ("formalin", "potassium permanganate"):
        told = [t for p in tell(facts, substance) for t in p.rows if t.table == "must not meet"]
        assert any("explode" in t.says["why"] for t in told)


def test_words_of_several_kinds_give_several_pages(facts):
    assert [(p.kind, p.id) for p in tell(facts, "copper")] == [("cause", "copper"), ("substance", "copper")]


@pytest.mark.parametrize("kind", KINDS)
def test_everything_can_be_told(facts, kind):
    for thing in getattr(facts, THINGS[kind]):
        told = page(facts, kind, thing)
        assert told.id == thing
        assert told.name
        assert all(key in told.sources for t in told.rows for key in t.source.split() if key != "none")
        assert sum(told.statuses.values()) <= len(told.rows) + len(told.disagree)


def test_every_row_with_a_source_is_told(facts):
    """Copper: 1 of itself for people, 1 for disposal, and its tables."""
    copper = facts.substances["copper"]
    tables = (
        "effect", "form", "solubility", "stability", "regimen", "tolerance", "potency", "kinetics",
        "interaction", "law", "contradiction", "sensitivity", "ceiling",
    )  # fmt: skip
    drawn = 6  # the half-lives and theta of its loss
    pairs = sum("copper" in (p.a, p.b) for p in facts.tables.pair)
    told = page(facts, "substance", "copper")
    assert len(told.rows) + len(told.disagree) == 2 + drawn + pairs + sum(
        len(getattr(copper, t)) for t in tables
    )


def test_what_is_unknown_is_refused(facts):
    with pytest.raises(BadInput, match='name: "qqqq" is nothing known here'):
        tell(facts, "qqqq")
    with pytest.raises(BadInput, match='animal: "dragon" is no animal known here'):
        thing_of(facts, "animal", "dragon")


def test_names(facts):
    assert name_of(facts.animals["guppy"]) == "guppy"
    assert name_of(facts.signs["pinecone"]) == "scales stand out like a pine cone"
    assert name_of(facts.substances["copper"]) == "copper sulfate pentahydrate"
