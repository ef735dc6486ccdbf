"""``finial share``: the page as one file to send."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from finial.cli.options import exit_code, quiet_option, say_written, sheet_argument, teller

if TYPE_CHECKING:
    from finial.findings.readiness import Readiness
    from finial.web.share import SentAlong


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
    from finial.files.tunnel_runs import own_folder
    from finial.files.write import write_atomically
    from finial.findings.begun import Begun
    from finial.findings.kept_check import kept_check
    from finial.findings.readiness import Depth
    from finial.tunnel_study.flows import FLOWS
    from finial.tunnel_study.surfaces import SURFACES
    from finial.web.share import NOTHING, STATIC, shared_page

    checked = kept_check(sheet, Depth.WHOLE, teller(quiet))
    if isinstance(checked, Begun):
        return begun_shown(checked, as_json=False, brief=True)
    revision, when = revision_of(sheet) or "", datetime.now(UTC)
    drawn = any((own_folder(sheet) / name).is_file() for name in (SURFACES, FLOWS))
    beside = _beside(sheet, checked) if drawn or own_campaign(sheet).is_dir() else NOTHING
    text = shared_page(checked, STATIC, revision=revision, when=when, beside=beside)
    target = output or sheet.with_suffix(".page.html")
    target.parent.mkdir(parents=True, exist_ok=True)
    write_atomically(target, text.encode())
    say_written("page to send", target, checked)
    return exit_code(checked.verdict)


def _beside(sheet: Path, checked: "Readiness") -> "SentAlong":
    """Read what is kept beside the sheet: its campaign's landings, the tunnel's pictures of its shape."""
    from finial.assemble.air.tunnel_shape import shape_hash
    from finial.files.tunnel_runs import own_folder
    from finial.findings.check import load
    from finial.findings.kept_landings import kept_landings
    from finial.tunnel_study.flows import flows_of
    from finial.tunnel_study.surfaces import surfaces_of
    from finial.web.landings import own_landings
    from finial.web.share import SentAlong

    loaded, least_m = load(sheet), checked.range_safety.minimum_distance_m
    shape, folder = shape_hash(loaded), own_folder(sheet)
    return SentAlong(
        landed=own_landings(lambda kept: kept_landings(loaded, kept, least_m), sheet, checked.us_units),
        surfaces=lambda: surfaces_of(shape, folder),
        flows=lambda: flows_of(shape, folder),
    )
