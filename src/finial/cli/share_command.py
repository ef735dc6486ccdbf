"""``finial share``: the page as one file to send."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from finial.cli.options import exit_code, quiet_option, say_written, sheet_argument, teller

if TYPE_CHECKING:
    from finial.findings.readiness import Readiness
    from finial.web.landings import Landed


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
    from finial.files.own_campaign import own_campaign
    from finial.files.read_by import revision_of
    from finial.files.write import write_atomically
    from finial.findings.begun import Begun
    from finial.findings.kept_check import kept_check
    from finial.findings.readiness import Depth
    from finial.web.share import STATIC, shared_page

    checked = kept_check(sheet, Depth.WHOLE, teller(quiet))
    if isinstance(checked, Begun):
        return begun_shown(checked, as_json=False, brief=True)
    revision, when = revision_of(sheet) or "", datetime.now(UTC)
    landed = _landed(sheet, checked) if own_campaign(sheet).is_dir() else None
    text = shared_page(checked, STATIC, revision=revision, when=when, landed=landed)
    target = output or sheet.with_suffix(".page.html")
    target.parent.mkdir(parents=True, exist_ok=True)
    write_atomically(target, text.encode())
    say_written("page to send", target, checked)
    return exit_code(checked.verdict)


def _landed(sheet: Path, checked: "Readiness") -> "Landed":
    """Read the landings of the campaign that is kept beside the sheet."""
    from finial.findings.check import load
    from finial.findings.kept_landings import kept_landings
    from finial.web.landings import own_landings

    loaded, least_m = load(sheet), checked.range_safety.minimum_distance_m
    return own_landings(lambda folders: kept_landings(loaded, folders, least_m), sheet, checked.us_units)
