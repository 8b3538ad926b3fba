"""`tankward completion SHELL`: a script with which the shell completes commands and options."""

from __future__ import annotations

from typing import Literal, get_args

from cyclopts import App

from tankward.quantities.faults import BadInput
from tankward.show.results import Result

from ..common import Common

Shell = Literal["bash", "zsh", "fish", "powershell"]


class Completion(Result, frozen=True, kw_only=True):
    """A script for one shell; `says` is the script."""

    shell: str


def add_to(app: App) -> None:
    """Add the command; the script tells of every command that the app has by then."""

    def completion(shell: str, *, common: Common = Common()) -> Completion:
        """Let your shell finish commands: source <(tankward completion bash).

        Parameters
        ----------
        shell
            bash, zsh, fish or powershell.
        """
        known: dict[str, Shell] = {name: name for name in get_args(Shell)}
        if shell not in known:
            raise BadInput("shell", shell, f"is not one of {', '.join(known)}.")
        script = app.generate_completion(prog_name="tankward", shell=known[shell])
        return Completion(says=script, shell=shell, now=common.told)

    app.command(completion)
