"""The pages. A page is one module with ROUTES, named here, and its template."""

from __future__ import annotations

from . import log, look, more, room, shelf, tank, today, work_it_out

PAGES = (today, room, tank, look, log, shelf, work_it_out, more)
