"""``finial draw``: drawings true to scale, to cut and drill by, and jigs to glue fins in."""

from pathlib import Path

import click

from finial.cli.options import paper_option, quiet_option, sheet_argument, teller


@click.command("draw")
@sheet_argument
@click.option("--folder", type=click.Path(path_type=Path), help="Where to; beside the sheet without it.")
@click.option(
    "--scale",
    type=click.Choice(["fit", "1:1", "1:2", "1:5", "1:10"]),
    default="fit",
    show_default=True,
    help="Of the two drawings of the whole; fit: as large as two sheets hold.",
)
@paper_option
@quiet_option
def command(sheet: Path, folder: Path | None, scale: str, paper: str | None, quiet: bool) -> int:
    """Draw what is cut and drilled of the build SHEET true to scale: SVG, tiled PDF, and DXF in millimetres.

    Fins with their tabs, holes of rods, strips round the body for pins, ports, buttons and fins; each with a
    bar to measure the print by. The whole from the side and cut along its axis, smaller where two sheets do
    not hold it; as DXF true to scale too. A jig for each set of fins as STL. DXF needs `finial[dxf]`. Works
    for a sheet that is only begun.
    """
    from finial.assemble.prints.jigs import fin_jigs
    from finial.files.plain_names import plain_name
    from finial.files.stl import stl_bytes
    from finial.files.write import write_atomically
    from finial.findings.check import load_begun
    from finial.report.drawings.as_dxf import can_write_dxf, dxf
    from finial.report.drawings.as_pdf import fitting, pdf
    from finial.report.drawings.as_svg import svg
    from finial.report.drawings.sheets import templates, wholes

    tell = teller(quiet)
    vehicle = load_begun(sheet, tell=tell)
    us_units, size = vehicle.us_units, paper or ("letter" if vehicle.us_units else "a4")
    target = folder or sheet.parent / f"{sheet.stem}-drawings"
    target.mkdir(parents=True, exist_ok=True)
    drawn = [(one, one) for one in templates(vehicle)]
    for draw in wholes(vehicle):
        shown = fitting(draw, size) if scale == "fit" else draw(int(scale.removeprefix("1:")))
        drawn.append((shown, draw(1)))
    files: dict[str, bytes] = {}
    for number, (drawing, true) in enumerate(drawn, start=1):
        stem = f"{number}-{plain_name(drawing.title)}"
        files[f"{stem}.svg"] = svg(drawing, us_units=us_units).encode()
        files[f"{stem}.pdf"] = pdf(drawing, size, us_units=us_units)
        if can_write_dxf():
            files[f"{stem}.dxf"] = dxf(true)
    for jig in fin_jigs(vehicle):
        files[f"jig-{plain_name(jig.fins)}.stl"] = stl_bytes(jig.sound.vertices_mm, jig.sound.faces)
    if not can_write_dxf():
        tell("no DXF: pip install 'finial[dxf]'")
    for name, content in files.items():
        write_atomically(target / name, content)
        click.echo(f"wrote {target / name}")
    return 0
