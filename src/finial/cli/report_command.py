"""``finial report``: the whole answer as a PDF."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from finial.cli.kept_tunnel import with_kept_tunnel
from finial.cli.options import exit_code, paper_option, quiet_option, say_written, sheet_argument, teller

if TYPE_CHECKING:
    from finial.assemble.vehicle.loading import LoadedVehicle
    from finial.campaign.answers import CampaignAnswer
    from finial.report.annex import Annex, KeptEntry


@click.command("report")
@sheet_argument
@click.option(
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    help="PDF to write (default: beside the sheet).",
)
@click.option("--card", is_flag=True, help="The first page alone: what an officer asks, and where to sign.")
@click.option(
    "--campaign",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder of flights to tell of (default: <sheet>-campaign, if it is of this very vehicle and day).",
)
@paper_option
@quiet_option
def command(
    sheet: Path, output: Path | None, card: bool, campaign: Path | None, paper: str | None, quiet: bool
) -> int:
    """Write the answer to the build SHEET as a PDF with pictures.

    The first page is the officer's; behind it stand findings, every stage and what it rests on, flights of
    the logbook, a campaign that was flown, the print plan, the methods with their sources and the checklist.

    Exit codes, of the verdict: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.files.read_by import revision_of
    from finial.files.write import write_atomically
    from finial.findings.begun import Begun
    from finial.findings.kept_check import kept_check
    from finial.findings.readiness import Depth
    from finial.report.pdf import begun_pdf_bytes, pdf_bytes

    tell = teller(quiet)
    answer = kept_check(sheet, Depth.WHOLE, tell)
    target = output or sheet.with_suffix(".card.pdf" if card else ".pdf")
    tell("setting the report")
    target.parent.mkdir(parents=True, exist_ok=True)
    if isinstance(answer, Begun):
        made = begun_pdf_bytes(answer, paper=paper)
    else:
        annex = _annex(sheet, campaign, tell)
        revision = revision_of(sheet) or ""
        made = pdf_bytes(
            with_kept_tunnel(answer, sheet), annex, revision=revision, card_alone=card, paper=paper
        )
    write_atomically(target, made)
    say_written("report", target, answer)
    return exit_code(answer.verdict)


def _annex(sheet: Path, campaign: Path | None, tell: Callable[[str], None]) -> "Annex":
    from finial.assemble.mass.bill import bill_of
    from finial.assemble.vehicle.bed import parts_on_bed
    from finial.files.own_campaign import own_campaign
    from finial.files.read_by import content_of_sheet
    from finial.findings.kept_check import loaded_once
    from finial.report.annex import Annex

    vehicle = loaded_once(sheet, content_of_sheet(sheet), tell)
    flown = _flown(vehicle, campaign, own_campaign(sheet), tell)
    return Annex(
        sheet=vehicle.sheet,
        on_bed=parts_on_bed(vehicle),
        bill=bill_of(vehicle),
        campaign=flown,
        flights=logbook_beside(sheet),
    )


def logbook_beside(sheet: Path) -> "tuple[KeptEntry, ...]":
    """Read the flights kept beside the sheet."""
    from finial.files.flight_log.curves import read_curves
    from finial.files.flight_log.kept import curves_of, kept_flights
    from finial.report.annex import KeptEntry

    entries: list[KeptEntry] = []
    for name, flight in kept_flights(sheet):
        path = curves_of(sheet, name)
        entries.append(
            KeptEntry(name=name, flight=flight, curves=read_curves(path) if path.exists() else None)
        )
    return tuple(entries)


def _flown(
    vehicle: "LoadedVehicle", asked: Path | None, usual: Path, tell: Callable[[str], None]
) -> "CampaignAnswer | None":
    """Read the campaign asked for; the usual one is left out, with a note, where it is of another state."""
    if asked is None and not usual.is_dir():
        return None
    from finial.assemble.spread.case import flight_case
    from finial.campaign.kept_answer import kept_answer
    from finial.core.errors import CampaignError, MissingData

    try:
        return kept_answer(flight_case(vehicle), asked or usual)
    except (CampaignError, MissingData) as error:
        if asked is not None:
            raise
        tell(f"no campaign in the report: {error}")
        return None
