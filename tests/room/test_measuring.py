"""Measured before and after: measurements that agree, that disagree, and old logbooks."""

import msgspec
import pytest

from tankward.quantities.parse import Estimate
from tankward.room.codec import decode, encode
from tankward.room.holds import water_of
from tankward.room.measuring import by_buckets, flow, netful, spoonful
from tankward.room.replay import replay
from tests.helpers.rooms import entries_from, room_from

TANK = '1 March 08:00 tank T7 volume="54 L"\n'
BUCKETS = '12 March 08:00 volume T7 volume="33 to 36 L" how=buckets measured="3.5 buckets of 10 L"\n'


def test_the_more_spoons_the_surer():
    one, ten = spoonful(5.8, 1, 0.1), spoonful(58, 10, 0.1)
    assert one.value == ten.value == pytest.approx(5.8)
    assert one.high - one.low > 3 * (ten.high - ten.low) > 0
    assert spoonful(58, 10, None).high > ten.high


def test_who_was_not_weighed_may_be_larger():
    all_of_them, some = netful(9.4, 10, 0.1, Estimate.exact(10)), netful(9.4, 10, 0.1, Estimate.exact(60))
    assert some.high > all_of_them.high
    assert all_of_them.high == pytest.approx(0.94 * (1 + 0.1 / 9.4))


def test_the_hose_and_the_bucket():
    assert flow(10, 1.25).value == pytest.approx(8)
    assert flow(10, 0.1).high / flow(10, 0.1).value > flow(10, 5).high / flow(10, 5).value
    assert by_buckets(3, 10, 4).value == 34


def test_the_working_says_what_was_counted_and_when():
    room = room_from(TANK + BUCKETS)
    found = water_of(room.tanks["t7"], room)
    assert found.how[0].step == "counted buckets, 12 March (3.5 buckets of 10 L)"
    assert (found.low, found.high, found.cautions) == (33, 36, ())


def test_measurements_that_agree_leave_the_narrowest():
    room = room_from(TANK + BUCKETS + '14 March 08:00 volume T7 volume="30 to 38 L" how=salt\n')
    assert room.tanks["t7"].volume_l == Estimate(34.5, 33, 36)
    assert not water_of(room.tanks["t7"], room).cautions


def test_measurements_that_disagree_are_all_reckoned_with_and_it_is_said():
    room = room_from(TANK + BUCKETS + '14 March 08:00 volume T7 volume="39 to 41 L" how=salt\n')
    assert room.tanks["t7"].volume_l == Estimate(40, 33, 41)
    (caution,) = water_of(room.tanks["t7"], room).cautions
    assert "counted buckets, 12 March: 33 to 36 L" in caution and "disagree" in caution


def test_a_spoon_that_is_taken_back_is_gone_and_the_kit_stays():
    logbook = entries_from(
        '1 March 08:00 kit scale="0.1 g"\n'
        '1 March 09:00 spoon spoon=teaspoon powder=sodium_chloride spoons=10 mass="58 g"\n'
    )
    assert replay(logbook[:1]).kit.spoons == ()
    assert replay(logbook).kit.spoons[0].grams["sodium_chloride"] == pytest.approx(5.8)
    assert replay(logbook).kit.scale_g == pytest.approx(0.1)


LINES = [TANK + BUCKETS, '1 March 08:00 kit scale="0.1 g"', TANK + "2 March 08:00 reading T7 ph=7.4"]


@pytest.mark.parametrize("line", LINES)
def test_lines_of_the_program_before_still_read(line):
    entry = entries_from(line)[-1]
    old = msgspec.json.decode(encode(entry)) | {"version": 1}
    for gone in ("measured",):
        old.pop(gone, None)
    if "thing" in old:
        for gone in ("tests", "hose_l_per_min"):
            old["thing"].pop(gone, None)
    for value in old.get("values", ()):
        value.pop("kit", None)
    read = decode(msgspec.json.encode(old))
    assert type(read) is type(entry)
    assert replay([read]).kit.scale_g == replay([entry]).kit.scale_g


def test_a_reading_keeps_the_kit_it_was_taken_with():
    room = room_from(TANK + '2 March 08:00 reading T7 ph="7.4 by strips" ammonia="0.25 mg/L as N by drops"\n')
    values = room.readings("t7")[0].values
    assert [v.kit for v in values] == ["strips", "ammonia_drops"]
