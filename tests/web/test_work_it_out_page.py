"""Work it out: every calculation on its page, with its example, its working and its faults."""

from urllib.parse import urlencode

import pytest

from tankward.desk.calc_examples import EXAMPLES
from tankward.desk.calculations import CALCULATIONS
from tankward.show.words.calculations import QUESTIONS, by_question, fitting


def test_every_calculation_has_an_example_and_a_question():
    assert set(EXAMPLES) == set(CALCULATIONS)
    named = [name for _, names in QUESTIONS for name in names]
    assert sorted(named) == sorted(CALCULATIONS)


@pytest.mark.parametrize("name", CALCULATIONS)
def test_a_calculation_opens_with_its_example_and_answers(stranger, name):
    empty = stranger.get(f"/work-it-out/{name}")
    assert empty.heading() == CALCULATIONS[name].purpose
    example = f"/work-it-out/{name}?{urlencode(EXAMPLES[name])}"
    assert example in empty.links
    page = stranger.get(example)
    answer = CALCULATIONS[name].run(EXAMPLES[name])
    assert page.code == 200
    assert answer.value is not None
    assert page.heading() == (answer.says or answer.shown).strip()
    assert "How we got this" in page.words and '<details class="working">' in page.html
    assert CALCULATIONS[name].formula in page.words
    for key in answer.source_keys():
        assert key in page.words
    typed = {f["name"]: f.get("value") for f in page.fields if f["tag"] == "input"}
    for field, text in EXAMPLES[name].items():
        assert typed.get(field, text) == text


@pytest.mark.parametrize("name", CALCULATIONS)
def test_a_fault_stands_at_its_field(stranger, name):
    """The first input that is needed, filled with what it can't be."""
    needed = [i for i in CALCULATIONS[name].inputs if i.name in EXAMPLES[name] and i.ask.dimension != "text"]
    wrong = next((i.name for i in needed if not i.ask.choices), next(iter(EXAMPLES[name])))
    page = stranger.get(f"/work-it-out/{name}", **{**EXAMPLES[name], wrong: "no such thing"})
    assert page.code == 422
    field = next(f for f in page.fields if f.get("name") == wrong)
    assert field.get("aria-invalid") == "true"
    assert field.get("value") == "no such thing" or field["tag"] == "select"


def test_they_stand_under_what_a_keeper_asks(stranger):
    page = stranger.get("/work-it-out")
    for ask, _ in QUESTIONS:
        assert ask in page.words
    assert sum(link.startswith("/work-it-out/") for link in page.links) == len(CALCULATIONS)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("put back", "redose"),
        ("litr", "volume"),
        ("chlor", "dechlorinate"),
        ("salt nitr", "salt-for-nitrite"),
    ],
)
def test_one_is_found_by_the_beginning_of_its_words(stranger, words, name):
    assert f"/work-it-out/{name}" in stranger.get("/work-it-out", words=words).links


def test_what_nothing_speaks_of_is_said(stranger):
    page = stranger.get("/work-it-out", words="phlogiston")
    assert page.heading() == "Nothing to work out by “phlogiston”"
    assert fitting(by_question(CALCULATIONS), "phlogiston") == []


def test_a_refusal_says_what_would_change_it(stranger):
    page = stranger.get("/work-it-out/copper", alkalinity="20 mg/L CaCO3", volume="54 L")
    assert page.code == 200
    assert "Would change" in page.words
