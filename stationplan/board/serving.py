"""The server: it ends when it is told to, however many tablets listen."""

from __future__ import annotations

import socket

import uvicorn

from stationplan.board.access import Access
from stationplan.board.app import application
from stationplan.board.watch import Watch


class Server(uvicorn.Server):
    """Serves a board until it is interrupted.

    Args:
        watch: looks at the shift.
        access: who may use the board.
    """

    def __init__(self, watch: Watch, access: Access) -> None:
        app = application(watch, access)
        config = uvicorn.Config(
            app, log_level="warning", access_log=False, server_header=False, ws="none", timeout_graceful_shutdown=3
        )
        super().__init__(config)
        self.watch = watch

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End: first the streams of news, for whose end the server would wait in vain."""
        await self.watch.close()
        await super().shutdown(sockets)
