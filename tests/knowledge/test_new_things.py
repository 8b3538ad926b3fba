"""A new thing is one new file and no code: each is written into a copy, loaded and found."""

import shutil

import pytest

from tankward.knowledge.find import find_animal, find_cause, find_sign, find_substance
from tankward.knowledge.loader import FOLDER, load
from tankward.knowledge.tell import tell

SUBSTANCE = """
id = "moonwort"
names = ["moonwort extract"]
cas = []
class = "invented"
kind = "botanical"
use = "keeper"
use_note = "invented for a test"
care = "plain"
dose_as = "moonwort extract"
targets = ["skin flukes"]
not_for = []
identity_status = "memory"

human = {hazard = "none known", source = "none", status = "memory"}
disposal = {text = "drain", source = "none", status = "memory"}

effect = [
    {on = "filter", level = "unknown", text = "invented", source = "none", status = "memory"},
    {on = "plants", level = "unknown", text = "invented", source = "none", status = "memory"},
    {on = "shrimp", level = "unknown", text = "invented", source = "none", status = "memory"},
    {on = "snails", level = "unknown", text = "invented", source = "none", status = "memory"},
    {on = "oxygen", level = "none", text = "invented", source = "none", status = "memory"},
]

[[regimen]]
id = "bath"
route = "water_bath"
target = "skin flukes"
treats = ["skin_flukes"]
low = 5
high = 7
unit = "mg/L"
recommended = true
source = "INVENTED26"
where = "page 1"
status = "published-read"

[sources.INVENTED26]
title = "invented for a test"
read = "nothing"
"""

SIGN = """
id = "blue_nose"
group = "mouth"
zone = "mouth"
plain = "nose turns blue"
look = "from the front"
normal = "never"
p_background = [0.001, 0.01]
source = "none"
status = "memory"

[[word]]
plain = "blue nose"
say = ["blue-nosed", "inky snout"]
kind = "shape"
means = "the snout is blue"
source = "none"
status = "memory"
"""

ANIMAL = """
id = "moon_barb"
common = "moon barb"
names = ["silver moonfish"]
scientific = "Inventus lunaris"
group = "barb"
host_tags = ["barb_danio", "barb"]
kind = "fish"
body_shape = "fusiform"
scaleless = false
treat_as_sensitive = false
eats_fry = "yes"
air_breather = false
diet = "omnivore"
stages = ["egg", "fry", "adult"]
source = "none"
status = "memory"

[[fact]]
quantity = "temperature"
low = 22
high = 26
unit = "C"
source = "none"
status = "memory"
"""


def organism_like_white_spot(name):
    text = (FOLDER / "organisms/ichthyophthirius.toml").read_text(encoding="utf-8")
    text = text.replace('id = "ichthyophthirius"', f'id = "{name}"', 1)
    return text.replace('common = ["white spot", "ich"]', 'common = ["moon spot"]', 1)


CAUSE = (
    (FOLDER / "causes/white_spot.toml")
    .read_text(encoding="utf-8")
    .replace('id = "white_spot"', 'id = "moon_spot"', 1)
    .replace('name = "white spot"', 'name = "moon spot"', 1)
    .replace('names = ["ich", "white spot disease"]', 'names = ["lunar disease"]', 1)
    .replace('organisms = ["ichthyophthirius"]', 'organisms = ["lunaria"]', 1)
)

FEED = """
id = "moon_flakes"
name = "moon flakes"
moisture_low = 5
moisture_high = 8
protein_low = 40
protein_high = 50
unit = "%"
source = "none"
status = "memory"
"""

RULE = """
[[quarantine]]
id = "moon_rule"
low = 60
unit = "d"
statement = "invented for a test"
source = "none"
status = "memory"
"""


@pytest.fixture(scope="module")
def more(tmp_path_factory):
    folder = tmp_path_factory.mktemp("more") / "facts"
    shutil.copytree(FOLDER, folder)
    new = {
        "substances/moonwort": SUBSTANCE,
        "signs/blue_nose": SIGN,
        "animals/moon_barb": ANIMAL,
        "organisms/lunaria": organism_like_white_spot("lunaria"),
        "causes/moon_spot": CAUSE,
        "feeds/moon_flakes": FEED,
        "hygiene/moon": RULE,
    }
    for name, text in new.items():
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return load(folder)


def test_a_substance_and_its_source(more):
    assert find_substance(more, "Moonwort extracts") == "moonwort"
    assert more.source("INVENTED26").title == "invented for a test"
    assert {more.sensitivity(group, "moonwort").cls for group in more.groups} == {"unknown"}
    assert tell(more, "moonwort")[0].sources.keys() == {"INVENTED26"}


def test_a_sign_and_its_words(more):
    assert find_sign(more, "blue nosed") == find_sign(more, "inky snouts") == "blue_nose"


def test_an_animal(more):
    assert find_animal(more, "12 silver moonfish") == "moon_barb"
    assert more.sensitivity(more.animals["moon_barb"].group, "copper").cls == "caution"


def test_an_organism_and_its_cause(more):
    assert more.causes[find_cause(more, "lunar disease")].organisms == ("lunaria",)
    assert len(more.organisms["lunaria"].parameter) == len(more.organisms["ichthyophthirius"].parameter)


def test_a_feed_and_a_hygiene_rule(more, facts):
    assert more.feeds["moon_flakes"].protein_high == 50
    assert len(more.hygiene.quarantine) == len(facts.hygiene.quarantine) + 1


def test_the_digest_tells_them_apart(more, facts):
    assert more.digest != facts.digest
