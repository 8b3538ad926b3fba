"""What keeps other sites out: loopback only, Origin against Host, a form token, a strict content policy."""

from __future__ import annotations

import hmac
import re
import secrets
from collections.abc import Mapping
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from urllib.parse import urlsplit

from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

POLICY = (
    "default-src 'self'; img-src 'self' blob: data:; object-src 'none'; base-uri 'none'; "
    "form-action 'self'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
}
HOSTS = ["127.0.0.1", "localhost", "[::1]"]
COOKIE = "tankward"
BODY_LIMIT = 1_000_000  # bytes; the largest form holds a note of a few thousand characters
MEGA = 1_000_000
# Bytes, where files may come in: an export with its photos; a few photos as a phone takes them.
UPLOADS = (
    (re.compile(r"/data/import"), 2000 * MEGA, "2 GB"),
    (re.compile(r"/tanks/[^/]+/(log/[^/]+|look)|/entries/[^/]+/photos"), 60 * MEGA, "60 MB"),
)


def same_origin(headers: Mapping[str, str]) -> bool:
    """Does a write come from our own page? Without an Origin the form token alone decides."""
    origin = headers.get("origin", "")
    return (
        origin in {"", "null"} and headers.get("sec-fetch-site", "same-origin") in {"same-origin", "none"}
    ) or (bool(origin) and urlsplit(origin).netloc == headers.get("host", ""))


class TooLong(Exception):
    """A body goes on past what a form can hold."""


class Guard:
    """Refuses writes from other sites and over-long bodies, and sends the policy with every answer."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        request = Request(scope)
        most, said = allowed(request)
        no = _refused(request, most, said)
        if no is not None:
            await no(scope, receive, _with_headers(send))
            return
        try:
            await self.app(scope, _counted(receive, most), _with_headers(send))
        except TooLong:
            await _too_long(said)(scope, receive, _with_headers(send))


def allowed(request: Request) -> tuple[int, str]:
    """How long a body may be, in bytes and as it is said; only a body of files may be longer than a form."""
    files = request.headers.get("content-type", "").startswith("multipart/")
    found = (row for row in UPLOADS if files and row[0].fullmatch(request.url.path))
    _, most, said = next(found, (None, BODY_LIMIT, ""))
    return most, said


def _refused(request: Request, most: int, said: str) -> PlainTextResponse | None:
    """The refusal of a request that goes no further; None lets it in."""
    if request.method not in {"GET", "HEAD"} and not same_origin(request.headers):
        return PlainTextResponse("This came from another site, so nothing was written.", 403)
    length = request.headers.get("content-length", "0")
    if not length.isdecimal():
        return PlainTextResponse("The length of this form can't be read. Nothing was written.", 400)
    return _too_long(said) if int(length) > most else None


def _too_long(said: str) -> PlainTextResponse:
    told = f"These files are larger than {said} together." if said else "That is more than a form can hold."
    return PlainTextResponse(f"{told} Nothing was written.", 413)


def _counted(receive: Receive, most: int) -> Receive:
    """A body is counted as it comes: it need not say beforehand how long it is."""
    so_far = 0

    async def receiver() -> Message:
        nonlocal so_far
        message = await receive()
        so_far += len(message.get("body", b""))
        if so_far > most:
            raise TooLong
        return message

    return receiver


def _with_headers(send: Send) -> Send:
    async def sender(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            if "cache-control" not in headers:
                headers["cache-control"] = "no-store"
        await send(message)

    return sender


def room_secret(folder: Path) -> bytes:
    """The folder's own secret, made once; a page left open outlives a restart of the program."""
    path = folder / "form-secret"
    if path.exists() and (kept := path.read_bytes()):
        return kept
    made = secrets.token_bytes(32)
    with suppress(OSError):  # a folder that can only be read: this secret lives as long as the program
        path.touch(mode=0o600)
        path.write_bytes(made)
    return made


def token_for(secret: bytes, visitor: str) -> str:
    """The form token of one visitor."""
    return hmac.new(secret, visitor.encode(), sha256).hexdigest()


def token_ok(secret: bytes, visitor: str, token: str) -> bool:
    """Is this the visitor's token?"""
    return bool(visitor) and hmac.compare_digest(token_for(secret, visitor), token)
