"""Serve the day's page on the same network until Ctrl-C."""

import socket
from collections.abc import Callable
from contextlib import suppress

import uvicorn

from finial.assemble.vehicle.changes import Changes
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import OutsideRange
from finial.files.edit import set_values
from finial.files.read_by import revision_of
from finial.findings.advice import answered
from finial.findings.check import Tell, load
from finial.findings.today import today
from finial.report.checklist import checklist
from finial.report.phone_page import fields
from finial.web.phone_app import PhoneDay, phone_app
from finial.web.phone_guard import Codes, is_near
from finial.web.serve import listen

_NOBODY = "192.0.2.1"
"""An address that is nobody's (RFC 5737): a route to it names the way out; nothing is sent."""


def serve_phone(
    vehicle: LoadedVehicle,
    *,
    address: str,
    port: int,
    may_write: bool,
    tell: Callable[[str], object],
    note: Tell,
) -> None:
    """Serve the day of a vehicle at an address of the same network; ``tell`` is given address and code.

    Raises
    ------
    OutsideRange
        If the address is carried by wider networks.
    OSError
        If it is not an address of this machine, or the port is taken.
    """
    host = address or own_address()
    if not is_near(host):
        raise OutsideRange(f"{host} may be reached from far away: give an address of a network of your own")
    with listen(port, host) as listening:
        taken = listening.getsockname()[1]
        day = day_of(vehicle, may_write=may_write, note=note)
        tell(f"{day.by_sheet.name}: http://{host}:{taken}/ on a phone in the same network (Ctrl-C stops it)")
        tell("It is not encrypted: whoever shares the network may read along.")
        server = phone_server(day, host=f"{host}:{taken}", codes=Codes(tell))
        with suppress(KeyboardInterrupt):
            server.run(sockets=[listening])
        tell("Stopped.")


def phone_server(day: PhoneDay, *, host: str, codes: Codes) -> uvicorn.Server:
    """Return a server of one day for a socket that listens already; ``host`` as a browser tells it."""
    app = phone_app(day, hosts=frozenset((host,)), codes=codes)
    return uvicorn.Server(
        uvicorn.Config(
            app, access_log=False, lifespan="off", log_level="warning", server_header=False, ws="none"
        )
    )


def day_of(vehicle: LoadedVehicle, *, may_write: bool, note: Tell) -> PhoneDay:
    """Answer by the sheet, and keep what is needed to answer by what is read."""
    by_sheet, path = answered(vehicle, tell=note), vehicle.files.path
    known = vehicle.sheet.launch.wind.tolerance
    now = [vehicle]

    def write(read: Changes) -> None:
        set_values(path, read)
        now[0] = load(path)

    return PhoneDay(
        by_sheet=by_sheet,
        revision=revision_of(path) or "",
        chapters=checklist(vehicle.sheet, by_sheet.range_safety),
        asked=fields(us_units=by_sheet.us_units, wind_known_to=f"{known:g} m/s" if known else ""),
        answer=lambda read: today(now[0], read, note),
        write=write if may_write else None,
    )


def own_address() -> str:
    """Find the address of this machine that others of its network reach.

    Raises
    ------
    OutsideRange
        If it is in no network.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect((_NOBODY, 9))
        except OSError as error:
            raise OutsideRange(
                "this machine is in no network: join the phone's, or name --address"
            ) from error
        return str(probe.getsockname()[0])
