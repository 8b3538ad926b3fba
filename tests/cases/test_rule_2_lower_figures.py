"""Rule 2: a lower figure of another animal stays on the screen, on the page and at the command line."""

from tests.cases.rooms import CASE_1
from tests.cli.asking import NOW, ask, fill
from tests.web.visitor import Visitor

LOWER = "Measured lower in others: 30 mg/L of praziquantel killed half of the zebrafish in 96 hours"


def test_at_the_command_line(tmp_path):
    fill(tmp_path, CASE_1)
    said = ask(
        "options", "T1", "--cause", "tapeworm", "--not-there", "fry", "--room", str(tmp_path), "--now", NOW
    )
    assert LOWER in said.out
    assert "(ZUSK22, published)" in said.out


def test_on_the_page(tmp_path):
    stranger = Visitor(tmp_path / "none")
    asked = {"cause": "tapeworm", "animals": "10 platy 3cm", "volume": "60 L", "gone": "fry"}
    assert LOWER in stranger.get("/options", **asked).words
