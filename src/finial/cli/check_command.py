"""``finial check``: findings and verdict."""

from pathlib import Path

import click

from finial.cli.options import exit_code, full_option, json_option, quiet_option, sheet_argument, teller


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
    from finial.findings.check import check
    from finial.findings.readiness import Depth

    readiness = check(sheet, depth=Depth.QUICK if how["quick"] else Depth.WHOLE, tell=teller(quiet))
    if as_json:
        from finial.report.json_records import to_json

        click.echo(to_json(readiness, full=full))
    else:
        from finial.report.text import print_readiness

        print_readiness(readiness, brief=how["brief"])
    return exit_code(readiness.verdict, strict=how["strict"])
