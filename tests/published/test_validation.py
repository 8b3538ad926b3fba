"""The page "Is the organism model true?" says what the model says today, and its rules can be failed."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from scripts.validation import fluke_life, flukes, page, power, singles
from scripts.validation.settings import Model, as_it_is, made_otherwise, made_wrong
from scripts.validation.verdict import Group, experiments
from tankward.model.lives.numbers import Numbers

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
    told = flukes.counts(as_it_is(), "gyro_counts_gt3_ua")
    for f in told.findings:
        word = "inside" if f.inside else "**outside**"
        assert f"| {f.what} | {f.published} | {f.model} | {word}" in section(told.id)


GROUPS = ("gyro_counts_gt3_os", "gyro_counts_gt_os")
STRAINS = 16


@pytest.fixture(scope="module")
def judged():
    """Two groups by the model and by three made wrong, with few strains of each."""
    facts = as_it_is().facts
    models = {
        "as it is": as_it_is(),
        "a third": Model(facts=facts, growth=1 / 3),
        "no fish resists": Model(facts=facts, resists=False),
        "both": made_wrong(),
    }
    return {name: [flukes.counts(m, id_, STRAINS) for id_ in GROUPS] for name, m in models.items()}


def test_a_model_made_wrong_has_the_lower_score(judged):
    """It must fall for a growth that is wrong either way, and without resistance."""
    scores = {name: page.score(told)[0] for name, told in judged.items()}
    assert max(scores, key=scores.get) == "as it is"
    assert sorted(scores.values())[-2] < scores["as it is"]


def test_counts_lie_nearer_to_the_model_than_to_one_made_wrong(judged):
    far = {
        name: np.nanmean(np.concatenate([flukes.distance(t.group).ravel() for t in told]))
        for name, told in judged.items()
    }
    assert min(far, key=far.get) == "as it is"


def test_on_counts_of_its_own_the_model_keeps_the_rules_and_the_wrong_ones_do_not(judged):
    """So the rules can be failed, whatever was counted."""
    kept = power.kept_of_invented(judged, 6)
    most = len(flukes.as_one([t.group for t in judged["as it is"]], ranges=False))
    assert kept["as it is"] > most - 1
    assert max(mean for name, mean in kept.items() if name != "as it is") < kept["as it is"] - 1


def test_too_wide_a_spread_fails_as_too_narrow_a_one_does():
    assert flukes.right_wide(0.9, 0.5)
    for wrong in ((1.0, 0.9), (0.99, 0.5), (0.9, 0.66), (0.79, 0.5), (0.9, 0.34)):
        assert not flukes.right_wide(*wrong)


def test_a_right_spread_holds_its_share_whatever_the_ties():
    rng = np.random.default_rng(3)
    for counts in (rng.poisson(0.4, 4000), rng.poisson(60, 4000)):
        for share in (0.5, 0.9):
            assert singles.held(counts, counts, share).mean() == pytest.approx(share, abs=0.01)
    assert singles.held(np.zeros(50), np.array([3.0]), 0.9).tolist() == [0.0]


def test_the_distance_by_its_two_closed_forms():
    """Of one number: how far off it is. Of two: half as far as they lie apart, less a quarter of that."""
    one = singles.far(np.array([0.0]), np.array([np.e - 1, 0.0]))
    assert one == pytest.approx([1.0, 0.0])
    two = singles.far(np.array([0.0, np.e - 1]), np.array([0.0]))
    assert two == pytest.approx([0.25])


def test_what_became_of_a_fish():
    days = (1, 3, 5, 7, 9, 11, 13, 15, 17)
    counts = np.array(
        [
            [1, 2, 4, 8, 15, 31, 15, 7, 3],  # rises, turns, falls
            [1, 3, 7, 15, 31, 63, 127, -1, -1],  # dies at the top
            [1, 2, 4, -1, -1, -1, -1, -1, -1],  # dies before it can be judged
            [2, 1, 0, 0, 0, 0, 0, 0, 0],  # is rid of them
        ]
    )
    g = Group(id="", days=days, judged=tuple(range(1, 9)), seen=counts, others=counts, made=counts[None])
    assert singles.grown(counts, g) == pytest.approx(
        [np.log(16 / 2) / 8, np.log(32 / 2) / 8, np.nan, -np.log(3) / 8], nan_ok=True
    )
    assert singles.top(counts, g) == pytest.approx([11, 13, np.nan, 1], nan_ok=True)
    assert singles.turned(counts, g) == pytest.approx(
        [-np.log(32 / 4) / 6, np.log(128 / 64) / 2, np.nan, np.nan], nan_ok=True
    )
    assert singles.rid(8)(counts, g) == pytest.approx([0, np.nan, np.nan, 1], nan_ok=True)


def test_fish_of_one_group_have_worms_of_one_strain():
    """Groups lie further apart than their fish would by chance alone: the strain is one for all of them."""
    g = singles.group(as_it_is(), "gyro_counts_gt_os", 64)
    each = singles.grown(g.made, g)
    means, n = np.nanmean(each, axis=1), np.isfinite(each).sum(axis=1)
    alone = np.nanvar(each, axis=1).mean() / n.mean()
    assert means.var() > 2 * alone


def test_a_model_that_hardly_grows_is_found_out():
    """A third of the growth: many counts lie above its band."""
    slow = Model(facts=as_it_is().facts, growth=1 / 3)
    assert not flukes.counts(slow, "gyro_counts_gb_os", STRAINS).findings[0].inside
    assert not page.RUNS["gyro_demography"](slow).findings[0].inside


def test_growth_made_wrong_is_growth_times_that():
    """All of a worm's life is that much faster, so what it bears in all stays."""
    plain, twice = (
        fluke_life.table(Numbers(model.organism("gyrodactylus"), 64), 25.0)
        for model in (as_it_is(), Model(facts=as_it_is().facts, growth=2.0))
    )
    assert twice.young == pytest.approx(plain.young, rel=1e-6)
    assert twice.growth == pytest.approx(2.0 * plain.growth, rel=1e-6, abs=1e-9)


def test_the_page_says_whether_the_score_can_be_failed():
    text = " ".join(written().split())
    inside = int(text.split("**")[1].split(" of ")[0])
    told = text.split("findings lie inside: ")[1].split(".**")[0]
    worse = [int(one.rsplit(" ", 1)[1]) for one in told.split("; ")]
    assert len(worse) == len(made_otherwise()) - 1
    assert ("So the score falls" in text) == (max(worse) < inside)
    assert ("the score does not fall" in text) == (max(worse) >= inside)
