"""Shape and mass: what was drawn and what it weighs."""

from collections.abc import Iterator, Sequence

import numpy as np

from finial.assemble.mass.results import MassResult, MassRow, WeighedSoFar, WholeWeighed
from finial.assemble.vehicle.results import ShapeResult
from finial.core.dimensions import Dimension
from finial.core.estimates import Estimate
from finial.findings.readiness import Readiness
from finial.report.document import ReportSection, Table
from finial.report.outline import Outlined
from finial.report.shown import Shown
from finial.shape.skin import Skin

_STATIONS = 9
_TERMS = (("xx", 0, 0), ("yy", 1, 1), ("zz", 2, 2), ("xy", 0, 1), ("xz", 0, 2), ("yz", 1, 2))
"""Terms of the tensor as [row, column]; those off the diagonal as they stand in it, minus the product."""


def shape_section(readiness: Outlined) -> ReportSection:
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
    return ReportSection(
        key="shape",
        title="Shape",
        facts=(
            ("length", shown.length(skin.length_m)),
            ("across, without fins", across),
            (f"width (circle {_as_large_as(skin)})", shown.length(skin.breadth_m)),
            ("largest section", shown.plain(skin.reference_area_m2, Dimension.AREA)),
            ("length over width", f"{skin.length_m / skin.breadth_m:.1f}"),
            ("skin area, without the base", shown.plain(skin.wetted_area_m2, Dimension.AREA)),
            ("volume inside the skin", shown.plain(skin.volume_m3, Dimension.VOLUME)),
            *(fins or [("fins", "none")]),
        ),
        tables=(_sections(skin, shown),),
        notes=_mesh_notes(shape, shown),
    )


def _as_large_as(skin: Skin) -> str:
    """Say what the circle is as large as whose diameter is called the width."""
    return "round its posts" if skin.breadth_m > skin.width_m else "of equal area"


def _sections(skin: Skin, shown: Shown) -> Table:
    """Section areas at even stations, tip to base."""
    stations = np.linspace(0.0, skin.length_m, _STATIONS)
    areas = np.interp(stations, skin.stations_m, skin.areas_m2)
    outlines = np.interp(stations, skin.stations_m, skin.perimeters_m)
    return Table(
        title="Sections of the skin along the stations",
        columns=("station", "area", "outline"),
        rows=tuple(
            (shown.length(station), shown.plain(area, Dimension.AREA), shown.length(outline))
            for station, area, outline in zip(
                stations.tolist(), areas.tolist(), outlines.tolist(), strict=True
            )
        ),
        numbers=(0, 1, 2),
    )


def _inertia(mass: MassResult, shown: Shown) -> Table:
    """Both inertia tensors about their balance points, in body axes."""
    full, empty = mass.lift_off.inertia_kg_m2, mass.burnout.inertia_kg_m2
    return Table(
        title="Inertia about the balance point: x along the axis, y and z across",
        columns=("term", "at lift-off", "at burnout"),
        rows=tuple(
            (name, shown.inertia(float(full[row, column])), shown.inertia(float(empty[row, column])))
            for name, row, column in _TERMS
        ),
        numbers=(1, 2),
    )


def mass_section(readiness: Readiness) -> ReportSection:
    """Mass table, heaviest first, with how each row is known."""
    mass, shown = readiness.mass, Shown(us_units=readiness.us_units)
    table = _mass_table(mass.rows, ("all at lift-off", mass.lift_off_mass, mass.lift_off_balance), shown)
    return ReportSection(
        key="mass",
        title="Mass and balance",
        facts=(
            ("mass at lift-off", shown.judged(mass.lift_off_mass, Dimension.MASS)),
            ("balance point at lift-off", shown.judged(mass.lift_off_balance, Dimension.LENGTH)),
            ("balance point at burnout", shown.judged(mass.burnout_balance, Dimension.LENGTH)),
            *_weighing(mass.weighed, shown),
        ),
        tables=(table, _inertia(mass, shown)),
        notes=("Stations are measured aft from the tip.",),
    )


def _weighing(whole: WholeWeighed | None, shown: Shown) -> Iterator[tuple[str, str]]:
    """Say what the scale found of the whole, beside what the table gave by itself."""
    if whole is None:
        yield "the whole on a scale", "never weighed"
        return
    mass, table = (shown.between(one, Dimension.MASS) for one in (whole.mass, whole.table_mass))
    yield "without motors, on a scale", f"{mass}; the table by itself gives {table}"
    if whole.balance:
        hung, table = (shown.between(one, Dimension.LENGTH) for one in (whole.balance, whole.table_balance))
        yield "without motors, balances at", f"{hung}; the table by itself gives {table}"


def weighed_section(mass: WeighedSoFar, shown: Shown) -> ReportSection:
    """Mass table of a sheet that is only begun."""
    return ReportSection(
        key="mass",
        title="Mass and balance of what is written so far",
        facts=(
            ("mass so far", shown.judged(mass.mass, Dimension.MASS)),
            ("balance point so far", shown.judged(mass.balance, Dimension.LENGTH)),
        ),
        tables=(_mass_table(mass.rows, ("all so far", mass.mass, mass.balance), shown),),
        notes=("Stations are measured aft from the tip.",),
    )


def _mass_table(rows: Sequence[MassRow], last: tuple[str, Estimate, Estimate], shown: Shown) -> Table:
    """Rows with the heaviest first, and their sum."""
    said, mass, balance = last
    return Table(
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
                for row in sorted(rows, key=lambda row: -row.mass.value)
            ),
            (said, "", shown.between(mass, Dimension.MASS), mass.known_by.word, shown.length(balance.value)),
        ),
        numbers=(2, 4),
    )


def _mesh_notes(shape: ShapeResult, shown: Shown) -> tuple[str, ...]:
    """Repairs by part, whose names stay as they are, then what the skin as a whole adds to them."""
    more = [note for note in shape.skin.notes if not any(done.endswith(note) for done in shape.repairs)]
    of_skin = frozenset(shape.skin.notes)
    mended = (shown.note(one) if one in of_skin else _of_part(one, shown) for one in shape.repairs)
    return tuple(f"Mesh: {note}" for note in (*mended, *map(shown.note, more)))


def _of_part(repair: str, shown: Shown) -> str:
    part, colon, note = repair.partition(": ")
    return part + colon + shown.note(note)
