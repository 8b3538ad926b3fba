"""The scripts for shells are asked by the shells themselves."""

import shutil
import subprocess

import pytest

from tankward.cli.commands.completion import Shell
from tests.cli.asking import ask

BASH = """
source /dev/stdin
COMP_WORDS=(tankward {words}); COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1))
{function}
printf '%s\\n' "${{COMPREPLY[@]}}"
"""


def completed(*words: str) -> set[str]:
    """What bash offers for the last word."""
    script = ask("completion", "bash").out
    told = " ".join(f'"{w}"' for w in words)
    line = BASH.format(words=told, function="_tankward")
    done = subprocess.run(["bash", "-c", line], input=script, capture_output=True, text=True, timeout=30)
    return set(done.stdout.split())


def test_bash_completes_commands():
    assert {"course", "course-stop"} <= completed("cou")
    assert "print" not in completed("cou")


def test_bash_completes_options_of_a_command():
    assert "--substance" in completed("course", "--sub")


@pytest.mark.parametrize("shell", Shell.__args__)
def test_every_shell_gets_a_script_and_its_json(shell):
    answer = ask("completion", shell, "--json").json
    assert answer["shell"] == shell
    assert "tankward" in answer["says"] and len(answer["says"]) > 1000


@pytest.mark.parametrize(("shell", "check"), [("bash", ["-n"]), ("zsh", ["-n"]), ("fish", ["-n"])])
def test_the_script_is_whole_where_the_shell_is_here(shell, check, tmp_path):
    script = tmp_path / "script"
    script.write_text(ask("completion", shell).out, encoding="utf-8")
    if path := shutil.which(shell):
        assert subprocess.run([path, *check, script], timeout=30).returncode == 0
    else:
        assert script.stat().st_size > 1000


def test_an_unknown_shell_is_named():
    answer = ask("completion", "oyster")
    assert answer.code == 2
    assert answer.err == 'shell: "oyster" is not one of bash, zsh, fish, powershell.\n'
