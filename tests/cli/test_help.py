"""What a keeper reads of a command before using it: every word that it takes is told, in plain words."""

import pytest

from tankward.cli.main import build
from tests.cli.asking import ask


def commands(app=None, words=()):
    app = app or build()
    for name in app:
        if name.startswith("-"):
            continue
        below = [word for word in app[name] if not word.startswith("-")]
        yield (*words, name)
        if below:
            yield from commands(app[name], (*words, name))


@pytest.mark.parametrize("words", list(commands()), ids=" ".join)
def test_every_word_that_a_command_takes_is_told(words):
    app = build()
    for word in words:
        app = app[word]
    if app.default_command is None:
        assert ask(*words, "--help").code == 0
        return
    silent = [
        a.name
        for a in app.assemble_argument_collection(parse_docstring=True)
        if a.show and not a.parameter.help
    ]
    assert silent == []


def test_the_bare_word_prints_the_help():
    said = ask()
    assert said.code == 0
    assert "what-now" in said.out and "tankward COMMAND --help" in said.out


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("frob",), 'command: "frob" is no command of tankward. tankward --help shows all there are.'),
        (("optoins",), 'command: "optoins" is no command of tankward. Did you mean "options"?'),
        (("tank", "--room", "x"), "tankward tank: a word is missing after it."),
        (("now",), "tank: is missing. tankward now --help tells what to write."),
        (("undo", "a", "b"), 'tankward undo: "b" is more than it takes.'),
    ],
)
def test_a_slip_is_answered_in_one_plain_sentence(words, sentence):
    said = ask(*words)
    assert (said.code, said.out) == (2, "")
    assert said.err.strip().startswith(sentence)
    assert len(said.err.strip().splitlines()) == 1
