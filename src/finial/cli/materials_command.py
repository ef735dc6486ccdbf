"""``finial materials``: what is known of each material, with its source."""

import json

import click

from finial.cli.options import json_option


@click.command("materials")
@json_option
def command(as_json: bool) -> int:
    """List the materials a sheet may name, with strengths and sources."""
    from finial.materials.material import material, material_names
    from finial.report.tables_text import materials_rows, print_rows

    rows = materials_rows([material(name) for name in material_names()])
    if as_json:
        click.echo(json.dumps(rows, indent=1))
    else:
        print_rows(rows)
    return 0
