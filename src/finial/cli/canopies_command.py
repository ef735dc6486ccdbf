"""``finial canopies``: what is known of each kind of canopy, with its source."""

import json

import click

from finial.cli.options import json_option


@click.command("canopies")
@json_option
def command(as_json: bool) -> int:
    """List the kinds of canopy a sheet may name, with drag and sources."""
    from finial.recovery.canopies.kinds import canopy_kinds
    from finial.report.tables_text import canopies_rows, print_rows

    rows = canopies_rows(canopy_kinds())
    if as_json:
        click.echo(json.dumps(rows, indent=1))
    else:
        print_rows(rows)
    return 0
