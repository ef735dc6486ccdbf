"""Recovery: what brings it down."""

from finial.assemble.recovery.results import RecoveryResult
from finial.core.dimensions import Dimension
from finial.findings.readiness import Readiness
from finial.report.document import ReportSection, Table
from finial.report.recovery_words import PIECES
from finial.report.shown import Shown


def recovery_section(readiness: Readiness) -> ReportSection:
    """Canopies, charges and cords, and how it lands."""
    recovery, shown = readiness.recovery, Shown(us_units=readiness.us_units)
    force = Dimension.FORCE
    canopies = Table(
        title="Canopies",
        columns=("canopy", "drag area", "falls at", "opens at", "opening load"),
        rows=tuple(
            (
                canopy.name,
                shown.between(canopy.drag_area, Dimension.AREA),
                shown.between(canopy.descent_speed, Dimension.SPEED),
                shown.speed(canopy.opening_speed_m_s),
                shown.between(canopy.opening_load, force),
            )
            for canopy in recovery.canopies
        ),
        numbers=(1, 2, 3, 4),
    )
    cords = Table(
        title="Cords: peak load at separation against what the knots leave",
        columns=("cord", "peak load", "strength"),
        rows=tuple(
            (cord.name, shown.between(cord.peak_load, force), shown.between(cord.strength, force))
            for cord in recovery.cords
        ),
        numbers=(1, 2),
    )
    return ReportSection(
        key="recovery",
        title="Recovery",
        facts=(
            ("landing speed", shown.judged(recovery.landing_speed, Dimension.SPEED)),
            ("over the ground, with the wind", shown.judged(recovery.ground_speed, Dimension.SPEED)),
            ("landing energy", shown.judged(recovery.landing_energy, Dimension.ENERGY)),
            ("mass coming down", shown.plain(recovery.descent_mass_kg, Dimension.MASS)),
        ),
        tables=(
            landing_table(recovery, shown),
            canopies,
            _powder(readiness, shown),
            _joints(readiness, shown),
            cords,
        ),
        notes=("Charges: always ground-test.",) if recovery.charges else (),
    )


def landing_table(recovery: RecoveryResult, shown: Shown) -> Table:
    """Energy at the ground, by the fall alone and carried by the wind."""
    energy = Dimension.ENERGY
    return Table(
        title="Energy at the ground",
        columns=("piece", "mass", "falling", "falling and carried by the wind"),
        rows=tuple(
            (
                PIECES[row.piece],
                shown.plain(row.mass_kg, Dimension.MASS),
                shown.between(row.fall, energy),
                shown.between(row.with_wind, energy),
            )
            for row in recovery.landings
        ),
        numbers=(1, 2, 3),
    )


def _powder(readiness: Readiness, shown: Shown) -> Table:
    rows = tuple(
        (
            charge.name,
            charge.bay,
            shown.between(charge.powder, Dimension.MASS),
            shown.between(charge.needed_powder, Dimension.MASS),
            shown.between(charge.pressure, Dimension.PRESSURE),
        )
        for charge in readiness.recovery.charges
    )
    return Table(
        title="Charges: powder and pressure",
        columns=("charge", "bay", "powder", "needs", "bay pressure"),
        rows=rows,
        numbers=(2, 3, 4),
    )


def _joints(readiness: Readiness, shown: Shown) -> Table:
    force = Dimension.FORCE
    rows = tuple(
        (
            charge.name,
            shown.between(charge.force_on_joint, force),
            shown.between(charge.resistance, force),
            "no pins" if charge.pins_hold is None else shown.between(charge.pins_hold, force),
            shown.between(charge.early_load, force),
        )
        for charge in readiness.recovery.charges
    )
    return Table(
        title="Charges: force on the joint",
        columns=("charge", "pushes with", "must overcome", "pins hold", "pulls before it"),
        rows=rows,
        numbers=(1, 2, 3, 4),
    )
