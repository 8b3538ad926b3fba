"""The page of judged numbers names every one of them; a sweep moves one number and no other."""

import re
from pathlib import Path

import numpy as np
import pytest

from scripts.thin import counted
from scripts.thinness import organisms, waters
from scripts.thinness.lanes import Lanes, judged
from tankward.knowledge.records.base import Drawn
from tankward.knowledge.records.substance import Loss
from tankward.model.draws import sweeping, uniform
from tankward.model.lives.columns import shares
from tests.model.tanks import FACTS

ROOT = Path(__file__).parents[2]


PAGE = (ROOT / "docs" / "thin.md").read_text(encoding="utf-8")


def parts():
    return {part.split("\n", 1)[0]: part for part in PAGE.split("## ")}


def test_the_page_names_every_judged_number_of_every_organism():
    for organism in FACTS.organisms.values():
        part = parts()[organism.name]
        for labels in organisms.numbers_of(organism).values():
            assert ", ".join(labels) in part
        for label in organisms.seen_of(organism):
            assert label in part
        for substance, route in organisms.kills_of(organism):
            assert f"{substance}: share that dies" in part or f"{substance} in its place, {route}" in part


def test_no_judged_row_of_an_organism_is_forgotten():
    for organism in FACTS.organisms.values():
        named = [label for labels in organisms.numbers_of(organism).values() for label in labels]
        named += organisms.seen_of(organism)
        for p in organism.parameter:
            if p.use and judged(p):
                assert any(label.startswith(p.name) and label.endswith(p.stage or p.sign) for label in named)
        for k in organism.kill:
            if k.use and k.status == "memory" and k.level > 0 and k.route != "tool":
                assert (k.substance, k.route) in organisms.kills_of(organism)


def test_a_number_that_counts_only_when_something_is_done_moves_there():
    moved = {m.label: m for m in waters.swept(FACTS, {"sponge": waters.tanks()["sponge"]})}
    assert (moved["filter_stood_half"].far >= 1) and "without power" in moved["filter_stood_half"].tank
    assert moved["oxygen_taken"].far > 0 and "formalin" in moved["oxygen_taken"].tank
    assert moved["mixing"].tank in ("", "sponge, formalin")


def test_the_page_names_every_judged_number_of_tanks_words_losses_and_kits():
    tank = parts()["The tank"]
    for name, row in FACTS.tank.items():
        assert (name in tank) >= judged(row)
    for words, on in ((FACTS.filter_effects, "filter"), (FACTS.oxygen_effects, "oxygen")):
        assert all(f"{on} effect: {word}" in tank for word, row in words.items() if judged(row))
    lost, kits = parts()["How fast substances go"], parts()["Kits"]
    for substance in FACTS.substances.values():
        if substance.loss and any(judged(getattr(substance.loss, part)) for part in waters.PARTS):
            assert f"| {substance.id} |" in lost
    assert all(f"| {kit.id} |" in kits for kit in FACTS.kits.values() if judged(kit.error))


def test_the_page_counts_what_was_judged():
    told = re.findall(r"\d+", PAGE[PAGE.index("**") : PAGE.index("of kits.")])
    assert [int(n) for n in told] == list(counted(FACTS).values())


def test_a_loss_is_worked_out_between_its_ends_by_hand():
    """1/100 in the dark, 9/24 of 1/1000 in light, 1/10 by the filter; carbon takes half in 2 to 8 h."""

    def hours(low, high=None, unit="h"):
        return Drawn(low=low, high=low if high is None else high, unit=unit, source="none", status="memory")

    loss = Loss(
        dark=hours(100), light=hours(1000), filter_naive=hours(10), filter_used=hours(5),
        carbon=hours(2, 8), theta=hours(1.0, unit="1"),
    )  # fmt: skip
    rest = 1 / 100 + 9 / 24 / 1000 + 1 / 10
    low, high = (float(x) for x in waters.half_left(loss, "carbon").split(" to "))
    assert [low, high] == pytest.approx([1 / (rest + 1 / 2), 1 / (rest + 1 / 8)], rel=5e-3)
    used = 1 / 100 + 9 / 24 / 1000 + 1 / 5
    assert float(waters.half_left(loss, "filter_used").split(" to ")[0]) == pytest.approx(1 / used, rel=5e-3)


def test_a_sweep_moves_one_number_and_no_other_and_then_ends():
    lanes = Lanes(["reproduction", "start"])
    with sweeping(lanes.shares):
        assert shares("reproduction", 64)[:3].tolist() == [0.05, 0.95, 0.5]
        assert shares("start", 64)[:4].tolist() == [0.5, 0.5, 0.05, 0.95]
        assert set(uniform("kla_20", 64)) == {0.5}
    assert np.unique(uniform("kla_20", 64)).size == 64
