"""Serve the page on this machine until Ctrl-C."""

import gc
import json
import os
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable
from contextlib import suppress
from functools import lru_cache

import uvicorn

from finial.assemble.vehicle.changes import Changes, reread
from finial.assemble.vehicle.levers import ballast, span
from finial.assemble.vehicle.loading import Vehicle
from finial.files.edit import Value
from finial.files.toml_places import KeyPath
from finial.findings.advice import answered, mends
from finial.findings.check import load, readiness
from finial.findings.range_stage import codes_of
from finial.findings.readiness import Depth, Readiness
from finial.web.app import create_app
from finial.web.desk import Desk
from finial.web.session import PageQuestion, Session

HOST = "127.0.0.1"
_TURN_S = 5e-4
"""How long one thread keeps the interpreter: a flight that landed waits no longer to be read."""
_YOUNGEST = 20_000
"""New objects after which the collector looks for circles: an answer makes thousands, and no circle."""


def serve(
    loaded: Vehicle, *, port: int = 0, open_browser: bool = True, tell: Callable[[str], object]
) -> None:
    """Serve the page of a loaded vehicle until Ctrl-C; ``tell`` is given the address.

    Raises
    ------
    OSError
        If the port is taken.
    """
    session = session_of(loaded)
    spare_what_stays()
    serve_session(session, port=port, open_browser=open_browser, tell=tell)


def session_of(loaded: Vehicle) -> Session:
    """Answer a loaded vehicle's sheet as written, and keep what is needed to answer changes."""
    as_written = answered(loaded)
    path = loaded.files.path

    @lru_cache(maxsize=1)
    def refilled(changes: frozenset[tuple[KeyPath, str]]) -> Vehicle:
        return reread(loaded, {place: json.loads(text) for place, text in changes}, codes_of)

    def answer(change: PageQuestion) -> Readiness:
        typed = frozenset((place, json.dumps(value)) for place, value in change.sheet.items())
        vehicle = refilled(typed) if typed else loaded
        changes = _changes(vehicle, change)
        return readiness(vehicle, changes, depth=Depth.QUICK) if changes or typed else as_written

    def refuse(changes: Changes) -> None:
        reread(loaded, changes, codes_of)

    desk = Desk(path=path, refuse=refuse)
    typed = {check: desk.typed(changes) for check, changes in mends(loaded, as_written).items()}
    return Session(
        as_written=as_written,
        answer=answer,
        desk=desk,
        mends={check: told for check, told in typed.items() if told},
        read_again=lambda: session_of(load(path)),
    )


def spare_what_stays() -> None:
    """Spare the garbage collector what stays until the server ends; let threads take short turns."""
    sys.setswitchinterval(_TURN_S)
    gc.collect()
    gc.freeze()
    gc.set_threshold(_YOUNGEST)


def _changes(loaded: Vehicle, change: PageQuestion) -> Changes:
    """Turn what the sliders say into changes of the sheet; a slider that did not move changes nothing."""
    sheet = loaded.sheet
    changes: dict[KeyPath, Value] = {}
    masses = {item.name: item.mass.value for item in sheet.item}
    for name, mass_kg in change.ballast_kg.items():
        if mass_kg != masses.get(name):
            changes |= ballast(sheet, name, mass_kg)
    if change.fin_span_scale != 1.0:
        for fin in sheet.fin:
            changes |= span(sheet, fin.name, change.fin_span_scale)
    return changes


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
