"""The command `tankward`: faults become one sentence and an exit code here, and nowhere else."""

from __future__ import annotations

import io
import os
import sys
import traceback
import typing
from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import msgspec
from cyclopts import App, CycloptsError, Parameter

from tankward import __version__
from tankward.desk.fault_log import keep_fault
from tankward.desk.folder import data_folder
from tankward.quantities.faults import BadInput, Refused
from tankward.show.results import Refusal, Result
from tankward.store.faults import StoreFault

from .common import Common, refusal, write
from .faults import sentence

OK, FAULT, BAD_INPUT, REFUSED = 0, 1, 2, 3


def build() -> App:
    """All commands; each module of cli/commands adds its own."""
    from .commands import FAMILIES

    app = App(
        name="tankward",
        help="For people who keep and breed fish in small tanks: from a bad look to the right amounts. "
        "Begin with tankward start, or with tankward tank add. In the examples below, write tankward before "
        "each; tankward COMMAND --help tells what a command takes.",
        version=__version__,
        result_action="return_value",
        help_format="plaintext",
        default_parameter=Parameter(show_default=False, metavar="…"),
    )
    for family in FAMILIES:
        family.add_to(app)
    return app


def declared(function: Any) -> list[Any]:
    """The records that a command may answer with; every one may refuse."""
    hint = typing.get_type_hints(function)["return"]
    own = [k for k in typing.get_args(hint) or (hint,) if k is not type(None)]
    return [*own, Refusal]


def schema_of(function: Any) -> bytes:
    """The JSON Schema of what a command answers."""
    kinds = declared(function)
    schemas, parts = msgspec.json.schema_components(kinds, ref_template="#/$defs/{name}")
    return msgspec.json.format(msgspec.json.encode({"anyOf": list(schemas), "$defs": parts}), indent=1)


def _wants(argv: Sequence[str], flag: str) -> bool:
    return flag in argv


def _told_now(argv: Sequence[str]) -> str:
    """The moment that the command took as now: a refusal tells it like every answer."""
    return Common(now=_option(argv, "--now")).told


def _option(argv: Sequence[str], name: str) -> str | None:
    """The last value that an option was given; None without it."""
    options = [w.partition("=") for w in argv]
    given = [value for flag, mark, value in options if mark and flag == name]
    given += [after for word, after in pairwise(argv) if word == name]
    return given[-1] if given else None


def main(argv: Sequence[str] | None = None) -> None:
    """Run and leave with the exit code of the contract."""
    sys.exit(run(list(sys.argv[1:] if argv is None else argv)))


def run(argv: list[str]) -> int:
    """Run one command.

    Returns
    -------
    int
        0 done, 2 the input was at fault, 3 refused for safety, 1 anything else.
    """
    as_json = _wants(argv, "--json")
    try:
        return _run(argv, as_json)
    except BadInput as fault:
        print(fault, file=sys.stderr)
        return BAD_INPUT
    except CycloptsError as fault:
        print(sentence(fault), file=sys.stderr)
        return BAD_INPUT
    except BrokenPipeError:
        sys.stdout = io.StringIO()  # the reader has gone; nothing more to say
        return OK
    except KeyboardInterrupt:
        return OK
    except StoreFault as fault:
        print(_one_line(str(fault)), file=sys.stderr)
        return FAULT
    except Exception as fault:
        if os.environ.get("TANKWARD_TRACE"):
            traceback.print_exc()
        keep_fault(data_folder(_option(argv, "--room")), fault)
        what = _one_line(str(fault)) or type(fault).__name__
        print(f"Tankward could not do this: {what}. Nothing was changed.", file=sys.stderr)
        return FAULT


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _run(argv: list[str], as_json: bool) -> int:
    app = build()
    if _wants(argv, "--schema"):
        sys.stdout.write(schema_of(_command(app, argv)).decode() + "\n")
        return OK
    try:
        result = app(argv, exit_on_error=False, print_error=False)
    except Refused as refused:
        return _say_no(refusal(refused, _told_now(argv)), as_json)
    if isinstance(result, Result):
        write(result, as_json)
        return REFUSED if result.refused else FAULT if result.failed else OK
    return OK


def _say_no(answer: Refusal, as_json: bool) -> int:
    if as_json:
        write(answer, True)
    else:
        from tankward.show.terminal import lines

        print("\n".join(lines(answer)), file=sys.stderr)
    return REFUSED


def _command(app: App, argv: list[str]) -> Any:
    words, _, _ = app.parse_commands(argv)
    found = app
    for word in words:
        found = found[word]
    if found.default_command is None:
        raise BadInput(
            "command", " ".join(words), "is not a whole command. Write tankward --help to see them."
        )
    return found.default_command


__all__ = ["Common", "main", "run"]
