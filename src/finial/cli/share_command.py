"""``finial share``: the page as one file to send."""

from pathlib import Path

import click

from finial.cli.options import exit_code, quiet_option, say_written, sheet_argument, teller


@click.command("share")
@sheet_argument
@click.option(
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    help="HTML file to write (default: beside the sheet).",
)
@quiet_option
def command(sheet: Path, output: Path | None, quiet: bool) -> int:
    """Write the page of the build SHEET as one HTML file, to read only, for the officer or a friend.

    It opens on a phone, with the 3-D picture, and fetches nothing.

    Exit codes, of the verdict: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from datetime import UTC, datetime

    from finial.cli.unfinished import begun_shown
    from finial.files.read_by import revision_of
    from finial.files.write import write_atomically
    from finial.findings.begun import Begun
    from finial.findings.kept_check import kept_check
    from finial.findings.readiness import Depth
    from finial.web.share import STATIC, shared_page

    checked = kept_check(sheet, Depth.WHOLE, teller(quiet))
    if isinstance(checked, Begun):
        return begun_shown(checked, as_json=False, brief=True)
    text = shared_page(checked, STATIC, revision=revision_of(sheet) or "", when=datetime.now(UTC))
    target = output or sheet.with_suffix(".page.html")
    target.parent.mkdir(parents=True, exist_ok=True)
    write_atomically(target, text.encode())
    say_written("page to send", target, checked)
    return exit_code(checked.verdict)
