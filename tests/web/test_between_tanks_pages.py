"""Who was reached, newcomers apart, a tank wound down: their pages, and what their forms write."""

import pytest

from tankward.room.entries.acts import Done
from tankward.room.entries.animals import StockAdded
from tankward.room.entries.tanks import TankClosed

from .visitor import Visitor

ROOM = """
1 Apr 2026 08:00  tank  T6  volume="31 L" temp=25C
1 Apr 2026 08:00  tank  T8  volume="63 L" temp=25C
1 Apr 2026 08:00  tank  T9  volume="20 L" temp=25C
1 Apr 2026 08:01  stock T6  kind=cherry_barb name=barbs number=12
1 Apr 2026 08:01  stock T8  kind=pearl_danio_celestial name=danios number=18
3 May 2026 19:00  clean T6  what=net how=blue
3 May 2026 19:30  clean T8  what=net how=blue
4 May 2026 19:00  look T8  seen="white_spots"
11 May 2026 19:00  look T8  seen="white_spots"
"""


@pytest.fixture
def keeper(tmp_path):
    return Visitor(tmp_path / "room", ROOM)


# Who was reached


def test_the_page_names_who_how_likely_and_until_when(keeper):
    page = keeper.get("/tanks/t8/contact")
    assert page.heading().startswith("T6 may have it from T8: watch it until")
    for part in ("if it is white spot", "A net in T8 and T6, Sun 3 May (blue)", "Known in T8 since Mon 4 May",
                 "Nothing leaves the room", "does not say that a tank was not reached"):  # fmt: skip
        assert part in page.words, part
    assert "/tanks/t6#lives" in page.links


def test_it_is_linked_from_its_tank_and_an_empty_one_says_so(keeper):
    assert "/tanks/t8/contact" in keeper.get("/tanks/t8").links
    assert keeper.get("/tanks/t9/contact").heading() == "No other tank is known to have met T9."
    assert keeper.get("/tanks/zz/contact").code == 422


# Newcomers


ASKED = {"animals-0": "8 platies 2.5 cm", "source-0": "auction"}


def test_the_form_stands_alone_and_is_linked_from_more(keeper):
    page = keeper.get("/quarantine")
    assert page.heading() == "Newcomers apart"
    assert {"animals-0", "source-0", "into-0", "food"} <= {f.get("name") for f in page.fields}
    assert "/quarantine" in keeper.get("/more").links


def test_asked_written_and_then_in_the_round(keeper):
    page = keeper.get("/quarantine", **ASKED)
    assert page.heading() == "8 platies into T9: apart until Tue 9 Jun."
    for part in ("Day 3: look at the droppings", "Until here red worms stay open", "71 %", "No mixture"):
        assert part in page.words, part
    done = keeper.post("/quarantine", page, **ASKED)
    assert done.to.startswith("/quarantine")
    (added,) = [e for e in keeper.entries if isinstance(e, StockAdded) and e.tank == "t9"]
    assert (added.thing.source, added.thing.arrived_d, added.thing.number.value) == ("auction", 0, 8)
    assert keeper.get("/quarantine").heading() == "T9: day 1, apart until Tue 9 Jun."
    assert "newcomers are in it" in keeper.get("/tanks/t9").words
    assert "T9: look at the droppings of the newcomers, day 3" in keeper.get("/calendar").words
    assert "/quarantine" in keeper.get("/tanks/t6/stock").links


def test_a_place_where_somebody_lives_is_refused_with_what_would_do(keeper):
    page = keeper.get("/quarantine", **ASKED, **{"into-0": "t6"})
    assert page.code == 409
    assert page.heading().startswith("T6 is no quarantine: barbs live there")
    assert "Would change: T9: nobody lives there" in page.words
    form = keeper.get("/quarantine", **ASKED)
    again = keeper.post("/quarantine", form, **ASKED, **{"into-0": "t6"})
    assert again.code == 409
    assert not [e for e in keeper.entries if isinstance(e, StockAdded) and e.thing.source == "auction"]


def test_what_is_not_understood_stays_where_it_was_typed(keeper):
    page = keeper.get("/quarantine", **{"animals-0": "8 dragons"})
    assert page.code == 422
    assert "8 dragons" in page.html and "dragons" in page.words
    assert keeper.get("/quarantine", **ASKED, food="much").code == 422


def test_two_sources_with_one_free_tank_ask_for_a_tub(keeper):
    both = {**ASKED, "animals-1": "6 neon rainbow 4 cm", "source-1": "exchange"}
    page = keeper.get("/quarantine", **both)
    assert "into a tub of" in page.heading()
    assert "One has no tank of its own yet" in page.words


# Winding down


def test_it_tells_who_stays_the_bleach_by_litre_and_what_never_happens(keeper):
    page = keeper.get("/tanks/t8/wind-down", strength="5 %")
    assert page.heading().startswith("Winding down T8: nothing of it is sold or given.")
    for part in ("Neither sold nor given", "To T6: it met the same already", "252 mL of bleach in 63 L",
                 "88 g of sodium thiosulfate", "The heater off last", "Never into a pond"):  # fmt: skip
        assert part in page.words, part
    assert "sold" not in {f.get("value") for f in page.fields}
    assert "/tanks/t8/wind-down" in keeper.get("/tanks/t8").links


def test_where_they_went_is_written_and_then_the_record_is_closed(keeper):
    page = keeper.get("/tanks/t8/wind-down")
    stock = next(iter(page.hidden("stock")))
    done = keeper.post("/tanks/t8/wind-down", page, stock=stock, goes="t6")
    assert done.to.startswith("/tanks/t8/wind-down")
    (moved,) = [e for e in keeper.entries if isinstance(e, Done) and type(e.act).__name__ == "Move"]
    assert (moved.act.stock, moved.act.to) == (stock, "t6")
    empty = keeper.get("/tanks/t8/wind-down")
    assert empty.heading().startswith("Nobody lives in T8")
    closed = keeper.post("/tanks/t8/wind-down", empty, do="close", note="no room")
    assert closed.to.startswith("/")
    (entry,) = [e for e in keeper.entries if isinstance(e, TankClosed)]
    assert (entry.tank, entry.why) == ("t8", "no room")
    assert keeper.get("/tanks/t8").code == 422


@pytest.mark.parametrize("typed", [{"goes": "sold"}, {"goes": "t9", "stock": ""}, {"do": "close"}])
def test_what_must_not_be_writes_nothing(keeper, typed):
    page = keeper.get("/tanks/t8/wind-down")
    before = len(keeper.entries)
    stock = next(iter(page.hidden("stock")))
    said = keeper.post("/tanks/t8/wind-down", page, **{"stock": stock, **typed})
    assert said.code in (409, 422)
    assert len(keeper.entries) == before


def test_a_strength_that_is_none_is_told_by_its_field(keeper):
    page = keeper.get("/tanks/t8/wind-down", strength="blue")
    assert page.code == 422 and "blue" in page.html
