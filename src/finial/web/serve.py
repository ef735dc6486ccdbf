"""Serve the page on this machine until Ctrl-C."""

import os
import socket
import threading
import webbrowser
from collections.abc import Callable
from contextlib import suppress

import uvicorn

from finial.findings.check import Changes, Vehicle, readiness
from finial.findings.readiness import Readiness
from finial.web.app import create_app
from finial.web.session import Session, WhatIf

HOST = "127.0.0.1"


def serve(
    loaded: Vehicle, *, port: int = 0, open_browser: bool = True, tell: Callable[[str], object]
) -> None:
    """Serve the page of a loaded vehicle until Ctrl-C; ``tell`` is given the address.

    Raises
    ------
    OSError
        If the port is taken.
    """
    serve_session(session_of(loaded), port=port, open_browser=open_browser, tell=tell)


def session_of(loaded: Vehicle) -> Session:
    """Answer a loaded vehicle's sheet as written, and keep what is needed to answer changes."""

    def answer(change: WhatIf) -> Readiness:
        changes = Changes(ballast_kg=change.ballast_kg, fin_span_scale=change.fin_span_scale)
        return readiness(loaded, changes)

    return Session(as_written=answer(WhatIf(ballast_kg={}, fin_span_scale=1.0)), answer=answer)


def serve_session(session: Session, *, port: int, open_browser: bool, tell: Callable[[str], object]) -> None:
    """Serve one session at 127.0.0.1; port 0 takes any free one. Returns after Ctrl-C.

    Raises
    ------
    OSError
        If the port is taken.
    """
    with listen(port) as listening:
        taken = listening.getsockname()[1]
        address = f"http://{HOST}:{taken}/"
        tell(f"{session.as_written.name}: {address} (Ctrl-C stops it)")
        if open_browser:
            # It connects once the server runs; some browsers return only when they are closed.
            threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
        # Started where Ctrl-C is ignored, as in a script's background, the server stops without raising it.
        with suppress(KeyboardInterrupt):
            server_for(session, port=taken).run(sockets=[listening])
        tell("Stopped.")


def listen(port: int) -> socket.socket:
    """Return a socket that listens on ``port`` of this machine only; 0 takes any free port.

    Raises
    ------
    OSError
        If the port is taken.
    """
    # The protocol is named, as asyncio switches Nagle's algorithm off only then; left on, an answer sent in
    # two pieces waits 40 ms for the browser's delayed acknowledgement of the first.
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        if os.name == "posix":
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((HOST, port))
        listening.listen()
    except OSError:
        listening.close()
        raise
    return listening


def server_for(session: Session, *, port: int) -> uvicorn.Server:
    """Return a server for a socket that already listens on ``port``."""
    config = uvicorn.Config(
        create_app(session, port=port),
        access_log=False,
        lifespan="off",
        log_level="warning",
        server_header=False,
        ws="none",
    )
    return uvicorn.Server(config)
