"""``finial parts``: what the vehicle is made of, what to cut to which length, what is still to be weighed."""

from pathlib import Path

import click

from finial.cli.options import quiet_option, sheet_argument, teller


@click.command("parts")
@sheet_argument
@click.option(
    "--csv", "csv_file", type=click.Path(path_type=Path), help="Write the list as CSV to this file too."
)
@quiet_option
def command(sheet: Path, csv_file: Path | None, quiet: bool) -> int:
    """List everything that the build SHEET names: masses, lengths to cut, and what is not weighed yet.

    Works for a sheet that is only begun.
    """
    from finial.assemble.mass.bill import bill_of
    from finial.files.write import write_atomically
    from finial.findings.check import load_begun
    from finial.report.bill_text import bill_csv, bill_lines
    from finial.report.terminal import terminal_width, write

    vehicle = load_begun(sheet, tell=teller(quiet))
    rows, us_units = bill_of(vehicle), vehicle.us_units
    name = vehicle.sheet.vehicle.name
    write(bill_lines(name, rows, us_units=us_units, width=terminal_width()))
    if csv_file is not None:
        write_atomically(csv_file, bill_csv(rows, us_units=us_units).encode("utf-8"))
    return 0
