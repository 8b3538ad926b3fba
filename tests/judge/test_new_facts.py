"""One new file each adds an animal, a sign and a cause: limits and causes know them without a line
of code.
"""

import shutil

import pytest

from tankward.judge.causes import causes
from tankward.judge.limits import limits
from tankward.judge.network_of import network_of
from tankward.judge.told import evidence_of
from tankward.knowledge.loader import FOLDER, load
from tests.judge.tanks import group

BARB = FOLDER / "animals" / "cherry_barb.toml"
VELVET = FOLDER / "causes" / "velvet.toml"
SILVER_DUST = """
id = "silver_dust"
group = "skin"
zone = "body"
plain = "silver dust on the back"
look = "torch in the dark"
normal = "none"
p_background = [0.001, 0.005]
source = "none"
status = "memory"
"""


@pytest.fixture(scope="module")
def facts(tmp_path_factory):
    """The facts with a striped barb, silver dust and a disease that shows it, all invented."""
    folder = tmp_path_factory.mktemp("facts") / "facts"
    shutil.copytree(FOLDER, folder)
    barb = (("cherry_barb", "striped_barb"), ("cherry barb", "striped barb"), ("titteya", "fictus"))
    write(folder / "animals" / "striped_barb.toml", BARB, barb)
    (folder / "signs" / "silver_dust.toml").write_text(SILVER_DUST)
    disease = (
        ('id = "velvet"', 'id = "silver_dust_disease"'),
        ('name = "velvet', 'name = "silver velvet'),
        ("gold dust disease", "silver dust disease"),
        ("gold_dust", "silver_dust"),
    )
    write(folder / "causes" / "silver_dust_disease.toml", VELVET, disease)
    return load(folder)


def write(path, like, changes):
    text = like.read_text()
    for old, new in changes:
        assert old in text, (like.name, old)
        text = text.replace(old, new)
    path.write_text(text)


def test_a_new_animal_has_its_limits(facts):
    found = limits("copper", [group("striped_barb", 6)], facts)
    assert found[0].group == "barb"
    assert found[0].level is not None


def test_a_new_sign_points_at_the_new_cause(facts):
    net = network_of(facts)
    found = causes(evidence_of(["silver_dust"], [], facts), net)
    assert "silver_dust_disease" in {r.id for r in found.ranked[:3]}
    assert found.of("silver_dust_disease").speaks_for[0].what == "silver_dust"


def test_the_other_causes_keep_their_columns(facts):
    assert network_of(load()).cause("white_spot") == network_of(facts).cause("white_spot")
