"""What the option parser refuses, as one sentence in plain words."""

from __future__ import annotations

import re

from cyclopts import CycloptsError, MissingArgumentError, UnknownCommandError, UnusedCliTokensError

NO_NUMBER = re.compile(r'Invalid value for (\S+): unable to convert "(.*)" into (?:float|int)\.?')
MEANT = re.compile(r'Did you mean ("[^?]*")\?')


def sentence(fault: CycloptsError) -> str:
    """What is wrong and what to write instead."""
    told = " ".join(str(fault).split())
    words = " ".join(["tankward", *(fault.command_chain or ())])
    if isinstance(fault, MissingArgumentError) and fault.argument is not None:
        name = fault.argument.name.strip("-")
        return f"{name}: is missing. {words} --help tells what to write."
    if isinstance(fault, UnknownCommandError):
        return _no_command(fault, told, words)
    if isinstance(fault, UnusedCliTokensError):
        more = " ".join(fault.unused_tokens or ())
        return f'{words}: "{more}" is more than it takes. {words} --help tells what to write.'
    if found := NO_NUMBER.fullmatch(told):
        return f'{found[1].strip("-")}: "{found[2]}" is not a number. Write 7.'
    return told


def _no_command(fault: UnknownCommandError, told: str, words: str) -> str:
    asked = (fault.unused_tokens or [""])[0]
    if asked.startswith("-") and fault.command_chain:
        return f"{words}: a word is missing after it. {words} --help shows which there are."
    meant = MEANT.search(told)
    hint = f"Did you mean {meant[1]}?" if meant else f"{words} --help shows all there are."
    return f'command: "{asked}" is no command of {words}. {hint}'
