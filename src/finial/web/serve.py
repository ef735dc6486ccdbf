"""Serve the page on this machine until Ctrl-C."""

import ctypes
import gc
import json
import os
import socket
import sys
import tempfile
import threading
import webbrowser
from collections.abc import Callable, Generator
from contextlib import contextmanager, suppress
from functools import cache, lru_cache
from pathlib import Path

import uvicorn
from starlette.applications import Starlette

from finial.assemble.air.tunnel_shape import shape_hash
from finial.assemble.vehicle.changes import Changes, of_files, reread
from finial.assemble.vehicle.levers import ballast, span
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.files.edit import Value
from finial.files.read_by import content_of_sheet
from finial.files.sheet import sheet_from
from finial.files.source import toml_from
from finial.files.toml_places import KeyPath
from finial.files.tunnel_runs import own_folder
from finial.findings.advice import answered, mends
from finial.findings.at_heights import scaling_wanted
from finial.findings.begun import begun
from finial.findings.check import load_begun, readiness
from finial.findings.kept_check import trial_kept
from finial.findings.kept_landings import kept_landings
from finial.findings.range_stage import codes_of
from finial.findings.readiness import Depth, Readiness
from finial.sizing.scale import Scaling
from finial.tunnel_study.flows import flows_of
from finial.tunnel_study.surfaces import surfaces_of
from finial.web.app import create_app
from finial.web.desk import Desk
from finial.web.drafts.draft import Draft
from finial.web.drafts.onward import Onward
from finial.web.drafts.opened import app_of, draft_of
from finial.web.guard import KEY, new_key
from finial.web.session import BegunSession, PageQuestion, Session, TypedMend

HOST = "127.0.0.1"
_TURN_S = 5e-4
"""How long one thread keeps the interpreter: a flight that landed waits no longer to be read."""
_M_TRIM_THRESHOLD, _M_MMAP_THRESHOLD = -1, -3
"""Names of two settings in the C library's ``malloc.h``."""
_FREED_BYTES, _MAPPED_BYTES = 64 * 2**20, 16 * 2**20
"""How much freed memory stays with the server, and from what size on an array is mapped by itself."""
_YOUNGEST = 20_000
"""New objects after which the collector looks for circles: an answer makes thousands, and no circle."""


def serve(
    loaded: LoadedVehicle, *, port: int = 0, open_browser: bool = True, tell: Callable[[str], object]
) -> None:
    """Serve the page of a loaded vehicle until Ctrl-C; ``tell`` is given the address.

    Raises
    ------
    OSError
        If the port is taken.
    """
    session = opened(loaded)
    spare_what_stays()
    serve_session(session, port=port, open_browser=open_browser, tell=tell)


def opened(loaded: LoadedVehicle) -> Session | BegunSession:
    """Answer a sheet as far as it goes: one that lacks what a flight needs is only begun."""
    return begun_session(loaded) if loaded.files.missing else session_of(loaded)


def begun_session(loaded: LoadedVehicle) -> BegunSession:
    """Answer a sheet that is only begun, and keep what is needed to go on with it."""
    path, filled_in = loaded.files.path, _filling(loaded)
    return BegunSession(
        begun=begun(loaded),
        missing=loaded.files.missing,
        desk=_desk_of(loaded),
        read_again=lambda: opened(load_begun(path)),
        tried=lambda changes: begun(filled_in(changes)),
        scaling=lambda changes: scaling_wanted(filled_in(changes)),
    )


def _filling(loaded: LoadedVehicle) -> Callable[[Changes], LoadedVehicle]:
    """Return what reads a vehicle with changes of its sheet; the last ones are kept, typed and slid too."""

    @lru_cache(maxsize=2)
    def refilled(changes: frozenset[tuple[KeyPath, str]]) -> LoadedVehicle:
        return reread(loaded, {place: json.loads(text) for place, text in changes}, codes_of)

    def filled_in(changes: Changes) -> LoadedVehicle:
        typed = frozenset((place, json.dumps(value)) for place, value in changes.items())
        return refilled(typed) if typed else loaded

    return filled_in


def _desk_of(loaded: LoadedVehicle) -> Desk:
    path = loaded.files.path

    def refuse(changes: Changes) -> None:
        reread(loaded, changes, codes_of)

    def refuse_text(text: str) -> None:
        of_files(loaded, sheet_from(toml_from(path, text)), codes_of)

    return Desk(path=path, refuse=refuse, refuse_text=refuse_text)


def session_of(loaded: LoadedVehicle) -> Session:
    """Answer a loaded vehicle's sheet as written, and keep what is needed to answer changes."""
    path, filled_in = loaded.files.path, _filling(loaded)
    content, as_written = content_of_sheet(path), answered(loaded)

    def answer(change: PageQuestion) -> Readiness:
        vehicle = filled_in(change.sheet)
        changes = _changes(vehicle, change)
        return readiness(vehicle, changes, depth=Depth.QUICK) if changes or change.sheet else as_written

    def quickly(changes: Changes) -> Readiness:
        return readiness(reread(loaded, changes, codes_of) if changes else loaded, depth=Depth.QUICK)

    def together(change: PageQuestion) -> Changes:
        return {**change.sheet, **_changes(filled_in(change.sheet), change)}

    def scaling(changes: Changes) -> Scaling:
        return scaling_wanted(filled_in(changes))

    @cache
    def shape() -> str:
        return shape_hash(loaded)

    desk = _desk_of(loaded)
    told = (
        (check, one, desk.typed_as_there(one.changes)) for check, one in mends(loaded, as_written).items()
    )
    return Session(
        as_written=as_written,
        answer=answer,
        desk=desk,
        changes=together,
        quickly=quickly,
        whole=lambda changes: trial_kept(path, content, changes),
        scaling=scaling,
        mends={
            check: TypedMend(trial=one.trial, named=one.named, typed=typed, said=desk.said(typed))
            for check, one, typed in told
            if typed
        },
        landings=lambda folders: kept_landings(loaded, folders, as_written.range_safety.minimum_distance_m),
        surfaces=lambda: surfaces_of(shape(), own_folder(path)),
        flows=lambda: flows_of(shape(), own_folder(path)),
        read_again=lambda: opened(load_begun(path)),
    )


def spare_what_stays() -> None:
    """Spare the garbage collector what stays until the server ends; let threads take short turns."""
    sys.setswitchinterval(_TURN_S)
    gc.collect()
    gc.freeze()
    gc.set_threshold(_YOUNGEST)
    _keep_freed_memory()


def _keep_freed_memory() -> None:
    """Keep the pages that arrays free: handed back, each is cleared again for the next array."""
    # Other systems have another allocator.
    with suppress(OSError, TypeError, AttributeError):
        allocator = ctypes.CDLL(None)
        allocator.mallopt(_M_TRIM_THRESHOLD, _FREED_BYTES)
        allocator.mallopt(_M_MMAP_THRESHOLD, _MAPPED_BYTES)


def _changes(loaded: LoadedVehicle, change: PageQuestion) -> Changes:
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


def serve_session(
    session: Session | BegunSession | Draft,
    *,
    port: int,
    open_browser: bool,
    tell: Callable[[str], object],
) -> None:
    """Serve one session, or a draft, at 127.0.0.1; port 0 takes any free one. Returns after Ctrl-C.

    Raises
    ------
    OSError
        If the port is taken.
    """
    with listen(port) as listening:
        taken = listening.getsockname()[1]
        key = new_key()
        address = f"http://{HOST}:{taken}/?{KEY}={key}"
        tell(f"{session.name}: {address} (Ctrl-C stops it)")
        with way_in(address) as opening:
            if open_browser:
                # It connects once the server runs; some browsers return only when they are closed.
                threading.Thread(target=webbrowser.open, args=(opening,), daemon=True).start()
            # Started where Ctrl-C is ignored, as in a script's background, the server stops without raising.
            with suppress(KeyboardInterrupt):
                server_for(session, port=taken, key=key).run(sockets=[listening])
        tell("Stopped.")


@contextmanager
def way_in(address: str) -> Generator[str]:
    """Give the address of a file that leads to the page, which only this user can read.

    What a browser is started with, every user of the machine can read; so the key is not among it.
    """
    with tempfile.TemporaryDirectory(prefix="finial-open-") as folder:
        path = Path(folder) / "open.html"
        told = f'<!doctype html><meta charset="utf-8"><meta http-equiv="refresh" content="0;url={address}">'
        path.write_text(told, encoding="utf-8")
        yield path.as_uri()


def listen(port: int, host: str = HOST) -> socket.socket:
    """Return a socket that listens on ``port``, of this machine only where no other host is named.

    Port 0 takes any free one.

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
        listening.bind((host, port))
        listening.listen()
    except OSError:
        listening.close()
        raise
    return listening


def server_for(session: Session | BegunSession | Draft, *, port: int, key: str) -> uvicorn.Server:
    """Return a server for a socket that already listens on ``port``; it answers whoever has the key."""
    config = uvicorn.Config(
        _app(session, port=port, key=key),
        access_log=False,
        log_level="warning",
        server_header=False,
        ws="none",
    )
    return uvicorn.Server(config)


def _app(session: Session | BegunSession | Draft, *, port: int, key: str) -> Starlette | Onward:
    """Return what answers: a draft leads on to what is begun with it, under the same address."""
    if not isinstance(session, Draft):
        return create_app(session, port=port, key=key)
    onward = Onward()

    def follow(path: Path) -> None:
        draft = draft_of(path)
        if draft is not None:
            onward.go_on(draft_app(draft))
        else:
            onward.go_on(create_app(opened(load_begun(path)), port=port, key=key))

    def draft_app(draft: Draft) -> Starlette:
        return app_of(draft, port=port, key=key, follow=follow)

    onward.go_on(draft_app(session))
    return onward
