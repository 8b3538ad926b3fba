"""The web app as a value: routes, guards, the desk it sits at."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from datetime import datetime
from typing import ClassVar

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Mount
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

from tankward.desk.background import Background
from tankward.desk.desk import Desk
from tankward.desk.forecasts import Forecasts
from tankward.desk.planning import Plans
from tankward.knowledge.loader import load
from tankward.quantities.faults import BadInput, Reason, Refused
from tankward.store.faults import StoreFault
from tankward.treat.planner.search import Budget

from .daily import days_copied
from .frame import HERE, Forged, Page, page
from .guard import HOSTS, Guard, room_secret
from .pages import PAGES


class KeptFiles(StaticFiles):
    """Static files; their address changes with their content, so a browser may keep them."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        response = await super().get_response(path, scope)
        response.headers["cache-control"] = "public, max-age=31536000, immutable"
        return response


class Sorry(Page, frozen=True, kw_only=True):
    """Not found, not understood, or refused."""

    template: ClassVar[str] = "sorry.html"
    kind: str  # unknown, not-understood, refused, fault
    says: str
    reasons: tuple[Reason, ...] = ()


async def not_found(request: Request, fault: Exception) -> Response:
    return page(
        request, Sorry(title="Nothing here", kind="unknown", says="There is no such page in this room."), 404
    )


async def bad_input(request: Request, fault: Exception) -> Response:
    return page(request, Sorry(title="Not understood", kind="not-understood", says=str(fault)), 422)


async def refused(request: Request, fault: Exception) -> Response:
    reasons = fault.reasons if isinstance(fault, Refused) else ()
    return page(
        request,
        Sorry(
            title="No", kind="refused", says=reasons[0].because if reasons else str(fault), reasons=reasons
        ),
        409,
    )


async def forged(request: Request, fault: Exception) -> Response:
    says = "This form is out of date, so nothing was written. Go back, reload the page and send it again."
    return page(request, Sorry(title="Not written", kind="not-understood", says=says), 403)


async def not_kept(request: Request, fault: Exception) -> Response:
    return page(request, Sorry(title="Not written", kind="fault", says=str(fault)), 503)


async def broken(request: Request, fault: Exception) -> Response:
    return page(
        request,
        Sorry(title="Not done", kind="fault", says="Tankward could not do this. Nothing was changed."),
        500,
    )


@asynccontextmanager
async def closing(app: Starlette) -> AsyncIterator[None]:
    """A copy of each day while the app runs; what is being worked out is let go when it ends."""
    async with days_copied(app):
        yield
    app.state.forecasts.close()
    app.state.chances.close()
    app.state.what_ifs.close()
    app.state.helping.close()
    app.state.plans.close()
    app.state.by_hand.close()
    app.state.power_first.close()


def create(
    desk: Desk,
    *,
    demo: bool = False,
    clock: Callable[[], datetime] | None = None,
    zone: str = "UTC",
    hosts: list[str] | None = None,
    budget: Budget = Budget(),
) -> Starlette:
    """The app for one room.

    Parameters
    ----------
    desk
        The opened room.
    demo
        True marks every page as invented.
    clock
        What tells now; the machine's clock if not given.
    zone
        Of the keeper's wall clock.
    hosts
        Host names answered to; loopback only if not given.
    budget
        How far a plan is searched.
    """
    app = Starlette(
        routes=[
            *(route for module in PAGES for route in module.ROUTES),
            Mount("/static", KeptFiles(directory=HERE / "static")),
        ],
        middleware=[
            Middleware(TrustedHostMiddleware, allowed_hosts=hosts or HOSTS),
            Middleware(Guard),
            Middleware(GZipMiddleware, minimum_size=1500),
        ],
        lifespan=closing,
        exception_handlers={
            404: not_found,
            BadInput: bad_input,
            Refused: refused,
            Forged: forged,
            StoreFault: not_kept,
            500: broken,
        },
    )
    with suppress(StoreFault):  # a logbook that can't be opened is told by each page
        desk.store.last()  # from here on it is known whether anything may be written
    app.state.desk = desk
    app.state.forecasts = Forecasts(desk, load())
    app.state.chances = Background("chances")
    app.state.what_ifs = Background("what-if")
    app.state.helping = Background("helping")
    app.state.plans = Plans(desk, load(), budget)
    app.state.by_hand = Background("by-hand")
    app.state.power_first = Background("power-first")
    app.state.demo = demo
    app.state.zone = zone
    app.state.not_copied = ""
    app.state.clock = clock or (lambda: datetime.now().astimezone())
    app.state.secret = room_secret(desk.folder)
    return app
