"""``finial explain``: what a check is about, in general and on one vehicle."""

from pathlib import Path

import click

from finial.cli.options import exit_code, json_option, quiet_option, teller


@click.command("explain")
@click.argument("key", required=False)
@click.argument("sheet", required=False, type=click.Path(path_type=Path, dir_okay=False))
@json_option
@quiet_option
def command(key: str | None, sheet: Path | None, as_json: bool, quiet: bool) -> int:
    """Say what the check KEY is about: why it matters, how its number is found, what may be changed.

    With a build SHEET, also what it found there. Without a KEY, all checks are listed; a key stands behind
    each finding in `--json` answers.

    Exit codes: 0 told (or go, with a SHEET), 3 no-go, 4 not known, 2 no such check.
    """
    import json

    from finial.report.explain import explain_lines, explained, here_lines, list_lines
    from finial.report.json_records import plain
    from finial.report.terminal import terminal_width, write

    width = terminal_width()
    if key is None:
        write(list_lines(width))
        return 0
    told = explained(key)
    if as_json:
        click.echo(json.dumps(plain(told), indent=1, ensure_ascii=False))
        return 0
    write(explain_lines(told, width))
    if sheet is None:
        return 0

    from finial.findings.advice import answered
    from finial.findings.check import load

    readiness = answered(load(sheet, tell=teller(quiet)))
    write(here_lines(key, readiness, width))
    return exit_code(readiness.verdict)
