"""``finial kit``: one file for the field, that works without Finial and without a network."""

from pathlib import Path

import click

from finial.cli.options import exit_code, quiet_option, say_written, sheet_argument, teller
from finial.core.cores import usable_cores


@click.command("kit")
@sheet_argument
@click.option(
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    help="HTML file to write (default: beside the sheet).",
)
@click.option(
    "--flights", type=click.IntRange(50, 20_000), default=500, show_default=True, help="Of its map."
)
@quiet_option
def command(sheet: Path, output: Path | None, flights: int, quiet: bool) -> int:
    """Write the site kit of the build SHEET: flight card, what-if table, map and checklist in one HTML file.

    It opens on a phone and fetches nothing.

    Exit codes, of the verdict: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.cli.unfinished import begun_shown, loaded_or_begun
    from finial.files.read_by import revision_of
    from finial.files.write import write_atomically
    from finial.findings.begun import Begun
    from finial.findings.field_map import field_map
    from finial.findings.kept_check import kept_check
    from finial.findings.readiness import Depth
    from finial.findings.what_if import what_if
    from finial.flight.many import make_many_ready
    from finial.report.checklist import checklist
    from finial.report.kit_page import Kit, kit_page

    tell = teller(quiet)
    vehicle = loaded_or_begun(sheet, quiet=quiet)
    if isinstance(vehicle, Begun):
        return begun_shown(vehicle, as_json=False, brief=True)
    make_many_ready(lambda: tell("compiling the flight, once on this machine; about half a minute"))
    checked = kept_check(sheet, Depth.WHOLE, tell)
    assert not isinstance(checked, Begun), "a sheet that was loaded has all its tables"
    threads = usable_cores()
    kit = Kit(
        checked=checked,
        revision=revision_of(sheet) or "",
        chapters=checklist(vehicle.sheet, checked.range_safety),
        map=field_map(vehicle, checked.range_safety, flights=flights, seed=1, threads=threads, tell=tell),
        what_if=what_if(vehicle, checked, tell),
    )
    target = output or sheet.with_suffix(".kit.html")
    target.parent.mkdir(parents=True, exist_ok=True)
    write_atomically(target, kit_page(kit).encode())
    say_written("site kit", target, checked)
    return exit_code(checked.verdict)
