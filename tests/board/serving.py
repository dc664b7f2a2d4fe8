"""A board that is served, and somebody who asks it things without a browser."""

from __future__ import annotations

import json
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.client import HTTPConnection
from itertools import count
from pathlib import Path
from typing import Any

from stationplan.board.access import Access
from stationplan.board.planning import Limits, Planner
from stationplan.board.serving import Server
from stationplan.board.watch import Watch

_KEYS = count(1)


@dataclass
class Time:
    """The time in a shift, which goes on when a test says so."""

    minute: int


@dataclass(frozen=True)
class Answer:
    status: int
    headers: dict[str, str]
    text: str

    @property
    def data(self) -> Any:
        return json.loads(self.text)


@dataclass
class Board:
    """A board at a port of this machine that can be stopped and started again."""

    path: Path
    time: Time
    token: str | None = None
    auto: bool = False
    port: int = 0
    _running: list[tuple[Server, threading.Thread]] = field(default_factory=list)

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/"

    def start(self) -> None:
        listener = socket.create_server(("127.0.0.1", self.port))
        self.port = listener.getsockname()[1]
        access = Access(frozenset({"kitchen.local"}), self.token, f"board-{self.port}")
        planner = Planner(self.path, Limits(effort=0), auto=self.auto)
        server = Server(Watch(self.path, lambda _: self.time.minute * 60.0, planner), access)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
        thread.start()
        while not server.started:
            assert thread.is_alive()
            time.sleep(0.01)
        self._running.append((server, thread))

    def stop(self) -> None:
        while self._running:
            server, thread = self._running.pop()
            server.should_exit = True
            thread.join()

    def ask(self, path: str = "/", *, method: str = "GET", body: str | None = None, **headers: str | None) -> Answer:
        """Ask for something; a header given as None is left out, and others are as a page of the board sends them."""
        given = {"Host": f"127.0.0.1:{self.port}", **{name.replace("_", "-"): text for name, text in headers.items()}}
        if method == "POST":
            given = {"Origin": self.address.rstrip("/"), "Content-Type": "application/json", **given}
        connection = HTTPConnection("127.0.0.1", self.port)
        content = (body or "").encode()
        connection.putrequest(method, path, skip_host=True)
        for name, text in {**given, "Content-Length": str(len(content))}.items():
            if text is not None:
                connection.putheader(name, text)
        connection.endheaders(content)
        response = connection.getresponse()
        answer = Answer(response.status, dict(response.getheaders()), response.read().decode())
        connection.close()
        return answer

    def tap(self, kind: str, of: str, *, at: int | None = None, key: str | None = None, **more: object) -> Answer:
        """Send a tap as the page does."""
        tap = {
            "key": f"{next(_KEYS):032x}" if key is None else key,
            "shift": self.identity(),
            "kind": kind,
            "of": of,
            "at": self.time.minute if at is None else at,
            "who": "Odo",
            **more,
        }
        return self.ask("/taps", method="POST", body=json.dumps(tap))

    def identity(self) -> str:
        from stationplan.live.record import read

        return read(self.path).identity

    @contextmanager
    def listening(self) -> Iterator[Iterator[dict[str, Any]]]:
        """The stream of news, as a tablet hears it."""
        connection = HTTPConnection("127.0.0.1", self.port, timeout=60)
        connection.request("GET", "/events")
        response = connection.getresponse()
        try:
            yield _states(response)
        finally:
            response.close()
            connection.close()


@contextmanager
def serving(path: Path, token: str | None = None, *, auto: bool = False) -> Iterator[Board]:
    """A board at six o'clock, when the first shift opens; it plans by pushing alone, which takes a moment."""
    board = Board(path, Time(6 * 60), token, auto)
    board.start()
    try:
        yield board
    finally:
        board.stop()


def _states(response: Any) -> Iterator[dict[str, Any]]:
    kind, beats = "", 0
    while line := response.readline().decode():
        name, _, rest = line.rstrip("\n").partition(": ")
        if name == "event":
            kind, beats = rest, beats + 1 if rest == "clock" else 0
            assert beats < 6, "there was no news for a minute"
        elif name == "data" and kind == "state":
            yield json.loads(rest)
