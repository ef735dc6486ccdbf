"""What the data tables know, as rows for the terminal."""

from collections.abc import Sequence

from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.core.units import show_estimate
from finial.materials.material import Material
from finial.recovery.canopies.kinds import CanopyKind
from finial.report.layout import paragraph
from finial.report.lines import TextLine
from finial.report.terminal import terminal_width, write

Row = dict[str, str]


def materials_rows(materials: Sequence[Material]) -> list[Row]:
    """One row a material: density, stiffness, strengths, softening, source."""
    return [
        {
            "name": f"{one.name} ({one.kind})",
            "density": show_estimate(one.density_kg_m3, Dimension.DENSITY),
            "stiffness": show_estimate(one.modulus_pa, Dimension.PRESSURE),
            "strength": show_estimate(one.ultimate_pa, Dimension.PRESSURE),
            "across layers": _or_none(one.upright_pa, Dimension.PRESSURE),
            "softens": _or_none(one.softens_k, Dimension.TEMPERATURE),
            "source": one.source,
        }
        for one in materials
    ]


def canopies_rows(kinds: Sequence[CanopyKind]) -> list[Row]:
    """One row a kind: drag on the nominal area, opening factor, filling distance, source."""
    return [
        {
            "name": kind.name,
            "drag coefficient, nominal area": show_estimate(kind.drag_coefficient, Dimension.RATIO),
            "opening factor": f"{kind.opening_factor:g}",
            "fills in, nominal diameters": show_estimate(kind.fill_constant, Dimension.RATIO),
            "source": kind.source,
        }
        for kind in kinds
    ]


def _or_none(value: Estimate | None, dimension: Dimension) -> str:
    return "-" if value is None else show_estimate(value, dimension)


def print_rows(rows: Sequence[Row]) -> None:
    """Write each row as a name and its facts beneath, wrapped to the terminal."""
    width = terminal_width()
    lines: list[TextLine] = []
    for row in rows:
        name, *facts = row.items()
        lines.append(TextLine(name[1], "heading"))
        for what, value in facts:
            lines += [TextLine(text) for text in paragraph(value, width, first=f"  {what}: ", rest="      ")]
    write(tuple(lines))
