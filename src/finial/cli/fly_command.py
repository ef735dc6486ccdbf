"""``finial fly``: one flight, its time line and its plots."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from finial.cli.options import full_option, json_option, quiet_option, sheet_argument, teller
from finial.cli.unfinished import begun_shown, loaded_or_begun
from finial.cli.view import View, ViewAsked, plots_option, shown

if TYPE_CHECKING:
    from finial.assemble.vehicle.loading import LoadedVehicle
    from finial.findings.readiness import Readiness


@click.command("fly")
@sheet_argument
@json_option
@full_option
@plots_option
@click.option(
    "--trace", type=click.Path(path_type=Path, dir_okay=False), help="CSV to write the time history to."
)
@click.option(
    "--gusts",
    type=click.IntRange(0, 2**31 - 1),
    help="Show the flight in gusts of this number, laid over the day's wind; the verdict stays the same.",
)
@quiet_option
def command(sheet: Path, trace: Path | None, gusts: int | None, **how: Any) -> int:
    """Fly the vehicle of the build SHEET once, in the day's wind, and plot it.

    Exit codes: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.files.write import write_atomically
    from finial.findings.advice import answered
    from finial.findings.begun import Begun
    from finial.report.flight_text import print_flight
    from finial.report.pictures.flight_pictures import flight_pictures
    from finial.report.trace_csv import trace_csv

    tell = teller(how["quiet"])
    vehicle = loaded_or_begun(sheet, quiet=how["quiet"])
    if isinstance(vehicle, Begun):
        return begun_shown(vehicle, as_json=how["as_json"], full=how["full"])
    answer = answered(vehicle, tell=tell)
    if gusts is not None:
        answer = _in_gusts(answer, vehicle, gusts)
        tell(f"time line and plots are of the flight in gusts number {gusts}")
    if trace is not None:
        write_atomically(trace, trace_csv(answer.flight.trace).encode())
    view = View(name="flight", write_text=print_flight, pictures=flight_pictures)
    return shown(answer, view, ViewAsked(**how))


def _in_gusts(answer: "Readiness", vehicle: "LoadedVehicle", number: int) -> "Readiness":
    """Put the flight in gusts in the place of the one in the mean wind."""
    from dataclasses import replace

    from finial.assemble.basis import basis_of
    from finial.assemble.flights.gusty import gusty_flight

    trace = gusty_flight(basis_of(vehicle).flights, number)
    return replace(answer, flight=replace(answer.flight, trace=trace))
