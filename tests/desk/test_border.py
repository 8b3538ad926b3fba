"""The border: what a keeper types becomes entries, or one sentence a fault and nothing written."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.desk.border import Border
from tankward.desk.desk import Desk
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, BadInputs
from tankward.quantities.parse import Estimate
from tankward.room.acts import Change, Dose
from tankward.room.things import Active, LabelRule

NOW = datetime(2026, 5, 14, 16, tzinfo=UTC)
TANK = {
    "name": "T7", "size": "60x30x36cm", "glass": "6mm", "fill": "31cm", "substrate": "4cm",
    "grain": "1-2 mm", "solids": "2L", "filter": "sponge", "temp": "25C",
}  # fmt: skip
SACHET = {
    "name": "two-part",
    "actives": "metronidazole 200 mg; praziquantel 90 mg",
    "rule": "1 sachet per 40 L",
}


class Keeper:
    """Types into a room of their own."""

    def __init__(self, folder):
        self.desk = Desk.open(folder)
        self.now = NOW

    def types(self, what, *args):
        written = getattr(Border.of(self.desk, load(), self.now, "Europe/Berlin"), what)(*args)
        self.desk.append(*written.entries)
        return written

    @property
    def room(self):
        return self.desk.room()


@pytest.fixture
def keeper(tmp_path):
    made = Keeper(tmp_path / "room")
    made.types("tank", TANK)
    made.types("tank", {"name": "T9", "volume": "12 L"})
    made.types("stock", "T7", {"kind": "18 cherry barbs", "length": "3.5cm"})
    made.types("stock", "t7", {"kind": "cherry shrimp", "number": "about 30"})
    made.types("supply", SACHET)
    yield made
    made.desk.close()


def test_a_tank_with_its_sizes(keeper):
    tank = keeper.room.tanks["t7"]
    assert (tank.length_cm, tank.width_cm, tank.height_cm, tank.glass_mm, tank.fill_cm) == (60, 30, 36, 6, 31)


def test_animals_are_found_by_plain_words(keeper):
    barbs, shrimp = keeper.room.stock_of("t7")
    assert (barbs.kind, barbs.number, barbs.name) == ("cherry_barb", Estimate.exact(18), "cherry barbs")
    assert (shrimp.kind, shrimp.number) == ("cherry_shrimp", Estimate(30, 25.5, 34.5))


def test_an_unknown_animal_is_kept_when_the_keeper_says_so(keeper):
    keeper.types("stock", "T7", {"kind": "unknown", "name": "odd ones", "number": "3"})
    assert keeper.room.stock["t7-odd-ones"].kind == ""


def test_a_second_group_of_one_kind_gets_its_own_id(keeper):
    keeper.types("stock", "T7", {"kind": "cherry_shrimp", "name": "cherry shrimp", "number": "2"})
    assert {"t7-cherry-shrimp", "t7-cherry-shrimp-2"} <= set(keeper.room.stock)


def test_a_packet_as_its_label_says(keeper):
    packet = keeper.room.shelf["two-part"]
    assert packet.unit == "sachet"
    assert packet.actives == (
        Active(substance="metronidazole", mg=200), Active(substance="praziquantel", mg=90),
    )  # fmt: skip
    assert packet.rule == LabelRule(units=1, per_volume_l=40)


def test_a_bottle_is_counted_in_ml(keeper):
    rule = "5 mL per 10 US gal"
    keeper.types(
        "supply", {"name": "bottle", "praziquantel": "20 mg/mL", "rule": rule, "held-lawfully": "yes"}
    )
    bottle = keeper.room.shelf["bottle"]
    assert (bottle.unit, bottle.actives) == ("mL", (Active(substance="praziquantel", mg=20),))
    assert bottle.rule.units == 5
    assert bottle.rule.per_volume_l == pytest.approx(37.854, abs=1e-3)
    assert bottle.held_since == "2026-05-14"


def test_a_powder_by_per_cent(keeper):
    keeper.types("supply", {"name": "jar", "unit": "g", "praziquantel": "50 %"})
    assert keeper.room.shelf["jar"].actives == (Active(substance="praziquantel", mg=500),)


def test_a_label_without_names_is_kept_and_has_no_actives(keeper):
    keeper.types("supply", {"name": "secret", "actives": "dont-know", "rule": "2 drops per 10 L"})
    assert keeper.room.shelf["secret"].actives == ()
    assert keeper.room.shelf["secret"].unit == "drop"


def test_the_kit_keeps_what_is_not_named(keeper):
    keeper.types("kit", {"scale": "0.1g", "syringes": "1/5/20 mL"})
    keeper.types("kit", {"region": "UK", "gallon": "imp"})
    kit = keeper.room.kit
    assert (kit.scale_g, kit.syringes_ml, kit.region, kit.taste.gallon) == (0.1, (1, 5, 20), "UK", "imp")
    keeper.types("tank", {"name": "T3", "volume": "10 gal"})
    assert keeper.room.tanks["t3"].volume_l.value == pytest.approx(45.46, abs=0.01)


def test_a_dose_by_the_packet_is_a_dose_of_its_actives(keeper):
    keeper.types(
        "log", "dose", "T7", {"supply": "two-part", "amount": "2 sachets", "when": "yesterday evening"}
    )
    ((at, act),) = keeper.room.acts("t7")
    assert act == Dose(actives={"metronidazole": 400, "praziquantel": 180}, supply="two-part", units=2)
    assert at == datetime(2026, 5, 13, 17, tzinfo=UTC)


def test_what_was_taken_for_evening_is_told_and_marked(keeper):
    written = keeper.types("log", "change", "T7", {"share": "50%", "when": "yesterday evening"})
    assert written.says == ("yesterday evening is taken as 13 May 19:00",)
    assert written.entry.sure == "about"
    assert written.entry.zone == "Europe/Berlin"


def test_a_dose_nobody_knows_the_size_of_is_kept(keeper):
    keeper.types("log", "dose", "T7", {"supply": "two-part", "units": "dont-know", "note": "a pinch"})
    ((_, act),) = keeper.room.acts("t7")
    assert (act.actives, act.units) == ({}, None)


def test_a_look_by_plain_words(keeper):
    written = keeper.types("log", "look", "T7", {"seen": "pine cone; white_spots", "not-seen": "flashing"})
    assert written.entry.seen == ("pinecone", "white_spots")
    assert written.entry.absent == ("flashing",)


def test_the_past_in_a_keepers_words(keeper):
    said = "new fish 10 days ago; filter cleaned yesterday; new plants"
    written = keeper.types("log", "look", "T7", {"well": "no", "history": said})
    assert written.entry.history == {"arrival": 10, "filter_upset": 1, "arrival:plants": None}


def test_a_correction_keeps_what_it_does_not_name(keeper):
    first = keeper.types(
        "log", "dose", "T7", {"praziquantel": "108mg", "note": "rough", "when": "2 hours ago"}
    )
    keeper.types("correct", first.entry.id, {"praziquantel": "54mg"})
    ((at, act),) = keeper.room.acts("t7")
    assert (act.actives, at) == ({"praziquantel": 54}, NOW - timedelta(hours=2))
    assert [e.note for e in keeper.room.log if e.note] == ["rough"]


def test_one_reading_of_several_is_corrected(keeper):
    first = keeper.types("log", "reading", "T7", {"ph": "7.4", "ammonia": "0.5 mg/L as N"})
    keeper.types("correct", first.entry.id, {"ph": "7.9"})
    (reading,) = keeper.room.readings("t7")
    assert {r.quantity: r.value for r in reading.values} == {"ph": 7.9, "ammonia_n": 0.5}


def test_an_undo_and_its_undo(keeper):
    change = keeper.types("log", "change", "T7", {"share": "50%"})
    undone = keeper.types("undo", change.entry.id)
    assert keeper.room.acts("t7") == []
    keeper.types("undo", undone.entry.id)
    assert [type(act) for _, act in keeper.room.acts("t7")] == [Change]


def test_a_tank_is_described_anew_in_one_field(keeper):
    keeper.types("tank_changed", "T7", {"fill": "28cm", "name": "T7 left"})
    tank = keeper.room.tanks["t7"]
    assert (tank.fill_cm, tank.length_cm, tank.name) == (28, 60, "T7 left")


def test_a_measured_volume_does_not_outlive_the_size_it_was_measured_at(keeper):
    keeper.types("log", "volume", "T7", {"volume": "45 L"})
    keeper.types("tank_changed", "T7", {"temp": "26C"})
    assert keeper.room.tanks["t7"].volume_l.value == 45
    keeper.types("tank_changed", "T7", {"fill": "28cm"})
    assert keeper.room.tanks["t7"].volume_l is None


def test_a_new_tank_never_takes_up_an_old_logbook(keeper):
    keeper.types("log", "tank_closed", "T9", {})
    keeper.types("tank", {"name": "T9", "volume": "20 L"})
    assert set(keeper.room.tanks) == {"t7", "t9-2"}


def test_nobody_logs_finer_than_a_second(keeper):
    keeper.now = NOW.replace(microsecond=345_678)
    written = keeper.types("log", "change", "T7", {"share": "50%"})
    assert written.entry.at == NOW
    assert keeper.types("undo", written.entry.id).entry.at == NOW


def test_a_name_without_latin_letters_has_an_id(keeper):
    keeper.types("tank", {"name": "水槽", "volume": "20 L"})
    assert next(t for t in keeper.room.tanks.values() if t.name == "水槽").id


def test_several_faults_are_told_together(keeper):
    with pytest.raises(BadInputs) as told:
        keeper.types("tank", {"volume": "0 L", "temp": "300C", "colour": "red", "when": "someday"})
    assert {f.field for f in told.value.faults} == {"when", "name", "temp", "volume", "colour"}


REFUSED = [
    (("tank", {"name": "T7", "volume": "54 L"}), 'name: "T7" is the name of a tank already'),
    (("tank", {"name": " t7", "volume": "54 L"}), "is the name of a tank already"),
    (("tank", {"name": "A", "volume": "0 L"}), 'volume: "0 L" can\'t be right: it must be more than 0 L.'),
    (("tank", {"name": "A", "volume": "54"}), "has no unit"),
    (("tank", {"name": "A", "volume": "10 gal"}), "US gal or imp gal"),
    (("tank", {"name": "A", "volume": "10 furlongs"}), "not known here"),
    (("tank", {"name": "A", "volume": "9" * 5000 + " L"}), "more than 40 digits"),
    (("tank", {"name": "A", "volume": "9" * 39 + " L"}), "between 0 and 10000 L"),
    (("supply", {"name": "A", "unit": "g", "copper": "9" * 5000 + "mg"}), "more than 40 digits"),
    (("log", "dose", "T7", {"supply": "two-part", "units": "9" * 5000}), "more than 40 digits"),
    (("tank", {"name": "<b>A</b>", "volume": "10 L"}), "can't hold < or >"),
    (("tank", {"name": "A", "size": "60x30x36cm"}), "how high is the water"),
    (("tank", {"name": "A", "size": "60x30cm", "fill": "3cm"}), "is not a size"),
    (("tank", {"name": "A", "size": "60x30x36cm", "fill": "40cm"}), "36 cm high"),
    (("tank", {"name": "A", "length": "60cm", "fill": "30cm"}), "width"),
    (("tank", {"name": "A", "volume": "9 L", "substrate": "2cm", "grain": "fluff"}), "grain"),
    (("tank_changed", "T7", {"fill": "90cm"}), "36 cm high"),
    (("stock", "T77", {"kind": "guppy", "number": "1"}), "There are T7, T9"),
    (("stock", "T7", {"kind": "unicorn fish", "number": "1"}), "Or write kind=unknown"),
    (("stock", "T7", {"kind": "tetra", "number": "1"}), "can be black_tetra"),
    (("stock", "T7", {"kind": "guppy"}), "How many?"),
    (("stock", "T7", {"kind": "guppy", "number": "-2"}), "between 0 and 100000"),
    (("supply", {"name": "two-part", "actives": "dont-know", "unit": "g"}), "is on the shelf already"),
    (("supply", {"name": "weak", "unit": "sachet"}), "Which actives"),
    (("supply", {"name": "weak", "unit": "sachet", "actives": "metronidazole"}), "does not say how much"),
    (("supply", {"name": "weak", "unit": "sachet", "metronidazole": ""}), "does not say how much"),
    (("supply", {"name": "weak", "unit": "sachet", "metronidazole": "0 mg"}), "more than nothing"),
    (("supply", {"name": "weak", "unit": "sachet", "glory": "5 mg"}), "is no substance"),
    (("supply", {"name": "weak", "unit": "mL", "methylene_blue": "10 %"}), "could mean two things"),
    (("supply", {"name": "weak", "unit": "mL", "rule": "1 sachet per 40 L"}), "counts in sachet"),
    (("supply", {"name": "weak", "unit": "tablet", "copper": "1 mg/mL"}), "in one tablet"),
    (("kit", {"scale": "0 g"}), "more than 0 g"),
    (("kit", {"region": "Mars"}), "is not one of US"),
    (("log", "reading", "T7", {"ph": "15"}), 'ph: "15" can\'t be right: it lies between 0 and 14.'),
    (("log", "reading", "T7", {"temp": "300C"}), "between 0 and 45 C"),
    (("log", "reading", "T7", {}), "What did you read?"),
    (("log", "reading", "T7", {"ph": "dont-know"}), "says nothing"),
    (("log", "dose", "T7", {"praziquantel": "-5mg"}), "more than nothing"),
    (("log", "dose", "T7", {"unobtainium": "5mg"}), "is no substance known"),
    (("log", "dose", "T7", {"supply": "two-part"}), "how many?"),
    (("log", "dose", "T7", {"supply": "three-part", "units": "1"}), "There are two-part"),
    (("log", "dose", "T7", {"supply": "two-part", "amount": "5 mL"}), "is not counted in sachet"),
    (("log", "change", "T7", {"share": "130%"}), "between 0 and 100 %"),
    (("log", "change", "T7", {"share": "50%", "when": "tomorrow"}), "lies in the future"),
    (("log", "change", "T7", {"share": "50%", "sure": "perhaps"}), "sure, about, guess"),
    (("log", "top-up", "T7", {"volume": "1,500 L"}), "could mean two things"),
    (("log", "look", "T7", {"well": "yes", "note": "x" * 30_000}), "30,000 characters long"),
    (("log", "look", "T7", {}), "says nothing"),
    (("log", "look", "T7", {"seen": "flashing", "not-seen": "flashing"}), "told in two ways"),
    (("log", "look", "T7", {"seen": "unicorn horn"}), "is no sign known"),
    (("log", "look", "T7", {"well": "no", "history": "the moon was full"}), "is not known here"),
    (("log", "note", "T7", {"text": "x" * 4001}), "at most 4,000"),
    (("log", "note", "T7", {"text": "a\u202eb"}), "can't be seen"),
    (("log", "death", "T7", {"stock": "guppy"}), "There are cherry"),
    (("log", "death", "T7", {"number": "0"}), "between 1 and 100000"),
    (("log", "move", "T7", {"stock": "cherry barb", "to": "T7"}), "is where they are"),
    (("log", "move", "T7", {"stock": "cherry barb", "to": "T9", "number": "99"}), "more than live there: 18"),
    (("log", "jar", "T7", {"hours": "24h"}), "How strong"),
    (("log", "unheard", "T7", {}), "is not a kind of entry"),
    (("log", "tank", "T7", {"name": "A"}), "its own command: tank add"),
    (("undo", "1234"), "is no entry"),
    (("correct", "1234", {}), "is no entry"),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "sentence"), REFUSED, ids=lambda v: v if isinstance(v, str) else "")
def test_what_is_refused_writes_nothing(keeper, typed, sentence):
    keeper.desk.close()
    before = {p.name: p.read_bytes() for p in keeper.desk.folder.iterdir()}
    with pytest.raises(BadInput) as told:
        keeper.types(*typed)
    assert sentence in str(told.value)
    keeper.desk.close()
    assert {p.name: p.read_bytes() for p in keeper.desk.folder.iterdir()} == before


def test_nothing_is_undone_twice(keeper):
    change = keeper.types("log", "change", "T7", {"share": "50%"})
    keeper.types("undo", change.entry.id)
    with pytest.raises(BadInput, match="taken back already"):
        keeper.types("undo", change.entry.id)


def test_a_refusal_in_an_empty_folder_makes_no_folder(tmp_path):
    keeper = Keeper(tmp_path / "room")
    with pytest.raises(BadInput):
        keeper.types("tank", {"name": "A", "volume": "0 L"})
    assert not (tmp_path / "room").exists()


def test_another_number_of_sachets_is_another_dose(keeper):
    first = keeper.types("log", "dose", "T7", {"supply": "two-part", "units": "1"})
    keeper.types("correct", first.entry.id, {"units": "2"})
    ((_, act),) = keeper.room.acts("t7")
    assert act == Dose(actives={"metronidazole": 400, "praziquantel": 180}, supply="two-part", units=2)


def test_what_was_written_for_the_wrong_tank_is_moved(keeper):
    first = keeper.types("log", "change", "T7", {"share": "50%", "when": "2 hours ago"})
    keeper.types("correct", first.entry.id, {"of": "T9"})
    assert keeper.room.acts("t7") == []
    assert keeper.room.acts("t9") == [(NOW - timedelta(hours=2), Change(share=0.5))]


def test_a_tank_can_be_corrected_but_not_moved(keeper):
    entry = next(e for e in keeper.room.log if e.tank == "t9")
    keeper.types("correct", entry.id, {"volume": "21 L"})
    assert keeper.room.tanks["t9"].volume_l.value == 21
    anew = next(e for e in keeper.room.log if e.tank == "t9")
    with pytest.raises(BadInput):
        keeper.types("correct", anew.id, {"of": "T7"})
    with pytest.raises(BadInput):
        keeper.types("correct", anew.id, {"name": "T7"})


def test_fish_go_into_a_tub_beside_their_own_tank_and_back(keeper):
    """They stay stock of the tank; what is written of a tub they are not in is asked back."""
    group = keeper.room.stock_of("t7")[0]
    with pytest.raises(BadInput, match="no tub"):
        keeper.types("log", "apart", "T7", {"stock": group.id, "out": "no"})
    with pytest.raises(BadInput, match="no group here"):
        keeper.types("log", "apart", "T9", {"stock": group.id, "volume": "10 L"})
    keeper.types("log", "apart", "T7", {"stock": group.id, "volume": "10 L"})
    assert keeper.room.apart == {group.id: 10.0}
    assert group.id in {s.id for s in keeper.room.stock_of("t7")}
    assert group.id not in {s.id for s in keeper.room.in_water("t7")}
    keeper.types("log", "apart", "T7", {"stock": group.id, "out": "no"})
    assert keeper.room.apart == {}
