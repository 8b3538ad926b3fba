"""More of a medicine in the water than anything published: the heading, and the way out, one touch away."""

import pytest

from tests.helpers.rooms import entries_from
from tests.web.visitor import Visitor

ROOM = """
12 May 2026 08:00  tank  T5  volume="40 L" temp=24C filter=sponge
12 May 2026 08:01  stock T5  kind=guppy sex=male number=8 length=3cm
12 May 2026 08:02  reading T5  ammonia="0 mg/L as N" nitrite="0 mg/L as N" ph=7.4 temp=24C
"""


def dosed(tmp_path, amount):
    room = ROOM + f'12 May 2026 20:30  dose T5  praziquantel="{amount}"\n'
    return Visitor(tmp_path / "room", room)


def test_ten_times_too_much_is_the_heading(tmp_path):
    page = dosed(tmp_path, "4 g").get("/tanks/t5")
    assert page.heading().startswith("Too much praziquantel is in it: about ")
    assert page.heading().endswith("Nothing more goes in.")
    assert "changes bring it to" in page.words


def test_how_to_thin_it_out_is_one_touch_away(tmp_path):
    visitor = dosed(tmp_path, "4 g")
    (way,) = [x for x in visitor.get("/tanks/t5").links if x.endswith("/mistake/too-much/after")]
    assert "Change" in visitor.get(way).words


@pytest.mark.parametrize("amount", ["80 mg", "82 mg"])
def test_a_published_dose_or_a_step_of_the_scale_over_it_is_none(tmp_path, amount):
    page = dosed(tmp_path, amount).get("/tanks/t5")
    assert "Too much" not in page.words


def test_after_the_changes_it_is_gone_from_the_heading(tmp_path):
    visitor = dosed(tmp_path, "800 mg")
    assert visitor.get("/tanks/t5").heading().startswith("Too much")
    visitor.desk.append(*entries_from("12 May 2026 20:45  change t5  share=50%"))
    visitor.desk.append(*entries_from("12 May 2026 20:55  change t5  share=50%"))
    assert not visitor.get("/tanks/t5").heading().startswith("Too much")
