"""``finial check``: findings and verdict."""

from pathlib import Path

import click

from finial.cli.options import exit_code, full_option, json_option, quiet_option, sheet_argument, teller
from finial.cli.unfinished import begun_shown


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
    from finial.findings.kept_check import kept_check
    from finial.findings.readiness import Depth, Readiness

    answer = kept_check(sheet, Depth.QUICK if how["quick"] else Depth.WHOLE, teller(quiet))
    if not isinstance(answer, Readiness):
        return begun_shown(answer, as_json=as_json, full=full, brief=how["brief"])
    if as_json:
        from finial.report.json_records import to_json

        click.echo(to_json(answer, full=full))
    else:
        from finial.report.text import print_readiness

        print_readiness(answer, brief=how["brief"])
    return exit_code(answer.verdict, strict=how["strict"])
