"""``finial report``: the whole answer as a PDF."""

from pathlib import Path

import click

from finial.cli.options import exit_code, paper_option, quiet_option, sheet_argument, teller


@click.command("report")
@sheet_argument
@click.option(
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    help="PDF to write (default: beside the sheet).",
)
@click.option("--card", is_flag=True, help="The first page alone: what an officer asks, and where to sign.")
@paper_option
@quiet_option
def command(sheet: Path, output: Path | None, card: bool, paper: str | None, quiet: bool) -> int:
    """Write the answer to the build SHEET as a PDF with pictures."""
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
        made = pdf_bytes(answer, revision=revision_of(sheet) or "", card_alone=card, paper=paper)
    write_atomically(target, made)
    click.echo(f"verdict: {answer.verdict.words}; report written to {target}", err=True)
    return exit_code(answer.verdict)
