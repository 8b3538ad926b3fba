"""A record and its typst file into a PDF that prints alike everywhere and can be read aloud."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import msgspec
import typst

HERE = Path(__file__).parent
FONTS: list[Path] = [HERE.parent / "fonts"]
PAPERS = {"a4": "a4", "letter": "us-letter"}


class Printed(msgspec.Struct, frozen=True, kw_only=True):
    """A PDF and how many pages it has."""

    pdf: bytes
    pages: int


def printed(record: msgspec.Struct, layout: str, paper: str, now: datetime) -> Printed:
    """Lay a record out.

    Parameters
    ----------
    record : Struct
        What stands on it; text is printed as it is, never read as markup.
    layout : str
        Name of the typst file beside this one.
    paper : str
        "a4" or "letter".
    now : datetime
        When it is printed; kept in the file.
    """
    source = HERE / f"{layout}.typ"
    given = {"paper": PAPERS[paper], "data": msgspec.json.encode(record).decode()}
    pdf = typst.compile(
        source,
        root=HERE,
        font_paths=FONTS,
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs=given,
        pdf_standards="ua-1",  # tagged, with a title and an order of reading
        timestamp=now.replace(microsecond=0),
    )
    counted = typst.query(
        source,
        "<sheets>",
        field="value",
        one=True,
        root=HERE,
        font_paths=FONTS,
        ignore_system_fonts=True,
        sys_inputs=given,
    )
    return Printed(pdf=pdf, pages=msgspec.json.decode(counted, type=int))
