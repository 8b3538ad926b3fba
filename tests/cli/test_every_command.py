"""What every command takes and gives, read off the commands themselves: a new one can't stay out of it."""

import json
import shutil

import pytest
from cyclopts import App

from tankward.cli.main import _command, build, declared
from tankward.show.results import Result
from tests.cli import walk
from tests.cli.asking import ask, ask_room, fill
from tests.helpers.pictures import photo

OPENS_A_WINDOW = ("start",)  # answers with an address and runs until ctrl-C


def commands(app: App, before: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    """Every whole command by its words."""
    names = [n for n in app if not n.startswith("-")]
    if not names:
        return [before]
    return [words for n in names for words in commands(app[n], (*before, n))]


COMMANDS = commands(build())
PROMISED = {  # of the contract; more are added as they come
    "calc", "causes", "options", "what-now", "facts", "start", "tank", "stock", "shelf", "kit", "log",
    "correct", "undo", "find", "now", "course", "course-stop", "progress", "forecast", "print", "round",
    "calendar", "contact", "quarantine", "wind-down",
}  # fmt: skip
# What each is asked with where the walk has nothing of it; {entry} is the last reading.
MORE = {
    ("tank", "change"): ("T1", "temp=26C"),
    ("correct",): ("{entry}", "ph=7.7"),
    ("undo",): ("{entry}",),
    ("shelf", "used-up"): ("invented powder",),
    ("shelf", "bought"): ("invented powder", "number=50", "expiry=2028-01"),
    ("shelf", "thrown-away"): ("invented powder", "why=invented"),
    ("backup",): (),
    ("restore",): (),
    ("check",): (),
    ("export",): ("--to", "{folder}/new.zip"),
    ("import",): ("{folder}/out.zip",),
    ("fault-report",): (),
    ("completion",): ("bash",),
    ("photo", "add"): ("{entry}", "{folder}/fin.jpg"),
    ("photo", "list"): (),
    ("calendar",): (),
    ("plan",): ("T1", "--cause", "skin_flukes", "--no-medicine", "yes"),
    ("photo", "remove"): ("{photo}",),
    ("print", "tub"): ("T1", "animals=3 cherry barb 3 cm", "volume=10L", "--out", "{folder}/tub.pdf"),
    ("print", "case"): ("T1", "asked=Is it catching?", "--out", "{folder}/case.pdf"),
    ("print", "recipe"): (
        "T1",
        "substance=praziquantel",
        "animals=3 cherry barb 3 cm",
        "--out",
        "{folder}/recipe.pdf",
    ),
    ("print", "hygiene"): ("strength=5%", "--out", "{folder}/hygiene.pdf"),
    ("print", "sitter"): ("T1", "days=15-20 May", "--out", "{folder}/sitter.pdf"),
    ("print", "tank"): ("T1", "--out", "{folder}/card.pdf"),
    ("print", "tanks"): ("--out", "{folder}/cards.pdf"),
    ("kit", "spoon"): ("spoon=teaspoon", "powder=salt", "spoons=10", "mass=58g"),
    ("kit", "hose"): ("volume=10L", "time=75s"),
}


def asked_with(words):
    """The whole line for a command: from the walk, else from the list above."""
    lines = (*walk.WRITES, *walk.ASKS.values(), *walk.NO_ROOM.values())
    for line in lines:
        if line[: len(words)] == words:
            return line
    assert words in MORE, f"{' '.join(words)} is asked in no test: add it to tests/cli/walk.py"
    return (*words, *MORE[words])


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """A room with a tank, a reading and a course that runs; its last reading; an export of it."""
    folder = tmp_path_factory.mktemp("kept")
    fill(folder / "room", [*walk.WRITES, ("course", "T1", *walk.COURSE, "--begin")])
    (folder / "fin.jpg").write_bytes(photo())
    entry = ask_room(folder / "room", *walk.READING, f"photo={folder / 'fin.jpg'}").json["entry"]
    fill(folder / "room", [("export", "--to", str(folder / "out.zip"))])
    return folder, entry


@pytest.fixture
def line_of(kept, tmp_path):
    """The line for a command on a copy of that room: `line_of(words)`."""
    folder, entry = kept
    shutil.copytree(folder, tmp_path, dirs_exist_ok=True)

    def line(words):
        told = [w.replace("{entry}", entry).replace("{folder}", str(tmp_path)) for w in asked_with(words)]
        if "{photo}" in told:
            (row,) = ask_room(tmp_path / "room", "photo", "list").json["photos"]
            told = [w.replace("{photo}", row["photo"]) for w in told]
        if told[:2] in (["tank", "add"], ["shelf", "add"]):
            told = [w.replace("name=T1", "name=T2").replace("name=invented", "name=another") for w in told]
        return [*(w for w in told if w != "--begin"), "--room", str(tmp_path / "room"), "--json"]

    return line


def test_the_commands_of_the_contract_are_there():
    assert {words[0] for words in COMMANDS} >= PROMISED


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_help_tells_what_it_does(words):
    name = ("redose",) if words == ("calc",) else ()
    said = ask(*words, *name, "--help")
    assert (said.code, said.err) == (0, "")
    assert len(said.out.split()) > 5


@pytest.mark.parametrize("words", [c for c in COMMANDS if c != OPENS_A_WINDOW], ids=" ".join)
def test_json_is_one_object_with_the_common_keys_at_that_moment(words, line_of):
    now = "2026-05-14T18:30"
    said = ask(*line_of(words), "--now", now)
    assert (said.code, said.err) == (0, "")
    assert set(Result.__struct_fields__) <= set(said.json)
    assert said.json["now"].startswith(now)


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_schema_is_json_schema_of_what_it_may_answer(words):
    said = ask(*words, "--schema")
    assert (said.code, said.err) == (0, "")
    schema = json.loads(said.out)
    named = {kind.__name__ for kind in declared(_command(build(), list(words)))}
    assert named <= set(schema["$defs"])
    for name in named:
        assert schema["$defs"][name]["type"] == "object"
        assert {"says", "how", "sources", "now", "refused"} <= set(schema["$defs"][name]["properties"])


@pytest.mark.parametrize("words", [c for c in COMMANDS if c != OPENS_A_WINDOW], ids=" ".join)
def test_a_moment_that_is_none_is_refused_by_each(words, line_of):
    said = ask(*line_of(words), "--now", "yesterday at noon")
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith("now: ") and said.err.count("\n") == 1


def test_an_option_that_is_none_is_one_sentence():
    for words in COMMANDS:
        said = ask(*words, "--nothing-such")
        assert said.code == 2 and said.out == "", words
        assert said.err.count("\n") <= 2 and "Traceback" not in said.err, words


def test_a_refusal_tells_the_moment_it_was_given_at():
    line = ("calc", "copper", "alkalinity=20 mg/L CaCO3", "volume=54L")
    for now in (("--now", "2026-05-14T18:30"), ("--now=2026-05-14T18:30",)):
        said = ask(*line, *now, "--json")
        assert (said.code, said.json["refused"]) == (3, True)
        assert said.json["now"].startswith("2026-05-14T18:30")


@pytest.mark.parametrize(
    ("line", "field"),
    [
        (("causes", "--seen", "purple ears"), "seen"),
        (("causes", "--seen", "flashing", "--not-seen", "purple ears"), "not-seen"),
        (("what-now", "--seen", "purple ears"), "seen"),
        (("options", "--cause", "white_spot", "--not-there", "whales"), "not-there"),
    ],
)
def test_a_word_that_is_not_known_is_told_under_the_name_of_its_option(line, field):
    said = ask(*line)
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith(f"{field}: ") and said.err.count("\n") == 1
