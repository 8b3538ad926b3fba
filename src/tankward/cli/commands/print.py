"""`tankward print SHEET …`: every sheet of the list as PDF, for the wall, the bucket or a sitter."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path

from cyclopts import App

from tankward.desk.find import find_tank
from tankward.knowledge.loader import load
from tankward.press.listed import SHEETS
from tankward.press.sheet import Asked, Pressed, Sheet, pressed, usual_paper
from tankward.quantities.faults import BadInput
from tankward.show.results_print import PrintResult, SheetRow

from ..common import Common, opened, pairs
from ..wanted import CourseOptions
from .start import DEMO_MARK

PDF = b"%PDF"


def print_course(
    tank: str,
    *,
    paper: str = "",
    out: Path | None = None,
    options: CourseOptions = CourseOptions(),
    common: Common = Common(),
) -> PrintResult:
    """The sheet of a course for a sitter: print course T7; not yet begun with --substance or --remedy.

    Parameters
    ----------
    tank
        A tank of the room.
    paper
        a4 or letter; else that of the region.
    out
        The file; else one named after tank and course, in this folder.
    """
    wanted = options.wanted
    typed = {k: v for k, v in asdict(options).items() if v} if wanted else {}
    sheet = next(s for s in SHEETS if s.name == "course")
    return laid_out(sheet, tank, typed, paper, out, common)


def laid_out(
    sheet: Sheet, tank: str, typed: dict[str, str], paper: str, out: Path | None, common: Common
) -> PrintResult:
    """The sheet, made and written."""
    with opened(common) as desk:
        asked = Asked(
            desk=desk,
            facts=load(),
            now=common.moment,
            zone=common.zone,
            demo=(desk.folder / DEMO_MARK).exists(),
            tank=find_tank(desk.room(), tank) if tank else None,
            typed=typed,
        )
        paper = paper or usual_paper(desk.room().kit)
        made = pressed(sheet, asked, paper)
    return told(made, asked, written(made.pdf, out, made.file), paper, common)


def told(made: Pressed, asked: Asked, path: Path, paper: str, common: Common) -> PrintResult:
    row = SheetRow(path=str(path), paper=paper, pages=made.pages, source="none", status="computed")
    says = f"{made.title}: {made.pages} {'page' if made.pages == 1 else 'pages'} in {path}."
    return PrintResult(says=says, tank=asked.tank.id if asked.tank else "", sheets=[row], now=common.told)


def command(sheet: Sheet) -> Callable[..., PrintResult]:
    """The command of a sheet that is asked with a tank and key=value."""

    def run(*words: str, paper: str = "", out: Path | None = None, common: Common = Common()) -> PrintResult:
        first = words[:1] if words and "=" not in words[0] else ()
        return laid_out(sheet, first[0] if first else "", pairs(words[len(first) :]), paper, out, common)

    run.__doc__ = help_of(sheet)
    return run


def help_of(sheet: Sheet) -> str:
    """What `--help` says of a sheet."""
    takes = "".join(f"; {key}= {says}" for key, says in sheet.asks)
    tank = {"tank": "the tank", "either": "the tank, where it is about one", "room": "nothing"}[sheet.about]
    return f"""{sheet.title}: {sheet.use}.

    Parameters
    ----------
    words
        First {tank}{takes}.
    paper
        a4 or letter; else that of the region.
    out
        The file; else one named after the sheet, in this folder.
    """


def written(pdf: bytes, out: Path | None, name: str) -> Path:
    """The file, whole; another kind of file is never written over.

    Raises
    ------
    BadInput
        If it can't be written there.
    """
    path = Path(name) if out is None else out / name if out.is_dir() else out
    if path.exists() and not path.read_bytes().startswith(PDF):
        raise BadInput("out", str(path), "is there already and is no PDF. Name another file.")
    try:
        path.write_bytes(pdf)
    except OSError as fault:
        why = (fault.strerror or "not known").lower()
        raise BadInput("out", str(path), f"can't be written ({why}). Name another file.") from None
    return path


def add_to(app: App) -> None:
    """Add the family's commands."""
    family = App(name="print", help=f"Sheets as PDF: {', '.join(s.name for s in SHEETS)}.")
    for sheet in SHEETS:
        family.command(
            print_course if sheet.name == "course" else command(sheet), name=(sheet.name, *sheet.also)
        )
    app.command(family)
