"""What we know, as pages: every thing opens, is found by its words, and says how sure each figure is."""

import pytest

from tankward.knowledge.linked import links
from tankward.knowledge.loader import load
from tankward.knowledge.looked_up import look_up
from tankward.knowledge.topics import TOPICS, topics
from tankward.web.pages.know import SHELVES, things

FACTS = load()


@pytest.mark.parametrize("kind", SHELVES)
def test_every_thing_of_a_kind_is_listed_and_opens(stranger, kind):
    listed = stranger.get("/know", kind=kind)
    for thing in things(FACTS, kind):
        url = f"/know/{kind}-{thing}"
        assert url in listed.links
        page = stranger.get(url)
        assert page.code == 200 and page.heading()
        assert "Struct" not in page.words and "_low" not in page.words


@pytest.mark.parametrize(
    ("words", "url"),
    [
        ("copp", "/know/substance-copper"),
        ("pine co", "/know/sign-pinecone"),
        ("neocar", "/know/animal-cherry_shrimp"),
        ("Ichthyophthirius", "/know/organism-ichthyophthirius"),
        ("poop", "/know/sign-white_stringy_faeces"),
        ("55268-74-1", "/know/substance-praziquantel"),
        ("carbon", "/know/hygiene-carbon"),
        ("ammonia dr", "/know/kit-ammonia_drops"),
    ],
)
def test_the_beginning_of_a_word_is_enough(stranger, words, url):
    page = stranger.get("/know", words=words)
    assert url in page.links
    assert "known by" in page.heading()


def test_what_is_not_known_is_said_and_not_guessed(stranger):
    page = stranger.get("/know", words="phlogiston")
    assert page.heading() == "Nothing is known by “phlogiston”"
    assert look_up(FACTS, "") == ()
    assert stranger.get("/know/phlogiston").code == 422


def test_a_whole_name_comes_before_one_that_only_begins_so():
    assert look_up(FACTS, "copper")[0].rank == 0
    assert [h.rank for h in look_up(FACTS, "salt")] == sorted(h.rank for h in look_up(FACTS, "salt"))


def test_a_name_of_several_things_asks_which(stranger):
    page = stranger.get("/know/copper")
    assert {"/know/cause-copper", "/know/substance-copper"} <= set(page.links)
    assert stranger.get("/know/praziquantel").to == "/know/substance-praziquantel"


def test_a_substance_tells_figures_with_source_place_and_status(stranger):
    page = stranger.get("/know/substance-copper")
    assert page.heading() == "Copper sulfate pentahydrate: a keeper may use it"
    for said in ("0.5 to 2.5 mg/L", "Published: FA13 , total alkalinity", "recalled, not read", "Used here",
                 "never below alkalinity 50", "Sources disagree in one place"):  # fmt: skip
        assert said in page.words, said
    assert "/know/cause-white_spot" in page.links and "#source-FA13" in page.links
    assert 'id="source-FA13"' in page.html


def test_an_animal_tells_what_it_bears_and_what_nobody_knows(stranger):
    page = stranger.get("/know/animal-cherry_shrimp")
    assert "copper sulfate pentahydrate" in page.heading() and "kill it" in page.heading()
    assert "no harm reported, not measured" in page.words
    unknown = sum(FACTS.sensitivity("shrimp_dwarf", s).cls == "unknown" for s in FACTS.substances)
    assert f"Not known of {unknown} other substances" in page.words
    # What is only recalled never reads as borne.
    assert "bears it" not in page.words and "safe" not in page.words


def test_a_cause_leads_to_its_signs_its_organism_and_its_remedies(stranger):
    page = stranger.get("/know/cause-hexamita")
    assert {
        "/know/sign-white_stringy_faeces",
        "/know/organism-spironucleus",
        "/know/substance-metronidazole",
    } <= set(page.links)
    assert "of 100 (usual practice)" in page.words
    back = stranger.get("/know/sign-white_stringy_faeces")
    assert "/know/cause-hexamita" in back.links


def test_links_go_both_ways():
    for cause in FACTS.causes:
        for link in links(FACTS, "cause", cause):
            if link.group in ("signs", "organisms", "remedies"):
                back = {(x.kind, x.id) for x in links(FACTS, link.kind, link.id)}
                assert ("cause", cause) in back, (cause, link)


def test_what_is_not_known_of_a_thing_stands_on_its_page(stranger):
    page = stranger.get("/know/substance-garlic")
    assert "Not known" in page.words
    assert any(t.id == "gap" for t in topics(FACTS, "water"))
    assert "1975 paper itself was not" in stranger.get("/know/water-gap").words


def test_every_topic_has_a_title_of_its_own():
    for place in TOPICS:
        found = [t.title for t in topics(FACTS, place)]
        assert len(found) == len(set(found)) and all(found)
