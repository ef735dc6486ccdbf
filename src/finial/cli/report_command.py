"""``finial report``: the whole answer as a PDF."""

from pathlib import Path

import click

from finial.cli.options import exit_code, quiet_option, sheet_argument, teller


@click.command("report")
@sheet_argument
@click.option(
    "--output",
    type=click.Path(path_type=Path, dir_okay=False),
    help="PDF to write (default: beside the sheet).",
)
@quiet_option
def command(sheet: Path, output: Path | None, quiet: bool) -> int:
    """Write the answer to the build SHEET as a PDF with pictures."""
    from finial.files.write import write_atomically
    from finial.findings.begun import Begun
    from finial.findings.kept_check import kept_check
    from finial.findings.readiness import Depth
    from finial.report.pdf import begun_pdf_bytes, pdf_bytes

    tell = teller(quiet)
    answer = kept_check(sheet, Depth.WHOLE, tell)
    target = output or sheet.with_suffix(".pdf")
    tell("setting the report")
    target.parent.mkdir(parents=True, exist_ok=True)
    write_atomically(target, begun_pdf_bytes(answer) if isinstance(answer, Begun) else pdf_bytes(answer))
    click.echo(f"verdict: {answer.verdict.words}; report written to {target}", err=True)
    return exit_code(answer.verdict)
