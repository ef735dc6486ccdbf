"""Shape and mass: what was drawn and what it weighs."""

from finial.assemble.results import ShapeResult
from finial.core.dimensions import Dimension
from finial.findings.readiness import Readiness
from finial.report.document import Section, Table
from finial.report.shown import Shown


def shape_section(readiness: Readiness) -> Section:
    """Size of the outside, its fins, and what the meshes needed."""
    shape, shown = readiness.shape, Shown(us_units=readiness.us_units)
    skin = shape.skin
    across = " x ".join(shown.length(extent) for extent in shape.across_m)
    fins = [
        (
            "fins",
            f"{fin.name}: {fin.count}, root at {shown.length(fin.station_m)}, "
            f"{shown.length(float(fin.outline_m[:, 1].max()))} out, {shown.length(fin.thickness_m)} thick",
        )
        for fin in shape.fins
    ]
    return Section(
        key="shape",
        title="Shape",
        facts=(
            ("length", shown.length(skin.length_m)),
            ("across, without fins", across),
            ("width (circle of equal area)", shown.length(skin.width_m)),
            ("largest section", shown.plain(skin.reference_area_m2, Dimension.AREA)),
            ("length over width", f"{skin.length_m / skin.width_m:.1f}"),
            *(fins or [("fins", "none")]),
        ),
        notes=_mesh_notes(shape),
    )


def mass_section(readiness: Readiness) -> Section:
    """Mass table, heaviest first, with how each row is known."""
    mass, shown = readiness.mass, Shown(us_units=readiness.us_units)
    rows = sorted(mass.rows, key=lambda row: -row.mass.value)
    table = Table(
        title="Mass table",
        columns=("what", "kind", "mass", "known by", "balance at"),
        rows=(
            *(
                (
                    row.name,
                    row.kind,
                    shown.between(row.mass, Dimension.MASS),
                    row.mass.known_by.word,
                    shown.length(row.station_m),
                )
                for row in rows
            ),
            (
                "all at lift-off",
                "",
                shown.between(mass.lift_off_mass, Dimension.MASS),
                mass.lift_off_mass.known_by.word,
                shown.length(mass.lift_off_balance.value),
            ),
        ),
        numbers=(2, 4),
    )
    return Section(
        key="mass",
        title="Mass and balance",
        facts=(
            ("mass at lift-off", shown.judged(mass.lift_off_mass, Dimension.MASS)),
            ("balance point at lift-off", shown.judged(mass.lift_off_balance, Dimension.LENGTH)),
            ("balance point at burnout", shown.judged(mass.burnout_balance, Dimension.LENGTH)),
        ),
        tables=(table,),
        notes=("Stations are measured aft from the tip.",),
    )


def _mesh_notes(shape: ShapeResult) -> tuple[str, ...]:
    """Repairs by part, then what the skin as a whole adds to them."""
    more = [note for note in shape.skin.notes if not any(done.endswith(note) for done in shape.repairs)]
    return tuple(f"Mesh: {note}" for note in (*shape.repairs, *more))
