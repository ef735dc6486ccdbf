"""``finial check``: findings and verdict."""

from pathlib import Path

import click

from finial.cli.options import exit_code, full_option, json_option, quiet_option, sheet_argument, teller
from finial.cli.unfinished import begun_shown, loaded_or_begun


@click.command("check")
@sheet_argument
@json_option
@full_option
@click.option("--brief", is_flag=True, help="Only the verdict and the findings.")
@click.option(
    "--quick", is_flag=True, help="Leave out the long looks: says what fails already, and never go."
)
@click.option("--strict", is_flag=True, help="Exit with 4 when there are cautions.")
@quiet_option
def command(sheet: Path, as_json: bool, full: bool, quiet: bool, **how: bool) -> int:
    """Go from the build SHEET and its meshes to findings and a verdict over every look.

    Exit codes: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.findings.begun import Begun
    from finial.findings.check import readiness
    from finial.findings.readiness import Depth

    found = loaded_or_begun(sheet, quiet=quiet)
    if isinstance(found, Begun):
        return begun_shown(found, as_json=as_json, full=full, brief=how["brief"])
    answer = readiness(found, depth=Depth.QUICK if how["quick"] else Depth.WHOLE, tell=teller(quiet))
    if as_json:
        from finial.report.json_records import to_json

        click.echo(to_json(answer, full=full))
    else:
        from finial.report.text import print_readiness

        print_readiness(answer, brief=how["brief"])
    return exit_code(answer.verdict, strict=how["strict"])
