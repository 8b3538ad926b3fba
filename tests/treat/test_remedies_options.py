"""What is open, what is ruled out, and in which order; a substance in a new file shows up."""

import shutil

import pytest

from tankward.knowledge.loader import FOLDER, load
from tankward.quantities.faults import BadInput
from tankward.quantities.parse import Estimate
from tankward.treat.remedies.options import options
from tankward.treat.remedies.order import PURPOSE, purpose
from tests.judge.tanks import group, white_grains
from tests.treat.tanks import EXPERT, FACTS, case_2, lawful, water

V = Estimate.exact(54.0)


def guppies(**more):
    return (group("guppy", 6, "guppies", sex="male", length_cm=Estimate.exact(3.0), **more),)


def about(*causes, stock=None, facts=FACTS, **more):
    stock = guppies() if stock is None else stock
    given = {"volume_l": V, "water": water(stock, V), "region": "UK"} | more
    return options(causes, stock, facts, **given)


def ids(rows):
    return [r.id for r in rows]


def test_a_cause_that_is_not_known_is_refused_by_name():
    with pytest.raises(BadInput, match="whitespot"):
        options(["whitespot"], (), FACTS)


def test_every_cause_has_something_that_can_be_done():
    for cause in FACTS.causes:
        if cause != "pregnancy_normal":
            assert about(cause).open, cause


def test_every_open_remedy_has_what_a_row_needs():
    for cause in FACTS.causes:
        for option in about(cause, people=EXPERT, shelf=(lawful(),), seen=("ulcer",)).open:
            assert option.use in ("keeper", "vet")
            assert option.evidence.status in ("published-read", "computed", "common-practice", "memory")
            assert option.regimen is None or option.regimen.recommended
            assert option.substance or option.says


def test_what_is_ruled_out_stays_with_a_reason_and_a_way_out():
    for cause in FACTS.causes:
        for row in about(cause, stock=white_grains()).ruled_out:
            assert row.because
            assert row.would_change


def test_ids_are_unique():
    found = about("white_spot", "costia_trichodina", stock=white_grains())
    names = ids(found.open) + ids(found.ruled_out)
    assert len(names) == len(set(names))


def test_the_order_is_the_written_one():
    found = about("skin_flukes", "gill_flukes", shelf=(lawful(),))
    steps = [PURPOSE[purpose(o)] for o in found.open]
    assert steps == sorted(steps)
    assert purpose(found.open[-1]) == "beside"
    clears = [o for o in found.open if purpose(o) == "clears"]
    may = [
        (-len(o.also_for), ["yes", "held", "vet"].index(o.permission.may) if o.permission else 0)
        for o in clears
    ]
    assert may == sorted(may)


def test_a_vet_substance_is_explained_and_not_closed():
    option = next(o for o in about("hexamita").open if o.id == "metronidazole/feed")
    assert (option.use, option.permission.may, option.permission.amounts) == ("vet", "vet", False)


def test_a_course_closed_by_the_shrimp_is_open_in_a_tub_without_them():
    """Malachite green is lethal to shrimp; the guppies may go into a tub where nobody else meets it."""
    stock = (*guppies(), group("cherry_shrimp", 30, "cherry shrimp"))
    found = about("fungus", stock=stock, people=EXPERT)
    shut = next(r for r in found.ruled_out if r.id == "methylene_blue/long")
    assert shut.who == ("cherry shrimp",)
    assert shut.would_change == (
        "move the 30 cherry shrimp to another tank or into a tub, or choose another remedy",
    )
    tub = next(o for o in found.open if o.id == "methylene_blue/long/tub")
    assert tub.place == "tub"
    assert {v.limit.who for v in tub.bears} == {"guppies"}


def test_fish_that_cannot_bear_a_bath_are_left_out_and_said_so():
    stock = (*guppies(), group("kuhli_loach", 8, "kuhli loaches"))
    found = about("costia_trichodina", stock=stock, water=water(stock, V, ph=7.0))
    option = next(o for o in found.open if o.id == "sodium_chloride/bath")
    assert option.left_out == ("kuhli loaches",)
    said = next(r for r in option.cautions if r.kind == "left-out")
    assert said.who == ("kuhli loaches",)


def test_a_bath_asks_nobody_who_stays_in_the_tank():
    with_shrimp = (*guppies(), group("cherry_shrimp", 30, "cherry shrimp"))
    found = about("costia_trichodina", stock=with_shrimp)
    option = next(o for o in found.open if o.id == "sodium_chloride/bath")
    assert {v.limit.who for v in option.bears} == {"guppies"}


def test_heat_only_where_all_bear_it():
    """Loaches must be kept from heat; a labyrinth fish bears it."""
    gouramis = (group("dwarf_gourami", 4, "gouramis"),)
    assert "heat/ich30" in ids(about("white_spot", stock=gouramis).open)
    loaches = (*gouramis, group("kuhli_loach", 8, "kuhli loaches"))
    shut = next(r for r in about("white_spot", stock=loaches).ruled_out if r.id == "heat/ich30")
    assert shut.who == ("kuhli loaches",)


def test_one_medicine_at_a_time():
    found = about("gill_flukes", still_in={"levamisole": 2.0})
    shut = next(r for r in found.ruled_out if r.id == "praziquantel/fluke_2x")
    assert "meets-separate" in {r.kind for r in shut.reasons}
    assert any("two half changes" in text for text in shut.would_change)


def test_a_trace_of_another_medicine_stops_nothing():
    """Under a twentieth of its usual 2 to 5 mg/L levamisole counts as gone."""
    found = about("gill_flukes", still_in={"levamisole": 0.05})
    assert "praziquantel/fluke_2x" in ids(found.open)


def test_a_course_for_warm_water_is_not_for_cool():
    """Oxytetracycline in food, the label of one country: from 16.7 C up."""
    found = [about("septicaemia", seen=("ulcer",), water=water(guppies(), V, temp_c=t)) for t in (15.0, 24.0)]
    shut = next(r for r in found[0].ruled_out if r.id == "oxytetracycline/feed_cfr")
    assert [r.kind for r in shut.reasons if r.kind == "temperature"] == ["temperature"]
    assert "oxytetracycline/feed_cfr" in ids(found[1].open)


def test_a_water_cause_is_mended_by_water():
    found = about("nitrate_chronic")
    assert purpose(next(o for o in found.open if o.id == "water_only")) == "clears"
    assert purpose(next(o for o in about("white_spot").open if o.id == "water_only")) == "eases"


def test_nobody_waits_where_hours_count():
    assert "wait_and_count" not in ids(about("goldfish_herpes").open)
    assert "wait_and_count" in ids(about("hexamita").open)


def test_an_empty_tank_can_be_asked_about():
    found = about("white_spot", stock=())
    assert next(r for r in found.ruled_out if r.id == "fish_out").reasons[0].kind == "no-fish"


def test_a_substance_in_one_new_file_shows_up(tmp_path):
    """A copy of the facts with one more file: it is offered, judged and named in its limits."""
    folder = tmp_path / "facts"
    shutil.copytree(FOLDER, folder)
    text = (FOLDER / "substances" / "praziquantel.toml").read_text(encoding="utf-8")
    text = text.replace('id = "praziquantel"', 'id = "newquantel"', 1)
    names = next(line for line in text.splitlines() if line.startswith("names = "))
    text = text.replace(names, 'names = ["newquantel"]', 1)
    (folder / "substances" / "newquantel.toml").write_text(text, encoding="utf-8")
    found = about("gill_flukes", facts=load(folder))
    option = next(o for o in found.open if o.id == "newquantel/fluke_2x")
    assert option.bears[0].limit.substance == "newquantel"
    assert "newquantel/fluke_2x" not in ids(about("gill_flukes").open)


def test_a_remedy_in_one_new_file_shows_up(tmp_path):
    folder = tmp_path / "facts"
    shutil.copytree(FOLDER, folder)
    (folder / "remedies" / "cover.toml").write_text(
        'id = "cover"\nname = "cover"\nkind = "care"\ncauses = ["bullying"]\nsource = "none"\n'
        'status = "memory"\nstep = [{text = "More plants.", source = "none", status = "memory"}]\n',
        encoding="utf-8",
    )
    found = about("bullying", facts=load(folder))
    assert next(o for o in found.open if o.id == "cover").says == ("More plants.",)


def test_options_are_quick_enough_for_a_page():
    """All causes at once on the fullest tank, so that no page waits."""
    request = case_2()
    found = options(
        tuple(FACTS.causes), request.stock, FACTS, volume_l=request.volume_l, water=request.water, region="UK"
    )
    assert len(found.open) > 20
