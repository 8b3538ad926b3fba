"""`tankward print course TANK`: a sheet as PDF, for a sitter or the wall."""

from __future__ import annotations

from pathlib import Path

from cyclopts import App

from tankward import __version__
from tankward.desk.find import find_tank
from tankward.desk.printing import course_to_print
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput
from tankward.room.names import slug
from tankward.show.results_print import PrintResult, SheetRow
from tankward.show.sheets.course import course_sheet
from tankward.show.sheets.press import PAPERS, printed

from ..common import Common, opened
from ..wanted import CourseOptions
from .start import DEMO_MARK

PDF = b"%PDF"
INVENTED = "Invented room"


def print_course(
    tank: str,
    *,
    paper: str = "a4",
    out: Path | None = None,
    options: CourseOptions = CourseOptions(),
    common: Common = Common(),
) -> PrintResult:
    """The sheet of a course for a sitter: print course T7; before it is begun with --substance and --route.

    Parameters
    ----------
    tank
        A tank of the room.
    paper
        a4 or letter.
    out
        The file; else one named after tank and course, in this folder.
    """
    if paper not in PAPERS:
        raise BadInput("paper", paper, f"is not one of {', '.join(PAPERS)}.")
    facts, now = load(), common.moment
    with opened(common) as desk:
        found = find_tank(desk.room(), tank)
        given = course_to_print(desk, found.id, options.wanted, now, common.zone, facts)
        invented = INVENTED if (desk.folder / DEMO_MARK).exists() else ""
    record = course_sheet(given, facts, now=now, zone=common.zone, program=__version__, invented=invented)
    made = printed(record, "course", paper, now)
    path = written(made.pdf, out, f"{slug(found.name)}-course.pdf")
    row = SheetRow(path=str(path), paper=paper, pages=made.pages, source="none", status="computed")
    says = f"{record.title}: {made.pages} {'page' if made.pages == 1 else 'pages'} in {path}."
    return PrintResult(says=says, tank=found.id, sheets=[row], now=common.told)


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
    family = App(name="print", help="Sheets as PDF: course.")
    family.command(print_course, name="course")
    app.command(family)
