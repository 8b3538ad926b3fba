"""Forms that a phone may keep and send later: who touched them when, and the answer to its queue."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from tankward.desk.touches import Touch, touch_of
from tankward.quantities.faults import BadInput, Refused

from .frame import Forged, now_of

OWN = ("touch", "touched", "sent")
Handler = Callable[[Request], Awaitable[Response]]


def taken_off(request: Request, typed: dict[str, str]) -> Touch:
    """The touch of a form; its fields are taken off what was typed.

    Raises
    ------
    BadInput
        If the device's words can't be read.
    """
    told = {name: typed.pop(name, "") for name in OWN}
    return touch_of(told, now_of(request), str(request.app.state.zone))


def queued(handler: Handler) -> Handler:
    """The handler of such a form. A queue is told in data where to go, or why nothing was taken."""

    async def answered(request: Request) -> Response:
        if "application/json" not in request.headers.get("accept", ""):
            return await handler(request)
        try:
            response = await handler(request)
        except (BadInput, Refused) as fault:
            return JSONResponse({"says": str(fault)}, 422)
        except Forged:
            return JSONResponse({"says": "This page is too old to send it. Open Today anew."}, 403)
        if response.status_code == 303:
            return JSONResponse({"to": response.headers["location"]})
        return JSONResponse({"says": "It could not be read as it was written."}, 422)

    return answered
