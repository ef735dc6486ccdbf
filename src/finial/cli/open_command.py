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
@click.option(
    "--begin",
    type=click.Choice(["tower", "photos"]),
    help="Where SHEET is not there yet: draw a tower, or mark photos, into it.",
)
@quiet_option
def command(sheet: Path, port: int, no_browser: bool, begin: str | None, quiet: bool) -> int:
    """Show the vehicle of the build SHEET as a page; stop with Ctrl-C.

    A sheet that is only begun is filled in there. In its place a tower's file is
    drawn there without CAD, and a file of photos' marks is marked there.
    """
    from finial.findings.check import load_begun
    from finial.web.drafts.opened import KINDS, draft_of
    from finial.web.serve import serve, serve_session

    draft = KINDS[begin](sheet) if begin and not sheet.exists() else draft_of(sheet)
    if draft is not None:
        serve_session(draft, port=port, open_browser=not no_browser, tell=click.echo)
        return 0
    loaded = load_begun(sheet, tell=teller(quiet))
    serve(loaded, port=port, open_browser=not no_browser, tell=click.echo)
    return 0
