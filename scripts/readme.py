"""Keeps the answers printed in README.md true.

A block that begins with ```console holds commands (`$ tankward …`) and below each what it prints. All of
them run in one empty room, in order, on the evening of NOW. `python scripts/readme.py` writes the answers
in; `--check` only compares and shows what differs. A line `…` stands for lines left out; an answer that ends
in one keeps as many lines as stood there.
"""

import os
import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

PAGE = Path(__file__).parents[1] / "README.md"
NOW = "2026-05-14T18:00"
BLOCK = re.compile(r"(?<=^```console\n).*?(?=^```$)", re.M | re.S)
COMMAND = re.compile(r"^\$ ((?:.*\\\n)*.*)\n", re.M)
LEFT_OUT = "…"


def answer(command: str, room: Path) -> str:
    """What a command prints, faults included, in this room."""
    program, *words = shlex.split(command.replace("\\\n", " "))
    path = Path(sys.executable).with_name(program)
    alone = os.environ | {"TANKWARD_ROOM": str(room), "COLUMNS": "100", "NO_COLOR": "1"}
    done = subprocess.run(
        [path, *words, "--now", NOW],
        cwd=room.parent,
        env=alone,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    return "".join(f"{line.rstrip()}\n" for line in done.stdout.splitlines())


def answered(block: str, room: Path) -> str:
    """The block with every answer as it is now, whole."""
    return "".join(f"$ {command}\n{answer(command, room)}" for command in COMMAND.findall(block))


def shortened(block: str, now: str) -> str:
    """The answers as they are now, each cut off where the page cuts it off."""
    pieces = zip(COMMAND.split(block)[1:], COMMAND.split(now)[1:], strict=True)
    told = []
    for n, (written, whole) in enumerate(pieces):
        lines, kept = whole.splitlines(keepends=True), written.splitlines()
        if n % 2 == 0:
            told.append(f"$ {whole}\n")
        elif kept and kept[-1] == LEFT_OUT and len(lines) >= len(kept):
            told += [*lines[: len(kept) - 1], f"{LEFT_OUT}\n"]
        else:
            told.append(whole)
    return "".join(told)


def agree(written: str, now: str) -> bool:
    """Whether what is written is what is printed, but for the lines left out."""
    parts = [re.escape(part) for part in re.split(rf"^{LEFT_OUT}\n", written, flags=re.M)]
    return re.fullmatch("(?:.*\n)*?".join(parts), now) is not None


def main(arguments: list[str]) -> int:
    page, faults = PAGE.read_text(encoding="utf-8"), []
    with tempfile.TemporaryDirectory(prefix="tankward-readme-") as folder:

        def renew(block: re.Match) -> str:
            now = answered(block[0], Path(folder) / "room")
            if not agree(block[0], now):
                faults.append(f"The page says\n{block[0]}and the program now says\n{now}")
            return shortened(block[0], now)

        renewed = BLOCK.sub(renew, page)
    if "--check" in arguments:
        print("\n".join(faults), end="")
        return 1 if faults else 0
    PAGE.write_text(renewed, encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
