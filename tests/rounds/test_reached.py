"""Who may have been reached: chains in the order of time, by each way, how likely, until when. Rule 26."""

from datetime import UTC, datetime, timedelta
from math import ceil

import pytest

from tankward.desk.contact import contacts_of
from tankward.knowledge.loader import load
from tankward.quantities.parse import Estimate
from tankward.room.acts import Move, Remove
from tankward.room.entries.acts import Done
from tankward.room.replay import replay
from tankward.rounds.reached import chances
from tankward.show.words import contact as words
from tankward.treat.course.watching import cycle_d
from tests.helpers.rooms import entries_from

FACTS = load()
NOW = datetime(2026, 5, 14, 20, 0, tzinfo=UTC)
ROOM = """
1 Apr 2026 08:00  tank  A  volume="31 L" temp=25C
1 Apr 2026 08:00  tank  B  volume="21 L" temp=20C
1 Apr 2026 08:00  tank  C  volume="21 L" temp=25C
1 Apr 2026 08:00  tank  D  volume="21 L" temp=25C
1 Apr 2026 08:01  stock A  kind=cherry_barb name=barbs number=12
1 Apr 2026 08:01  stock A  kind=java_moss name=moss number=1
1 Apr 2026 08:01  stock A  kind=cherry_shrimp name=shrimp number=9
1 Apr 2026 08:01  stock B  kind=cherry_barb name=others number=12
1 Apr 2026 08:01  stock C  kind=guppy name=guppies number=8
1 Apr 2026 08:01  stock D  kind=guppy name=more number=8
10 May 2026 19:00  look A  seen="white spots" share=some
"""
IDS = iter(range(10_000))


def moved(stock, source, to, on, number=None):
    at = datetime(2026, 5, on, 18, 0, tzinfo=UTC)
    return Done(id=f"m{next(IDS)}", at=at, tank=source, act=Move(stock=stock, to=to, number=number))


def found(text="", *entries, tank="a", now=NOW):
    room = replay([*entries_from(ROOM + text), *entries])
    return contacts_of(room, tank, now, "UTC", FACTS), room


def by_tank(told):
    return {c.tank: c for c in told.reach.contacts}


def ids(room):
    return {s.name: s.id for s in room.stock.values()}


START = ids(found()[1])


def test_a_tank_that_met_nobody_has_no_contact():
    told, room = found()
    assert told.reach.contacts == ()
    assert words.finding(told, room) == "No other tank is known to have met A."


def test_fish_that_were_moved_carry_it_and_a_second_move_carries_it_on():
    told, _ = found("", moved(START["barbs"], "a", "b", 8, 3), moved(f"{START['barbs']}-b", "b", "c", 9, 1))
    rows = by_tank(told)
    assert [k.to for k in rows["c"].path] == ["b", "c"]
    first, second = rows["b"].first.chance, rows["c"].first.chance
    assert second.value == pytest.approx(first.value**2)
    assert second.low == pytest.approx(first.low**2)


def test_chains_respect_time_what_left_before_carried_nothing():
    """B gave to C the day before A gave to B: C has not met A by that."""
    told, _ = found("", moved(START["others"], "b", "c", 7, 3), moved(START["barbs"], "a", "b", 8, 3))
    assert set(by_tank(told)) == {"b"}


def test_what_left_long_before_a_sign_was_seen_counts_from_a_week_before():
    assert set(by_tank(found("", moved(START["barbs"], "a", "b", 4, 3))[0])) == {"b"}
    assert by_tank(found("", moved(START["barbs"], "a", "b", 2, 3))[0]) == {}


def test_each_way_has_its_own_chance_and_that_of_the_organism_counts():
    told, _ = found("", moved(START["moss"], "a", "c", 9), moved(START["shrimp"], "a", "d", 9, 4),
                    moved(START["barbs"], "a", "b", 9, 3))  # fmt: skip
    ways = {t: c.path[0].way for t, c in by_tank(told).items()}
    assert ways == {"b": "fish", "c": "plants", "d": "snails"}
    (fish,), (plants,) = (chances(w, ("white_spot",), FACTS) for w in ("fish", "plants"))
    assert fish.known and plants.known and fish.low > plants.low
    (hands,) = chances("hands", ("white_spot",), FACTS)
    assert not hands.known


def test_nobody_knows_what_it_is_the_usual_of_the_way_counts():
    (usual,) = chances("net", (), FACTS)
    row = next(r for r in FACTS.hygiene.contact if r.id == "net")
    assert (usual.low, usual.high, usual.known) == (row.low, row.high, False)


NETS = """
12 May 2026 19:00  clean A  what=net how="the blue one"
12 May 2026 19:30  clean C  what=net how="the blue one"
12 May 2026 19:40  clean D  what=net how="the green one"
13 May 2026 19:00  clean A  what=other how="the long hose"
13 May 2026 19:30  clean D  what=other how="the long hose"
"""


def test_one_net_and_one_hose_on_one_day():
    rows = by_tank(found(NETS)[0])
    assert {t: c.path[0].way for t, c in rows.items()} == {"c": "net", "d": "siphon"}


def test_shared_water_is_met_as_long_as_it_is_shared():
    text = '1 Apr 2026 08:00  tank  E  volume="21 L" temp=25C system=A\n'
    told, _ = found(text)
    (row,) = told.reach.contacts
    assert (row.tank, row.path[0].way, row.at) == ("e", "water", NOW)


def test_hands_are_told_where_a_tank_was_looked_at_soon_after():
    looks = "10 May 2026 19:20  look B  well=yes\n10 May 2026 21:20  look C  well=yes\n"
    told, room = found(looks)
    assert {t: c.path[0].way for t, c in by_tank(told).items()} == {"b": "hands"}
    assert "but by hands and drips" in words.finding(told, room)
    assert words.rules(told) == [words.NOT_CLEAN]
    met, _ = found("", moved(START["barbs"], "a", "b", 9, 3))
    assert words.rules(met) == [words.NOT_CLEAN, words.NO_MOVE]


def test_where_nothing_was_seen_those_it_met_are_told_and_not_held_back():
    told, room = found(NETS, tank="d")
    assert told.episode.nothing and [c.tank for c in told.reach.contacts] == ["a"]
    assert words.finding(told, room).startswith("A met D: what it may carry unseen shows by")
    assert words.rules(told) == [words.NOT_CLEAN]


def test_a_contact_is_watched_by_the_cycle_at_its_own_warmth():
    told, _ = found("", moved(START["barbs"], "a", "b", 9, 3), moved(START["shrimp"], "a", "c", 9, 4))
    rows = by_tank(told)
    spots = FACTS.organisms["ichthyophthirius"]
    for tank, temp in (("b", 20.0), ("c", 25.0)):
        last = ceil(cycle_d(spots, Estimate.exact(temp))[1])
        mine = {k.on for k in rows[tank].looks if k.organism == "ichthyophthirius" and k.cycle == 1}
        assert mine <= {(rows[tank].at + timedelta(days=last)).date()}
        assert rows[tank].until >= (rows[tank].at + timedelta(days=last)).date()


def test_what_was_seen_there_since_is_told_and_a_clean_look_is_no_all_clear():
    text = (
        '12 May 2026 19:00  look B  seen="white spots"\n12 May 2026 19:00  look C  not-seen="white spots"\n'
    )
    told, room = found(text, moved(START["barbs"], "a", "b", 9, 3), moved(START["shrimp"], "a", "c", 9, 4))
    rows = {
        r.tank: r for r in (words.contact_row(c, told, room, NOW, "UTC", FACTS) for c in told.reach.contacts)
    }
    assert "white spots" in rows["b"].seen
    assert "Looked for and not there" in rows["c"].then
    assert "does not say" in words.NOT_CLEAN


def test_what_left_the_room_is_told():
    sold = Done(id="s", at=NOW - timedelta(days=1), tank="a",
                act=Remove(stock=START["barbs"], number=2, why="sold"))  # fmt: skip
    told, room = found("", sold)
    (gone,) = told.reach.gone
    assert words.gone_says(gone, room, NOW, "UTC").startswith("2 barbs sold")


def test_the_same_graph_read_the_other_way_tells_where_it_may_have_come_from():
    """A month before the first sign counts, what came after it does not."""
    text = '2 May 2026 08:00  stock A  kind=guppy name=new number=4 source=auction arrived="0 d"\n'
    told, room = found(text, moved(START["others"], "b", "a", 5, 2), moved(START["guppies"], "c", "a", 12, 2))
    assert [(o.tank, o.way) for o in told.reach.came] == [("b", "fish"), ("", "fish")]
    says = [words.came_says(o, told, room, NOW, "UTC") for o in told.reach.came]
    assert says == ["Others went from B to A, Tue 5 May.", "New (auction) came in, Sat 2 May."]
