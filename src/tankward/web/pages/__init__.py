"""The pages. A page is one module with ROUTES, named here, and its template."""

from __future__ import annotations

from . import causes, log, look, more, room, shelf, steps, stock, tank, today, work_it_out

PAGES = (today, room, tank, steps, stock, look, causes, log, shelf, work_it_out, more)
