"""Strength: what loads the body and what it would bear."""

import numpy as np

from finial.assemble.results import ReserveRow
from finial.core.dimensions import Dimension
from finial.findings.readiness import Readiness
from finial.report.document import Section, Table
from finial.report.shown import NOT_KNOWN, Shown


def strength_section(readiness: Readiness) -> Section:
    """Reserve of every failure mode, worst first, and the peak loads of each case."""
    strength, shown = readiness.strength, Shown(us_units=readiness.us_units)
    worst = sorted(strength.reserves, key=lambda row: row.reserve.low if row.reserve else float("-inf"))
    reserves = Table(
        title="Reserve: strength over load; 1 just holds",
        columns=("what", "case", "station", "reserve", "rods carry", "load and strength"),
        rows=tuple(_reserve(row, shown) for row in worst),
        numbers=(2, 3, 4),
    )
    peaks = Table(
        title="Largest loads along the body",
        columns=("case", "axial, compression", "shear", "bending"),
        rows=tuple(
            (
                case.case,
                shown.plain(float(case.axial_n.max()), Dimension.FORCE),
                shown.plain(float(np.abs(case.shear_n).max()), Dimension.FORCE),
                _moment(float(np.abs(case.bending_n_m).max()), shown),
            )
            for case in strength.cases
        ),
        numbers=(1, 2, 3),
    )
    pictures = ("body_loads",) if strength.cases else ()
    return Section(key="strength", title="Strength", tables=(reserves, peaks), pictures=pictures)


def _reserve(row: ReserveRow, shown: Shown) -> tuple[str, ...]:
    rods = "" if row.rod_share is None else f"{100 * row.rod_share:.0f} %"
    load = f"{row.load}. {row.note}" if row.note else row.load
    station = shown.length(row.station_m)
    reserve = shown.between(row.reserve, None) if row.reserve else NOT_KNOWN
    return row.what, row.case, station, reserve, rods, load


def _moment(newton_metres: float, shown: Shown) -> str:
    """Write a moment in N m or lbf ft: joules and foot-pounds measure the same but mean energy."""
    unit = shown.plain(newton_metres, Dimension.ENERGY)
    return unit.replace("ft lbf", "lbf ft").replace("kJ", "kN m").replace("J", "N m")
