"""A sheet that is only begun, or a mesh without one: answered as far as it goes, with the next steps."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from finial.cli.options import exit_code, teller

if TYPE_CHECKING:
    from finial.assemble.vehicle.loading import LoadedVehicle
    from finial.findings.begun import Begun


def loaded_or_begun(sheet: Path, *, quiet: bool) -> "LoadedVehicle | Begun":
    """Read a sheet; where it lacks what a flight needs, return the answer to what it has."""
    from finial.findings.begun import begun
    from finial.findings.check import load_begun

    vehicle = load_begun(sheet, tell=teller(quiet))
    return begun(vehicle) if vehicle.files.missing else vehicle


def begun_shown(begun: "Begun", *, as_json: bool, full: bool = False, brief: bool = False) -> int:
    """Show what a begun sheet answers, and return the exit code of its verdict."""
    import json

    from finial.report.begun_text import begun_plain, print_begun

    if as_json:
        click.echo(json.dumps(begun_plain(begun, full=full), allow_nan=False, ensure_ascii=False, indent=1))
    else:
        print_begun(begun, brief=brief)
    return exit_code(begun.verdict)
