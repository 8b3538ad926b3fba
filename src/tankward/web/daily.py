"""The copy of each day, made while the app runs."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress

from starlette.applications import Starlette

from tankward.desk.data import keep_daily

EVERY_S = 600  # a new day is noticed within ten minutes


@asynccontextmanager
async def days_copied(app: Starlette) -> AsyncIterator[None]:
    """Looks now and then whether the day has its copy; `not_copied` says why it has none."""
    task = asyncio.create_task(_now_and_then(app))
    try:
        yield
    finally:
        task.cancel()
        with suppress(asyncio.CancelledError):
            await task


async def _now_and_then(app: Starlette) -> None:
    while True:
        await asyncio.to_thread(copy_today, app)
        await asyncio.sleep(EVERY_S)


def copy_today(app: Starlette) -> None:
    """One look."""
    state = app.state
    state.not_copied = keep_daily(state.desk, state.clock(), state.zone)
