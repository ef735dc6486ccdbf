"""``finial checklist``: boxes to tick, from this vehicle's own sheet."""

from pathlib import Path

import click

from finial.cli.options import exit_code, paper_option, quiet_option, say_written, sheet_argument, teller
from finial.cli.unfinished import begun_shown


@click.command("checklist")
@sheet_argument
@click.option(
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    help="PDF to write (default: beside the sheet).",
)
@paper_option
@quiet_option
def command(sheet: Path, output: Path | None, paper: str | None, quiet: bool) -> int:
    """Write checklists for the build SHEET as a PDF: packing, charges, pad, misfire, after landing.

    Exit codes, of the verdict: 0 go, 3 no-go, 4 not known, 2 wrong input.
    """
    from finial.files.read_by import revision_of
    from finial.files.sheet import read_sheet
    from finial.files.write import write_atomically
    from finial.findings.begun import Begun
    from finial.findings.kept_check import kept_check
    from finial.findings.readiness import Depth
    from finial.report.checklist import checklist
    from finial.report.pdf import checklist_pdf_bytes

    answer = kept_check(sheet, Depth.WHOLE, teller(quiet))
    if isinstance(answer, Begun):
        return begun_shown(answer, as_json=False, full=False, brief=True)
    chapters = checklist(read_sheet(sheet).sheet, answer.range_safety)
    target = output or sheet.with_suffix(".checklist.pdf")
    target.parent.mkdir(parents=True, exist_ok=True)
    made = checklist_pdf_bytes(answer, chapters, revision=revision_of(sheet) or "", paper=paper)
    write_atomically(target, made)
    say_written("checklist", target, answer)
    return exit_code(answer.verdict)
