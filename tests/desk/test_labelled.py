"""Labels as keepers type them: strengths, per cents, of what they are the weight, and what became of them."""

from datetime import UTC, date, datetime

import pytest

from tankward.desk.border import Border
from tankward.desk.desk import Desk
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.best_before import as_printed, last_good
from tankward.treat.label_forms import choices

NOW = datetime(2026, 5, 14, 16, tzinfo=UTC)
COPPER_OF_PENTAHYDRATE = 63.546 / 249.685  # by atomic weights
MG_MG = 246.47 / 120.366  # heptahydrate over the anhydrous salt, by molar mass


class Shelf:
    """A keeper's shelf."""

    def __init__(self, folder):
        self.desk = Desk.open(folder)

    def border(self):
        return Border.of(self.desk, load(), NOW, "Europe/Berlin")

    def put(self, **texts):
        told = {"name": "it"} | {k.replace("__", "-"): v for k, v in texts.items()}
        written = self.border().supply(told)
        self.desk.append(*written.entries)
        return self.desk.room().shelf["it"]

    def now(self, word, **texts):
        self.desk.append(*self.border().packet(word, "it", texts).entries)
        return self.desk.room().shelf["it"]


@pytest.fixture
def shelf(tmp_path):
    made = Shelf(tmp_path / "room")
    yield made
    made.desk.close()


@pytest.mark.parametrize(
    ("unit", "name", "text", "substance", "mg"),
    [
        ("sachet", "praziquantel", "90 mg", "praziquantel", 90),
        ("tablet", "praziquantel", "0.6 g per tablet", "praziquantel", 600),
        ("mL", "praziquantel", "10 mg/mL", "praziquantel", 10),
        ("mL", "methylene blue", "1 %", "methylene_blue", 10),
        ("g", "praziquantel", "50 %", "praziquantel", 500),
        ("mL", "formaldehyde", "37 %", "formalin", 370),
        ("mL", "formalin", "37 %", "formalin", 370),
        ("mL", "copper", "10 mg/mL as copper", "copper", 10 / COPPER_OF_PENTAHYDRATE),
        ("mL", "copper", "16 mg/mL as pentahydrate", "copper", 16),
        ("mL", "copper sulfate pentahydrate", "16 mg/mL", "copper", 16),
        ("g", "epsom salt", "100 %", "magnesium_sulfate", 1000),
        ("g", "magnesium sulfate", "100 % as anhydrous", "magnesium_sulfate", 1000 * MG_MG),
    ],
)
def test_an_amount_is_kept_in_the_form_in_which_it_is_dosed(shelf, unit, name, text, substance, mg):
    (active,) = shelf.put(unit=unit, **{name: text}).actives
    assert active.substance == substance
    assert active.mg == pytest.approx(mg, rel=2e-4)


def test_the_words_of_the_label_stay_beside_what_they_come_to(shelf):
    (active,) = shelf.put(unit="mL", copper="10 mg/mL as copper").actives
    assert (active.told, active.form) == ("10 mg/mL as copper", "pentahydrate")
    assert choices("copper", "copper") and not choices("copper", "copper sulfate pentahydrate")


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"unit": "mL", "copper": "10 mg/mL"}, "as copper, as pentahydrate, as anhydrous"),
        ({"unit": "mL", "copper sulfate": "10 mg/mL"}, "leaves open what is weighed"),
        ({"unit": "g", "magnesium sulfate": "100 %"}, "as heptahydrate, as anhydrous"),
        ({"unit": "mL", "copper": "10 mg/mL as chloride"}, "as none of"),
        ({"unit": "mL", "formalin": "370 mg/mL"}, "leaves open of what it is the weight"),
        ({"unit": "mL", "praziquantel": "20 %"}, "could mean two things"),
        ({"unit": "sachet", "praziquantel": "20 %"}, "how much is in one sachet"),
        ({"unit": "sachet", "praziquantel": "20 mg/mL"}, "not so much in one sachet"),
        ({"unit": "g", "praziquantel": "120 %"}, "up to 100 %"),
        ({"unit": "sachet", "phlogiston": "5 mg"}, 'unknown="phlogiston and how much"'),
        ({"unit": "g", "salt": "900 mg", "sodium chloride": "100 mg"}, "named twice"),
        ({"unit": "g", "salt": "1 g", "expiry": "04/03/2027"}, "is not a date"),
        ({"unit": "g", "salt": "1 g", "expiry": "soon"}, "is not a date"),
        ({"unit": "g", "salt": "1 g", "opened": "tomorrow"}, "has happened"),
        ({"unit": "g", "salt": "1 g", "price": "9.50 for 0"}, "can't be right"),
    ],
)
def test_what_could_mean_two_things_is_asked_back(shelf, typed, says):
    with pytest.raises(BadInput, match=says):
        shelf.put(**typed)
    assert not list(shelf.desk.entries())


def test_a_form_that_the_label_does_not_say_is_taken_as_the_strongest_and_never_dosed_by_level(shelf):
    packet = shelf.put(unit="mL", copper="10 mg/mL as not said", rule="5 mL per 40 L")
    assert packet.actives[0].mg == pytest.approx(10 / COPPER_OF_PENTAHYDRATE, rel=2e-4)
    assert packet.own_rule_only and packet.unknown == ("copper: of what it is the weight",)


def test_an_unknown_active_is_kept_by_its_own_rule_only(shelf):
    packet = shelf.put(
        unit="sachet", praziquantel="90 mg", unknown="mystericin 50 mg", rule="1 sachet per 40 L"
    )
    assert packet.unknown == ("mystericin 50 mg",)
    assert packet.own_rule_only and [a.substance for a in packet.actives] == ["praziquantel"]


def test_price_dates_and_lawful_possession(shelf):
    packet = shelf.put(
        unit="sachet", praziquantel="90 mg", price="9.50 for 10", expiry="March 2027", opened="yesterday",
        held__lawfully="yes", left="9",
    )  # fmt: skip
    assert packet.price == pytest.approx(0.95)
    assert (packet.expiry, packet.opened, packet.held_since) == ("2027-03", "2026-05-13", "2026-05-14")


def test_used_up_bought_again_thrown_away(shelf):
    shelf.put(unit="sachet", praziquantel="90 mg", left="9", expiry="2026-01", opened="2026-01-02")
    assert (shelf.now("used-up").left, shelf.desk.room().shelf["it"].gone) == (0, "used_up")
    with pytest.raises(BadInput, match="used up already"):
        shelf.now("used-up")
    again = shelf.now("bought", number="10", expiry="2027-03")
    assert (again.left, again.gone, again.expiry, again.opened) == (10, "", "2027-03", "")
    more = shelf.now("bought", number="5", expiry="2028-01")
    assert (more.left, more.expiry) == (15, "2027-03")
    assert shelf.now("thrown-away").gone == "thrown_away"
    with pytest.raises(BadInput, match="is not one of used-up"):
        shelf.now("note")


def test_a_label_is_put_right_and_nothing_is_lost(shelf):
    shelf.put(unit="sachet", metronidazole="200 mg", praziquantel="90 mg", left="9", rule="1 sachet per 40 L")
    first = shelf.desk.entries()[0]
    written = shelf.border().correct(first.id, {"metronidazole": "250 mg", "praziquantel": "90 mg"})
    shelf.desk.append(*written.entries)
    packet = shelf.desk.room().shelf["it"]
    assert [(a.substance, a.mg) for a in packet.actives] == [("metronidazole", 250), ("praziquantel", 90)]
    assert (packet.left, packet.rule.per_volume_l) == (9, 40)
    assert first in list(shelf.desk.entries())


@pytest.mark.parametrize(
    ("text", "kept", "last"),
    [
        ("2027-03", "2027-03", date(2027, 3, 31)),
        ("03/2027", "2027-03", date(2027, 3, 31)),
        ("Mar 2028", "2028-03", date(2028, 3, 31)),
        ("29 February 2028", "2028-02-29", date(2028, 2, 29)),
        ("31.12.2027", "2027-12-31", date(2027, 12, 31)),
    ],
)
def test_dates_as_packets_have_them(text, kept, last):
    assert as_printed(text, "expiry") == kept
    assert last_good(kept) == last


@pytest.mark.parametrize("text", ["2027-13", "31 Feb 2027", "04/03/2027", "next year", "2027"])
def test_a_date_that_is_none_or_two(text):
    with pytest.raises(BadInput, match="as packets have it"):
        as_printed(text, "expiry")
