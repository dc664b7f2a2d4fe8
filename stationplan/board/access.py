"""Who may talk to the board: the checks that stand before everything else, and the headers on everything it says.

A page of somebody else, open in the same browser, must neither read the board nor tap on it. So the name that the
browser has asked for must be one of ours (else a name that was made to lead here could read along: DNS rebinding), a
tap must come from a page of ours (``Origin``, RFC 6454), and no page may frame this one.
"""

from __future__ import annotations

import ipaddress
import secrets
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders, QueryParams
from starlette.responses import HTMLResponse, PlainTextResponse, Response

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src data:; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "Cache-Control": "no-store",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}
_READING = ("GET", "HEAD")
_INSIDE = """<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta http-equiv="refresh" content="0; url=/">
<link rel="icon" href="data:,">
<title>The board</title>
<p><a href="/">To the board</a></p>
"""
"""Leads on to the board. A redirection would not: whoever comes by a link in a message is on the way from another site
until a page of ours asks, and a browser keeps a strict cookie back for so long (draft of RFC 6265bis, 5.2)."""
_DAYS = 30
"""For which a tablet is let in without the token being shown again."""


@dataclass(frozen=True)
class Access:
    """Who may.

    Attributes:
        names: of this machine, in small letters, besides localhost and addresses in numbers, which no name can pose as.
        token: what has to be known; None where nobody but this machine can ask.
        cookie: under which name a browser keeps the token.
    """

    names: frozenset[str]
    token: str | None
    cookie: str

    def complaint(self, method: str, headers: Headers) -> str | None:
        """Why a request cannot come from a page of the board; None when it can.

        Args:
            method: such as GET.
            headers: of the request.
        """
        host, origin = headers.getlist("host"), headers.get("origin")
        if len(host) != 1 or not self._ours(host[0]):
            return "this board does not answer to that name; use the address that it has printed"
        if origin is None:
            return None if method in _READING else "taps come from the board's own page"
        if _host_of(origin) != host[0].lower():
            return "another page may not use this board"
        return None

    def knows(self, token: str | None) -> bool:
        """Whether somebody may come in with this token."""
        if self.token is None:
            return True
        return token is not None and secrets.compare_digest(token.encode(), self.token.encode())

    def _ours(self, host: str) -> bool:
        try:
            name = urlsplit(f"//{host}").hostname or ""
        except ValueError:
            return False
        return name == "localhost" or name in self.names or _is_address(name)


class Door:
    """Lets only those in who may, and puts the same headers on whatever is answered."""

    def __init__(self, app: ASGIApp, access: Access) -> None:
        self.app, self.access = app, access

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request (ASGI 3)."""
        if scope["type"] == "lifespan":
            return await self.app(scope, receive, send)

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message).update(HEADERS)
            await send(message)

        answer = self._refusal(scope) or self.app
        return await answer(scope, receive, send_guarded)

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        complaint = self.access.complaint(scope["method"], headers)
        if complaint is not None:
            return PlainTextResponse(complaint, 403)
        told = QueryParams(scope["query_string"]).get("token")
        if scope["path"] == "/" and told is not None and self.access.knows(told):
            answer = HTMLResponse(_INSIDE)
            if self.access.token is not None:
                seconds = _DAYS * 24 * 3600
                answer.set_cookie(self.access.cookie, told, httponly=True, samesite="strict", max_age=seconds)
            return answer
        if not self.access.knows(self._cookie(headers)):
            return PlainTextResponse("open the address that the board has printed, with its token", 403)
        return None

    def _cookie(self, headers: Headers) -> str | None:
        try:
            morsel = SimpleCookie(headers.get("cookie", "")).get(self.access.cookie)
        except CookieError:
            return None
        return None if morsel is None else morsel.value


def _host_of(origin: str) -> str:
    try:
        parts = urlsplit(origin)
    except ValueError:
        return ""
    return parts.netloc.lower() if parts.scheme in ("http", "https") else ""


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True
