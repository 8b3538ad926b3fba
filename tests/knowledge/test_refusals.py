"""The load refuses, with the file, the table, the row and the field in one sentence."""

import shutil

import msgspec
import pytest

from tankward.knowledge import needs
from tankward.knowledge.documents import FactFault
from tankward.knowledge.loader import FOLDER, all_faults, load
from tests.knowledge.planting import first_fault, with_slip

PRAZIQUANTEL, WHITE_SPOT = "substances/praziquantel.toml", "organisms/ichthyophthirius.toml"
GUPPY, CAUSE, SIGN = "animals/guppy.toml", "causes/white_spot.toml", "signs/pinecone.toml"

JUDGED = 'source = "none", status = "memory"},\n'

SLIPS = [
    pytest.param(
        PRAZIQUANTEL,
        'conditions = "water, room temperature; disperse finely or pre-dissolve"\nsource = "none"\n',
        'conditions = "water"\n',
        "solubility row 1: object missing required field `source`",
        id="a number without a source",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'source = "none"\nstatus = "memory"\n',
        'source = "none"\n',
        "object missing required field `status`",
        id="a number without a status",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'status = "memory"\n\n[[stability]]',
        'status = "certain"\n\n[[stability]]',
        "solubility row 1, status: invalid enum value 'certain'",
        id="an unknown status",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'unit = "g/L"',
        'unit = "g/pint"',
        'solubility row 1, unit: "g/pint" is no unit of the facts',
        id="an unknown unit",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'value = 0.4\nunit = "g/L"\n',
        "value = 0.4\n",
        "solubility row 1, unit: value is a number without a unit",
        id="a number without a unit",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'source = "THOMAS16"\nwhere = "abstract"',
        'source = "THOMAS61"\nwhere = "abstract"',
        'stability row 1, source: "THOMAS61" is no key of the sources',
        id="a source that is none",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'source = "THOMAS16"\nwhere = "abstract"',
        'source = "none"\nwhere = "abstract"',
        "stability row 1, status: published-read needs a source",
        id="read, but nowhere",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'treats = ["skin_flukes", "gill_flukes"]',
        'treats = ["skin_fluke", "gill_flukes"]',
        'regimen row 1, treats: "skin_fluke" is no cause',
        id="a cause that is none",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'treats = ["skin_flukes", "gill_flukes"]',
        "treats = []",
        "regimen row 1: says neither what it treats nor its purpose",
        id="a regimen for nothing",
    ),
    pytest.param(
        PRAZIQUANTEL,
        "low = 2\nhigh = 3",
        "low = 4\nhigh = 3",
        "regimen row 1, low: 4 lies above high 3",
        id="low above high",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'route = "water_long"',
        'route = "water_forever"',
        "regimen row 1, route: invalid enum value 'water_forever'",
        id="an unknown route",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'use = "keeper"',
        'use = "historic"',
        "regimen row 1: recommended although use is historic",
        id="recommended though not proposed",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'names = ["praziquantel"]',
        'nmaes = ["praziquantel"]',
        "unknown field `nmaes`",
        id="a typo",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'id = "praziquantel"',
        'id = "prazi"',
        "id: must be the name of the file",
        id="an id that is not the file's",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'id = "fluke_2x"',
        'id = "fluke_long"',
        'regimen row 2: "fluke_long" stands twice',
        id="an id twice",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'group = "shrimp_dwarf"',
        'group = "shrimp_tiny"',
        '"shrimp_tiny" is no group',
        id="a group that is none",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'applies_to = ["zebra_danio"]',
        'applies_to = ["zebra_danios"]',
        '"zebra_danios" is no animal, plant, bacterium or group',
        id="an animal that is none",
    ),
    pytest.param(
        "substances/metronidazole_praziquantel.toml",
        'parts = ["metronidazole", "praziquantel"]',
        'parts = ["metronidazole", "prazi"]',
        'parts: "prazi" is no substance',
        id="a part that is none",
    ),
    pytest.param(
        "substances/metronidazole.toml",
        "warn_above = 7",
        "warn_above = 70",
        "ceiling row 1, warn_above: must lie above zero and below refuse_above",
        id="a ceiling upside down",
    ),
    pytest.param(
        WHITE_SPOT,
        'name = "attach"',
        'name = "atach"',
        "needs attach of stage theront",
        id="a parameter missing",
    ),
    pytest.param(
        WHITE_SPOT,
        'structure = "free_stage_cycle"',
        'structure = "free_cycle"',
        'structure: "free_cycle" is no kind of life',
        id="a kind of life that is none",
    ),
    pytest.param(
        WHITE_SPOT,
        'id = "protomont", place = "water", rows = 2',
        'id = "protomont", place = "water", rows = 40',
        "stage: has more than 40 sub-stages",
        id="too many rows of state",
    ),
    pytest.param(
        WHITE_SPOT,
        'substance = "sodium_chloride"',
        'substance = "salt"',
        '"salt" is no substance',
        id="a substance that is none",
    ),
    pytest.param(
        WHITE_SPOT,
        'next = "tomont"',
        'next = "tomant"',
        'next: "tomant" is no stage',
        id="a stage that is none",
    ),
    pytest.param(
        WHITE_SPOT,
        'regimen = "sodium_chloride/ich"',
        'regimen = "sodium_chloride/itch"',
        'usual, regimen: "itch" is no regimen of sodium_chloride',
        id="a regimen that is none",
    ),
    pytest.param(
        CAUSE, 'id = "flashing"', 'id = "flashes"', 'sign: "flashes" is no sign', id="a sign that is none"
    ),
    pytest.param(
        CAUSE, 'id = "temp_fall"', 'id = "cold_snap"', 'context: "cold_snap" is no context', id="a context"
    ),
    pytest.param(
        CAUSE,
        'organisms = ["ichthyophthirius"]',
        'organisms = ["ich"]',
        'organisms: "ich" is no organism',
        id="an organism that is none",
    ),
    pytest.param(
        CAUSE,
        'id = "white_spots", low = 0.75, high = 0.97',
        'id = "white_spots", low = 0.75, high = 1.97',
        "sign row 1: a chance lies between 0 and 1",
        id="a chance above one",
    ),
    pytest.param(
        GUPPY,
        'group = "livebearer"',
        'group = "livebearers"',
        '"livebearers" is no group',
        id="its group is none",
    ),
    pytest.param(
        GUPPY,
        'host_tags = ["livebearer", "guppy"]',
        'host_tags = ["livebearer", "gupy"]',
        'host_tags: "gupy" is no kind of host',
        id="a host that is none",
    ),
    pytest.param(
        SIGN, 'zone = "belly"', 'zone = "wing"', "zone: invalid enum value 'wing'", id="a place on no fish"
    ),
    pytest.param(SIGN, "[[word]]", "[word", "is not TOML", id="not TOML"),
    pytest.param(
        PRAZIQUANTEL,
        'source = "THOMAS16"\nwhere = "abstract"',
        'source = ""\nwhere = "abstract"',
        'stability row 1, source: is empty (write source = "none")',
        id="an empty source",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'on = "oxygen"',
        'on = "eggs"',
        'effect: has no row on oxygen (write level = "unknown")',
        id="no word on oxygen",
    ),
    pytest.param(
        PRAZIQUANTEL,
        'care = "careful"',
        'care = "careful"\nnever_with_animals = true',
        "regimen row 1: recommended with animals although never_with_animals",
        id="never with animals, yet recommended",
    ),
    pytest.param(
        WHITE_SPOT,
        "exposure_h = 1, share_low = 0.26, share_high = 0.99",
        "exposure_h = 0, share_low = 0.26, share_high = 0.99",
        "exposure_h: exposure must be above zero and shares between 0 and 1",
        id="no time to kill in",
    ),
    pytest.param(
        WHITE_SPOT,
        'into = "theront"',
        'into = "swarm"',
        'births: "swarm" is no stage',
        id="born into no stage",
    ),
    pytest.param(
        WHITE_SPOT,
        'corpse_to = "protomont"\n',
        "",
        "corpse_to: is needed: what leaves a dead fish",
        id="no corpse",
    ),
    pytest.param(
        WHITE_SPOT,
        'corpse_to = "protomont"',
        'corpse_to = "promont"',
        'corpse_to: "promont" is no stage',
        id="a corpse that sheds no stage",
    ),
    pytest.param(
        WHITE_SPOT,
        'regimen = "sodium_chloride/ich", substance = "sodium_chloride"',
        'regimen = "sodium_chloride/ich", substance = "tannins"',
        "usual: no kill row for tannins",
        id="the usual treatment kills nothing",
    ),
    pytest.param(
        WHITE_SPOT,
        "parameter = [\n",
        'parameter = [\n    {name = "q10", low = 1, high = 3, unit = "1", ' + JUDGED,
        "q10 stands twice (mark one with use = false)",
        id="a parameter twice",
    ),
    pytest.param(
        WHITE_SPOT,
        "parameter = [\n",
        'parameter = [\n    {name = "q10", temp_c = 9, low = 1, high = 3, unit = "1", ' + JUDGED,
        "q10 stands with and without temperature",
        id="with and without temperature",
    ),
    pytest.param(
        WHITE_SPOT,
        "parameter = [\n",
        'parameter = [\n    {name = "extra", low = 1, high = 2, unit = "d", ' + JUDGED,
        "parameter row 1: extra is elicited, but narrower than a factor 3",
        id="judged too narrowly",
    ),
    pytest.param(
        "interactions/pairs.toml",
        'a = "formalin"',
        'a = "formaline"',
        'pair row 1, a: "formaline" is no substance',
        id="an interaction with nothing",
    ),
]


@pytest.mark.parametrize(("name", "old", "new", "sentence"), SLIPS)
def test_a_slip_stops_the_load(documents, tmp_path, name, old, new, sentence):
    said = first_fault(documents, tmp_path, name, with_slip(name, old, new))
    assert said.startswith(f"{name}: ")
    assert sentence in said
    assert "\n" not in said


def test_a_name_that_means_two_things_stops_the_load(documents, tmp_path):
    text = with_slip(PRAZIQUANTEL, 'names = ["praziquantel"]', 'names = ["praziquantel", "Epsom salts"]')
    said = first_fault(documents, tmp_path, PRAZIQUANTEL, text)
    assert said.endswith(f'names: "epsom salt" is also a name of {PRAZIQUANTEL}')


def test_two_sources_under_one_key_stop_the_load(documents, tmp_path):
    text = '[sources.THOMAS16]\ntitle = "another text"\nread = "abstract"\n'
    said = first_fault(documents, tmp_path, "sources/more.toml", text)
    assert "sources.THOMAS16: stands in another file with other content" in said


def test_a_source_may_come_with_the_file_that_needs_it(documents, tmp_path):
    text = with_slip(PRAZIQUANTEL, 'source = "THOMAS16"', 'source = "INVENTED26"')
    assert "INVENTED26" in first_fault(documents, tmp_path, PRAZIQUANTEL, text)
    own = text + '\n[sources.INVENTED26]\ntitle = "invented for this test"\nread = "nothing"\n'
    assert first_fault(documents, tmp_path, PRAZIQUANTEL, own) == ""


def test_every_parameter_that_is_needed_is_missed(documents, facts):
    """Each needed parameter taken away in turn: refused every time."""
    taken = 0
    for organism in facts.organisms.values():
        structure = facts.structures[organism.structure]
        for name, stage in set(needs.wanted(organism, structure, facts.tables.needs)):
            left = tuple(p for p in organism.parameter if p.name != name or (stage and p.stage != stage))
            poorer = msgspec.structs.replace(organism, parameter=left)
            assert any(name in wrong for _, wrong in needs.faults(poorer, facts)), (organism.id, name, stage)
            taken += 1
    assert taken > 500


def test_the_products_own_facts_have_no_fault():
    assert [str(fault) for fault in all_faults()] == []


def test_load_refuses_a_folder_with_a_slip(tmp_path):
    folder = tmp_path / "facts"
    shutil.copytree(FOLDER, folder)
    slip = folder / CAUSE
    slip.write_text(with_slip(CAUSE, 'id = "flashing"', 'id = "flashes"'), encoding="utf-8")
    with pytest.raises(FactFault, match=r'causes/white_spot.toml: sign: "flashes" is no sign'):
        load(folder)
    assert [str(f) for f in all_faults(folder)] == ['causes/white_spot.toml: sign: "flashes" is no sign']


def test_load_refuses_a_folder_without_facts(tmp_path):
    with pytest.raises(FactFault, match="holds no facts"):
        load(tmp_path)
    assert [fault.wrong for fault in all_faults(tmp_path)] == ["holds no facts"]
