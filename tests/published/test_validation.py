"""The page "Is the organism model true?" says what the model says today, and its rules can be failed."""

from __future__ import annotations

import msgspec
import pytest

from scripts.validation import flukes, page
from scripts.validation.settings import Model, as_it_is, made_wrong
from scripts.validation.verdict import experiments

STAGES = (
    "gyro_demography",
    "argulus_eggs",
    "ich_emergence_drift",
    "ammonia_flounder_share",
    "columnaris_by_temperature",
)


def written():
    return page.PAGE.read_text(encoding="utf-8")


def section(id_):
    """What the page says of one experiment."""
    text = written()
    begin = text.index(f"`{id_}`, {experiments()[id_]['source']}")
    return text[begin : text.find("\n### ", begin)]


def test_the_page_is_of_these_facts_and_experiments():
    assert page.stamp(page.facts_now()) in written(), "run make validate"


def test_another_fact_is_another_stamp():
    facts = page.facts_now()
    rows = [*facts.organisms["gyrodactylus"].parameter]
    rows[0] = msgspec.structs.replace(rows[0], high=rows[0].high * 1.01)
    changed = msgspec.structs.replace(facts.organisms["gyrodactylus"], parameter=rows)
    other = msgspec.structs.replace(facts, organisms={**facts.organisms, "gyrodactylus": changed})
    assert page.stamp(other) != page.stamp(facts)


def test_every_experiment_is_run_or_left_out_with_a_reason():
    assert set(page.RUNS) | set(page.NOT_RUN) == set(experiments())
    assert not set(page.RUNS) & set(page.NOT_RUN)
    assert all(f"`{id_}`" in written() for id_ in experiments())


@pytest.mark.parametrize("id_", STAGES)
def test_what_is_written_of_stages_comes_out_again(id_):
    for f in page.RUNS[id_](as_it_is()).findings:
        word = "inside" if f.inside else "**outside**"
        assert f"| {f.what} | {f.published} | {f.model} | {word}" in section(id_)


def test_what_is_written_of_single_fish_comes_out_again():
    told, wrong = (flukes.counts(model, "gyro_counts_gt3_os") for model in (as_it_is(), made_wrong()))
    for f in told.findings:
        line = next(row for row in section(told.id).splitlines() if row.startswith(f"| {f.what} |"))
        assert ("**outside**" not in line) == f.inside
    # The wrong model passes the band of 90 % by being wide; its inner half gives it away.
    assert told.counts.inside < wrong.counts.inside
    assert abs(told.counts.inner - 0.5) < 0.2 < abs(wrong.counts.inner - 0.5)


def test_a_model_that_hardly_grows_is_found_out():
    """A third of the growth: many counts lie above its band."""
    slow = Model(facts=as_it_is().facts, growth=1 / 3)
    told = flukes.counts(slow, "gyro_counts_gb_os")
    assert not told.findings[0].inside
    assert not page.RUNS["gyro_demography"](slow).findings[0].inside


def test_the_page_says_whether_the_score_can_be_failed():
    text = " ".join(written().split())
    inside = int(text.split("**")[1].split(" of ")[0])
    worse = int(text.split("no fish resists), ")[1].split(" of ")[0])
    assert ("the score falls" in text) == (worse < inside)
    assert ("the score does not fall" in text) == (worse >= inside)
