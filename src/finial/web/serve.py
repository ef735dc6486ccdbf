"""Serve the page on this machine until Ctrl-C."""

import socket
import threading
import webbrowser
from collections.abc import Callable

import uvicorn

from finial.web.app import create_app
from finial.web.session import Session

HOST = "127.0.0.1"


def serve_session(session: Session, *, port: int, open_browser: bool, tell: Callable[[str], object]) -> None:
    """Serve one session at 127.0.0.1; port 0 takes any free one. Returns after Ctrl-C.

    Raises
    ------
    OSError
        If the port is taken.
    """
    with socket.create_server((HOST, port)) as listening:
        taken = listening.getsockname()[1]
        address = f"http://{HOST}:{taken}/"
        tell(f"{session.as_written.name}: {address} (Ctrl-C stops it)")
        if open_browser:
            # It connects once the server runs; some browsers return only when they are closed.
            threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
        try:
            server_for(session, port=taken).run(sockets=[listening])
        except KeyboardInterrupt:
            tell("Stopped.")


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
