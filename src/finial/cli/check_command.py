"""``finial check``: findings and verdict."""

from pathlib import Path

import click

from finial.cli.options import exit_code, json_option, quiet_option, sheet_argument, teller


@click.command("check")
@sheet_argument
@json_option
@click.option("--brief", is_flag=True, help="Only the verdict and the findings.")
@click.option("--strict", is_flag=True, help="Exit with 4 when there are cautions.")
@quiet_option
def command(sheet: Path, as_json: bool, brief: bool, strict: bool, quiet: bool) -> int:
    """Go from the build SHEET and its meshes to findings and a verdict.

    Exit codes: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.findings.check import check

    readiness = check(sheet, tell=teller(quiet))
    if as_json:
        from finial.report.json_records import to_json

        click.echo(to_json(readiness))
    else:
        from finial.report.text import print_readiness

        print_readiness(readiness, brief=brief)
    return exit_code(readiness.verdict, strict=strict)
