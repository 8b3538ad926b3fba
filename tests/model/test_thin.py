"""The page of judged numbers names every one of them; a sweep moves one number and no other."""

import importlib.util
from pathlib import Path

import numpy as np

from tankward.model.draws import sweeping, uniform
from tankward.model.lives.columns import shares
from tests.model.tanks import FACTS

ROOT = Path(__file__).parents[2]


def script():
    spec = importlib.util.spec_from_file_location("thin", ROOT / "scripts" / "thin.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_page_names_every_judged_number_of_every_organism():
    page = (ROOT / "docs" / "thin.md").read_text(encoding="utf-8")
    parts = {part.split("\n", 1)[0]: part for part in page.split("## ")}
    judged = script().judged
    for organism in FACTS.organisms.values():
        for labels in judged(organism).values():
            assert ", ".join(labels) in parts[organism.name]


def test_a_sweep_moves_one_number_and_no_other_and_then_ends():
    lanes = script().Lanes(["reproduction", "start"])
    with sweeping(lanes.shares):
        assert shares("reproduction", 64)[:3].tolist() == [0.05, 0.95, 0.5]
        assert shares("start", 64)[:4].tolist() == [0.5, 0.5, 0.05, 0.95]
        assert set(uniform("kla_20", 64)) == {0.5}
    assert np.unique(uniform("kla_20", 64)).size == 64
