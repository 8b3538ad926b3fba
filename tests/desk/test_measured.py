"""Measured once: spoons, hose, netfuls, buckets, salt; liquids poured."""

from datetime import UTC, datetime

import pytest

from tankward.desk.border import Border
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.entries.acts import Done
from tankward.room.entries.water import ReadingTaken
from tankward.room.replay import replay
from tests.helpers.rooms import entries_from

ROOM = """
1 March 08:00 tank T1 volume="54 L" temp=25C
1 March 08:01 stock T1 kind=cherry_barb name=barbs number=18 length=3.5cm
1 March 08:02 kit scale="0.1 g"
"""
BLUE = '1 March 08:03 supply "blue drops" unit=mL actives="methylene_blue 10 mg"\n'
BLUER = '1 March 08:04 supply "stronger blue" unit=mL actives="methylene_blue 50 mg"\n'


class Keeper:
    """Types, and sees the room after it."""

    def __init__(self, text=ROOM):
        self.entries = list(entries_from(text))

    @property
    def room(self):
        return replay(self.entries)

    def border(self):
        now = datetime(2026, 3, 20, 8, len(self.entries), tzinfo=UTC)
        return Border(room=self.room, facts=load(), now=now, entries=tuple(self.entries))

    def keep(self, written):
        self.entries += written.entries
        return written.entry

    def log(self, kind, **texts):
        return self.keep(self.border().log(kind, "T1", {k.replace("_is", ""): v for k, v in texts.items()}))


def test_ten_spoons_weighed_together_say_what_one_holds():
    keeper = Keeper()
    told = {"spoon": "teaspoon", "powder": "salt", "spoons": "10", "mass": "58 g"}
    entry = keeper.keep(keeper.border().spoon(told))
    (spoon,) = keeper.room.kit.spoons
    assert spoon.grams == {"sodium_chloride": pytest.approx(5.8)}
    assert 0.04 < spoon.off["sodium_chloride"] < 0.06
    keeper.keep(keeper.border().undo(entry.id))
    assert keeper.room.kit.spoons == ()


def test_a_spoon_weighed_with_a_second_powder_keeps_the_first():
    keeper = Keeper()
    for powder, mass in (("salt", "58 g"), ("praziquantel", "21 g")):
        told = {"spoon": "Teaspoon", "powder": powder, "spoons": "10", "mass": mass, "volume": "5 mL"}
        keeper.keep(keeper.border().spoon(told))
    (spoon,) = keeper.room.kit.spoons
    assert set(spoon.grams) == {"sodium_chloride", "praziquantel"}
    assert spoon.volume_ml == pytest.approx(5)


def test_the_hose_is_a_bucket_and_a_time():
    keeper = Keeper()
    keeper.keep(keeper.border().hose({"volume": "10 L", "time": "75 s"}))
    flow = keeper.room.kit.hose_l_per_min
    assert flow.value == pytest.approx(8.0)
    assert flow.low < 7.7 and flow.high > 8.3


def test_a_netful_narrows_what_one_weighs():
    keeper = Keeper()
    keeper.log("netful", stock="barbs", number="10", mass="9.4 g")
    group = next(iter(keeper.room.stock.values()))
    assert group.mass_g.value == pytest.approx(0.94)
    assert 0.75 < group.mass_g.low < 0.93 < 0.95 < group.mass_g.high < 1.15
    with pytest.raises(BadInput, match="more than live there"):
        keeper.log("netful", stock="barbs", number="40", mass="9.4 g")


def test_counted_buckets_are_the_volume_and_say_how_they_were_counted():
    keeper = Keeper()
    entry = keeper.log("volume", buckets="4.5", bucket="10L", rest="2 L")
    assert (entry.how, entry.measured) == ("buckets", "4.5 buckets of 10 L and 2 L")
    water = keeper.room.tanks["t1"].volume_l
    assert water.value == pytest.approx(47)
    assert 44 < water.low < 45 and 49 < water.high < 50


def test_the_salt_tracer_is_the_calculation_of_that_name():
    keeper = Keeper()
    entry = keeper.log(
        "volume", salt="3 g", before="400 uS/cm", after="500 uS/cm", **{"jar-salt": "0.1 g"},
        **{"jar-volume": "1 L", "jar-before": "400 uS/cm", "jar-after": "580 uS/cm"},
    )  # fmt: skip
    assert entry.how == "salt"
    assert entry.volume_l.value == pytest.approx(3 / 0.1 * 180 / 100)


@pytest.mark.parametrize(
    ("texts", "field"),
    [({"buckets": "4"}, "bucket"), ({"buckets": "many", "bucket": "10L"}, "buckets"),
     ({"salt": "3 g", "before": "500 uS/cm", "after": "400 uS/cm"}, "after"),
     ({"buckets": "0", "bucket": "10L"}, "buckets")],
)  # fmt: skip
def test_what_cannot_be_is_refused_by_its_field(texts, field):
    with pytest.raises(BadInput) as fault:
        Keeper().log("volume", **texts)
    assert fault.value.field == field


def test_a_reading_carries_the_kit_that_is_owned():
    keeper = Keeper()
    assert keeper.log("reading", ph="7.4").values[0].kit == ""
    keeper.keep(keeper.border().kit({"tests": "ph drops; strips"}))
    entry = keeper.log(
        "reading", ph="7.4", ammonia="0.25 mg/L as N", nitrite="0.5 mg/L as N by nitrite drops"
    )
    assert isinstance(entry, ReadingTaken)
    assert {r.quantity: r.kit for r in entry.values} == {
        "ph": "strips", "ammonia_n": "", "nitrite_n": "nitrite_drops",
    }  # fmt: skip


def active(entry, substance):
    assert isinstance(entry, Done)
    return entry.act.actives[substance]


def test_a_liquid_with_its_strength_is_a_dose():
    keeper = Keeper()
    assert active(keeper.log("dose", methylene_blue="2 mL of 10 mg/mL"), "methylene_blue") == pytest.approx(
        20
    )
    poured = keeper.log("dose", formalin="1 mL of 37 %")
    assert active(poured, "formalin") == pytest.approx(1000)  # uL of the 37 % solution
    assert poured.act.measured == "1 mL of 37 %"


def test_the_one_bottle_that_holds_it_is_meant():
    entry = Keeper(ROOM + BLUE).log("dose", methylene_blue="2 mL")
    assert active(entry, "methylene_blue") == pytest.approx(20)
    assert (entry.act.supply, entry.act.units) == ("blue-drops", 2)


@pytest.mark.parametrize(
    ("shelf", "texts", "says"),
    [("", {"formalin": "1mL"}, "does not say how strong"),
     ("", {"formalin": "400mg"}, "of what it is the weight"),
     ("", {"formalin": "1 mL of 10 %"}, "two things"),
     ("", {"methylene_blue": "2 mL of 1 %"}, "two things"),
     (BLUE + BLUER, {"methylene_blue": "2 mL"}, "several bottles")],
)  # fmt: skip
def test_what_is_ambiguous_asks_for_the_strength(shelf, texts, says):
    with pytest.raises(BadInput, match=says):
        Keeper(ROOM + shelf).log("dose", **texts)
