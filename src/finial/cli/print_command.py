"""``finial print``: the parts cut to the printer's bed, joined, numbered, and what each takes."""

import json
from pathlib import Path

import click

from finial.cli.options import json_option, quiet_option, sheet_argument, teller


@click.command("print")
@sheet_argument
@click.option(
    "--folder",
    type=click.Path(path_type=Path, file_okay=False),
    help="Where the pieces go (default: beside the sheet). Only an earlier plan is ever replaced.",
)
@click.option(
    "--gcode",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Read the motions of one print instead: filament, time, walls really printed.",
)
@click.option("--tests", is_flag=True, help="Write test pieces instead: what to break, weigh and fit.")
@click.option("--plan-only", is_flag=True, help="Tell the plan, write nothing.")
@json_option
@quiet_option
def command(sheet: Path, folder: Path | None, gcode: Path | None, tests: bool, **how: bool) -> int:
    """Plan the print of the build SHEET: pieces that fit the bed, with joints, holes and numbers in them.

    Writes each piece as STL as it lies on the bed, all of them as one 3MF in millimetres, a picture of the
    pieces drawn apart and their table as CSV. Works for a sheet that is only begun.
    """
    if gcode is not None:
        return _laid(sheet, gcode, as_json=how["as_json"], quiet=how["quiet"])
    if tests:
        return _tests(sheet, folder, plan_only=how["plan_only"], quiet=how["quiet"])
    return _planned(sheet, folder, how)


def _planned(sheet: Path, folder: Path | None, how: dict[str, bool]) -> int:
    """Plan the pieces, write them and tell them."""
    from finial.assemble.prints.strength import judged_plan
    from finial.files.write import write_folder
    from finial.findings.check import load_begun
    from finial.findings.limits import Limits
    from finial.report.print_files import is_plan_file, plan_files
    from finial.report.print_json import plan_plain
    from finial.report.print_text import print_plan_text
    from finial.report.words import counted

    tell = teller(how["quiet"])
    vehicle = load_begun(sheet, tell=tell)
    plan = judged_plan(vehicle, tell, Limits(own=vehicle.sheet.limits.own)["reserve"].value)
    if not how["plan_only"]:
        target = folder or sheet.parent / f"{sheet.stem}-print"
        tell("writing the pieces")
        write_folder(target, plan_files(plan), is_plan_file)
        click.echo(f"{counted(len(plan.pieces), 'piece')} written to {target}", err=True)
    if how["as_json"]:
        click.echo(json.dumps(plan_plain(plan), allow_nan=False, ensure_ascii=False, indent=1))
    else:
        print_plan_text(plan)
    return 0


def _tests(sheet: Path, folder: Path | None, *, plan_only: bool, quiet: bool) -> int:
    """Write test pieces, and tell what to do with each."""
    from finial.assemble.prints.samples import samples
    from finial.files.write import write_folder
    from finial.findings.check import load_begun
    from finial.report.samples_text import is_sample_file, print_samples, sample_files
    from finial.report.shown import Shown
    from finial.report.words import counted

    vehicle = load_begun(sheet, tell=teller(quiet))
    every, shown = tuple(samples(vehicle)), Shown(us_units=vehicle.us_units)
    if not plan_only:
        target = folder or sheet.parent / f"{sheet.stem}-tests"
        write_folder(target, sample_files(every, shown), is_sample_file)
        click.echo(f"{counted(len(every), 'test piece')} written to {target}", err=True)
    print_samples(every, shown)
    return 0


def _laid(sheet: Path, gcode: Path, *, as_json: bool, quiet: bool) -> int:
    """Tell what the motions of a print lay down, beside what the sheet says."""
    from finial.assemble.prints.motions import laid_by
    from finial.findings.check import load_begun
    from finial.report.laid_text import laid_plain, print_laid

    told = laid_by(load_begun(sheet, tell=teller(quiet)), gcode)
    if as_json:
        click.echo(json.dumps(laid_plain(told), allow_nan=False, ensure_ascii=False, indent=1))
    else:
        print_laid(told)
    return 0
