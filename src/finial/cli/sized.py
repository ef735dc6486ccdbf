"""What the commands that size share: the vehicle they load, and the sheet they write to."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from finial.cli.options import teller
from finial.report.progress import compile_flight

if TYPE_CHECKING:
    from finial.assemble.vehicle.changes import Changes
    from finial.assemble.vehicle.loading import LoadedVehicle

write_option = click.option(
    "--write", is_flag=True, help="Write the answer into the sheet; its comments stay."
)


def loaded(sheet: Path, how: dict[str, Any], *, many: bool = False) -> "LoadedVehicle":
    """Load the vehicle, and have the flight compiled that is flown for it."""
    from finial.findings.check import load

    tell = teller(how["quiet"])
    vehicle = load(sheet, tell=tell)
    for of_many in (False, True) if many else (False,):
        compile_flight(tell, many=of_many)
    tell("sizing")
    return vehicle


def written(sheet: Path, changes: "Changes") -> None:
    """Write changes into the sheet, and say so."""
    from finial.files.edit import set_values

    set_values(sheet, changes)
    click.echo(f"written to {sheet}", err=True)
