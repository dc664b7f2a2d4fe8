"""The web application: its pages, the stream of news, and the taps."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route

from stationplan.board.access import Access, Door
from stationplan.board.taps import Tap, Wish, record
from stationplan.board.watch import Watch
from stationplan.live.errors import EventError, LiveError
from stationplan.live.wording import told
from stationplan.render.board import board_chart, board_page, board_script, board_style

LARGEST = 4096
"""Bytes that a page may send at once."""
BEAT = 10
"""Seconds after which the time is told when there is no other news, so that a dead line is noticed."""


def application(watch: Watch, access: Access) -> Starlette:
    """The board of a shift.

    Args:
        watch: looks at the shift.
        access: who may use the board.

    Returns:
        An application (ASGI 3).
    """
    style, script = board_style(), board_script()

    @asynccontextmanager
    async def watching(_: Starlette) -> AsyncIterator[None]:
        task = asyncio.create_task(watch.keep())
        yield
        task.cancel()
        with suppress(asyncio.CancelledError):
            await task

    async def page(_: Request) -> Response:
        return HTMLResponse(board_page(watch.log.plan, watch.log.identity))

    async def chart(_: Request) -> Response:
        return HTMLResponse(await run_in_threadpool(board_chart, watch.stands))

    async def css(_: Request) -> Response:
        return Response(style, media_type="text/css")

    async def js(_: Request) -> Response:
        return Response(script, media_type="text/javascript")

    async def events(_: Request) -> Response:
        return StreamingResponse(_news(watch), media_type="text/event-stream")

    async def taps(request: Request) -> Response:
        return await _tapped(request, watch)

    async def plan(request: Request) -> Response:
        return await _planned(request, watch)

    return Starlette(
        routes=[
            Route("/", page),
            Route("/board.css", css),
            Route("/board.js", js),
            Route("/chart", chart),
            Route("/events", events),
            Route("/taps", taps, methods=["POST"]),
            Route("/plan", plan, methods=["POST"]),
        ],
        middleware=[Middleware(Door, access=access)],
        lifespan=watching,
    )


async def _news(watch: Watch) -> AsyncIterator[str]:
    """Everything there is to see, again whenever it changes (server-sent events, HTML Living Standard 9.2)."""
    seen = watch.sight
    yield _event("state", watch.message())
    while True:
        sight = await watch.after(seen, BEAT)
        if watch.closed:
            return
        yield _event("clock", watch.now) if sight is seen else _event("state", watch.message())
        seen = sight


def _event(kind: str, data: object) -> str:
    """JSON has no line ends, which would end the data."""
    return f"event: {kind}\ndata: {json.dumps(data)}\n\n"


async def _tapped(request: Request, watch: Watch) -> Response:
    """200: it is recorded. 409, 422: it never can be, and why. Anything else: send it again later."""
    try:
        tap = Tap.model_validate_json(await _body(request))
    except ValueError:
        return _refused("this is no tap", 422)
    if tap.shift != watch.log.identity:
        return _another_shift()
    try:
        entry = await run_in_threadpool(record, watch.path, tap, int(watch.now // 60))
    except EventError as error:
        return _refused(str(error), 409)
    except (LiveError, OSError) as error:
        return PlainTextResponse(str(error), 503)
    await watch.look()
    return JSONResponse({"number": entry.number, "told": told(entry.event), "state": watch.message()})


async def _planned(request: Request, watch: Watch) -> Response:
    """202: the rest is being planned anew. 409: that goes on already."""
    try:
        wish = Wish.model_validate_json(await _body(request))
    except ValueError:
        return _refused("this is no wish for a plan", 422)
    if wish.shift != watch.log.identity:
        return _another_shift()
    if not await watch.plan_anew():
        return _refused("the rest is being planned anew already", 409)
    return JSONResponse({"state": watch.message()}, 202)


async def _body(request: Request) -> bytes:
    """What a page of ours sends: JSON, which no form of another page can be, and not much of it."""
    if request.headers.get("content-type") != "application/json":
        raise ValueError("no JSON")
    body = b""
    async for part in request.stream():
        body += part
        if len(body) > LARGEST:
            raise ValueError("too long")
    return body


def _another_shift() -> Response:
    return PlainTextResponse("the board shows another shift now; load the page again", 503)


def _refused(why: str, status: int) -> Response:
    return JSONResponse({"error": why}, status)
