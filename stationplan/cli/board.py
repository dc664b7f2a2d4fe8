"""``stationplan board``: a board for the wall, on which a shift is seen and recorded."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from stationplan.cli.failure import BadInputError, reason, working_on
from stationplan.cli.output import show
from stationplan.cli.shift_options import now_option, shift_argument
from stationplan.cli.shift_record import SECONDS_AT_ONCE

if TYPE_CHECKING:
    import socket

PORT = 8410


@click.command(short_help="Show a shift on tablets, and record it with a tap.")
@shift_argument
@click.option(
    "--host",
    default="127.0.0.1",
    show_default=True,
    metavar="ADDRESS",
    help="Answer at this address of this machine; 0.0.0.0 for all of them. Without it, only this machine can ask.",
)
@click.option("--port", type=click.IntRange(0, 65535), default=PORT, show_default=True, help="0 for any that is free.")
@click.option("--new-token", is_flag=True, help="Take another token: whoever has been let in is locked out.")
@click.option("--auto", is_flag=True, help="Plan the rest anew after each event that breaks the plan, and go by it.")
@now_option
def board(shift: Path, host: str, port: int, new_token: bool, auto: bool, now: int | None) -> None:
    """Serve a page that shows how the shift in the file SHIFT stands, and records what is tapped on it.

    The page follows whatever is recorded, here, on other tablets or with "shift record". Where others than this
    machine can ask, the address that is printed holds a token, and only who knows it is let in. It stays the same when
    the board is started again; it is kept in SHIFT.token, for you alone. Ctrl-C ends it.
    """
    try:
        from stationplan.board.access import Access
        from stationplan.board.planning import Limits, Planner
        from stationplan.board.serving import Server
        from stationplan.board.token import token_of
        from stationplan.board.watch import Watch
    except ImportError:
        raise BadInputError("a board needs the packages for it: pip install 'stationplan[board]'") from None

    listener, alone = _listen(host, port)
    with listener:
        port = listener.getsockname()[1]
        with working_on(shift):
            watch = Watch(shift, _clock(now), Planner(shift, Limits(SECONDS_AT_ONCE), auto=auto))
        with working_on(f"{shift}.token"):
            token = None if alone else token_of(shift, new=new_token)
        server = Server(watch, Access(_names(host), token, f"board-{port}"))
        show(f"The board of {shift} is at {_address(listener, token)}\n")
        try:
            server.run(sockets=[listener])
        except KeyboardInterrupt:
            show("The board is closed.\n")


def _clock(told: int | None) -> Callable[[date], float]:
    """Seconds since midnight of a day: those of the wall, or from the time that was told on."""
    from stationplan.live.moment import minutes_since

    begun = time.monotonic()

    def wall(day: date) -> float:
        clock = datetime.now()
        return minutes_since(day, clock) * 60 + clock.second + clock.microsecond / 1_000_000

    def from_told(_: date) -> float:
        return (told or 0) * 60 + time.monotonic() - begun

    return wall if told is None else from_told


def _listen(host: str, port: int) -> tuple[socket.socket, bool]:
    """A socket that listens, and whether nobody but this machine can reach it."""
    import ipaddress
    import socket

    try:
        family, _, _, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        listener = socket.create_server((str(address[0]), port), family=family)
    except OSError as error:
        # Python adds what it was doing, in brackets.
        raise BadInputError(f"--host {host} --port {port}: {reason(error).partition(' (')[0]}") from error
    return listener, ipaddress.ip_address(str(address[0]).partition("%")[0]).is_loopback


def _names(host: str) -> frozenset[str]:
    """What this machine may be asked for as."""
    import socket

    own = socket.gethostname().lower()
    return frozenset({host.lower(), own, f"{own}.local"})


def _address(listener: socket.socket, token: str | None) -> str:
    """What to type into a browser."""
    import ipaddress

    host, port = listener.getsockname()[:2]
    if ipaddress.ip_address(host).is_unspecified:
        host = _towards_others(listener.family)
    if ":" in host:
        host = f"[{host}]"
    return f"http://{host}:{port}/" + ("" if token is None else f"?token={token}")


def _towards_others(family: int) -> str:
    """The address at which others are likely to reach this machine, or its name."""
    import socket

    with socket.socket(family, socket.SOCK_DGRAM) as probe:
        try:
            # Nothing is sent: it is only looked up by which way it would go. (Addresses of RFC 5737 and RFC 3849.)
            probe.connect(("192.0.2.1" if family == socket.AF_INET else "2001:db8::1", 9))
            return str(probe.getsockname()[0])
        except OSError:
            return socket.gethostname()
