"""What the logbook and the other tanks say of a cause, entered as a keeper enters it. All invented."""

from datetime import UTC, datetime, timedelta

import pytest

from tankward.judge.causes import causes
from tankward.judge.from_room import own_evidence, room_evidence
from tankward.judge.network_of import network_of
from tankward.knowledge.loader import load
from tankward.room.text import room_of_text

FACTS = load()
NET = network_of(FACTS)
NOW = datetime(2026, 5, 20, 18, 0, tzinfo=UTC)
TANKS = """
1 January 2026 08:00  tank     Left   volume="54 L" temp=25C filter=sponge filter-age="12 weeks"
1 January 2026 08:05  stock    Left   kind=guppy number=10 length=2.5cm
1 January 2026 08:10  tank     Right  volume="54 L" temp=25C filter=sponge filter-age="12 weeks"
1 January 2026 08:15  stock    Right  kind=platy number=8 length=3cm
"""


def told(lines, tank="left", alone=False):
    """The contexts of a tank: name -> newest."""
    room = room_of_text(TANKS + lines)
    found = own_evidence(room, tank, FACTS, NOW) if alone else room_evidence(room, tank, FACTS, NOW)
    newest = {}
    for h in sorted(found.happened, key=lambda h: -(h.age_d or 0.0)):
        newest[h.context] = h
    return newest


def days_ago(days):
    return f"{NOW - timedelta(days=days):%-d %B %Y %H:%M}"


def test_a_fall_of_warmth_between_two_readings_is_told_with_its_size():
    found = told(f"{days_ago(2)}  reading  Left temp=26C\n{days_ago(1.5)}  reading  Left temp=21C\n")
    assert found["temp_fall"].value == pytest.approx(5.0)
    assert found["temp_fall"].age_d == pytest.approx(1.5)


def test_a_slow_fall_is_none():
    found = told(f"{days_ago(6)}  reading  Left temp=26C\n{days_ago(1.5)}  reading  Left temp=21C\n")
    assert "temp_fall" not in found


def test_cleaning_left_out_counts_only_where_changes_are_entered():
    assert "dirt" not in told("")
    assert "dirt" in told(f"{days_ago(30)}  change  Left share=30%\n")
    assert "dirt" not in told(
        f"{days_ago(30)}  change  Left share=30%\n{days_ago(5)}  change  Left share=30%\n"
    )


def test_bites_seen_last_week_are_a_wound_and_those_of_today_are_a_sign():
    assert told(f"{days_ago(6)}  look  Left seen=biting_seen\n")["wound"].of == ("bite",)
    assert "wound" not in told(f"{days_ago(0.1)}  look  Left seen=biting_seen\n")


def test_twice_the_food_is_overfed():
    assert told(f"{days_ago(1)}  feed  Left usual=200%\n")["overfed"].age_d == pytest.approx(1.0)


def test_a_catching_disease_next_door_raises_it_here_and_no_other():
    spots = f'{days_ago(2)}  look  Right seen=white_spots,flashing onset=days counts="white_spots 5"\n'
    here = f"{days_ago(0.2)}  look  Left seen=flashing,clamped_fins\n"
    room = room_of_text(TANKS + spots + here)
    near, alone = room_evidence(room, "left", FACTS, NOW), own_evidence(room, "left", FACTS, NOW)
    assert ("neighbour_ill", ("white_spot",)) in {(h.context, h.of) for h in near.happened}
    with_room, without = causes(near, NET), causes(alone, NET)
    assert with_room.of("white_spot").value > 1.2 * without.of("white_spot").value
    for other in ("ammonia", "injury"):
        assert with_room.of(other).value <= without.of(other).value


def test_bad_water_next_door_is_not_catching():
    gasping = f"{days_ago(1)}  look  Right seen=gasping_surface,fast_gills onset=hours share=most\n"
    assert "neighbour_ill" not in told(gasping)


def test_animals_that_came_from_the_ill_tank_raise_it_more():
    spots = f'{days_ago(2)}  look  Right seen=white_spots,flashing onset=days counts="white_spots 5"\n'
    moved = f"{days_ago(4)}  move  Right stock=right-platy to=Left number=2\n"
    here = f"{days_ago(0.2)}  look  Left seen=flashing\n"
    with_move, without = (
        causes(room_evidence(room_of_text(TANKS + spots + here + more), "left", FACTS, NOW), NET)
        for more in (moved, "")
    )
    assert with_move.of("white_spot").value > without.of("white_spot").value


def test_an_old_illness_next_door_has_faded():
    spots = f'{days_ago(40)}  look  Right seen=white_spots,flashing onset=days counts="white_spots 5"\n'
    assert "neighbour_ill" not in told(spots)


def test_two_ill_neighbours_do_not_raise_each_other_in_a_circle():
    """Each tank is judged alone before it counts next door."""
    flashing = "".join(f"{days_ago(1)}  look  {tank} seen=flashing\n" for tank in ("Left", "Right"))
    assert "neighbour_ill" not in told(flashing)
