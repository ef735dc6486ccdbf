"""``finial open``: the page on this machine."""

from pathlib import Path

import click

from finial.cli.options import quiet_option, sheet_argument, teller


@click.command("open")
@sheet_argument
@click.option(
    "--port", type=click.IntRange(0, 65535), default=0, show_default="any free one", help="Port on 127.0.0.1."
)
@click.option("--no-browser", is_flag=True, help="Only print the address.")
@quiet_option
def command(sheet: Path, port: int, no_browser: bool, quiet: bool) -> int:
    """Show the vehicle of the build SHEET as a page; stop with Ctrl-C."""
    from finial.findings.check import load
    from finial.web.serve import serve

    loaded = load(sheet, tell=teller(quiet))
    serve(loaded, port=port, open_browser=not no_browser, tell=click.echo)
    return 0
