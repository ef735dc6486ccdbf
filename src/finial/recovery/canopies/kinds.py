"""Kinds of canopy, what a diameter measures, and the drag area that follows."""

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from finial.core.corners import over_corners
from finial.core.doors import require_positive
from finial.core.errors import OutsideRange
from finial.core.estimates import Estimate, KnownBy, spread
from finial.core.tables import row_named, table_rows

FILL_SPREAD = 0.25
"""Scatter of the fill constant upwards [-]."""
FILL_LEAST = 3.0
"""Least fill constant [-]: 24 of 25 measured openings of rescue canopies were no harder than with it."""
_FILL_UNKNOWN = (8.0, 14.0)
"""Middle and most over all kinds in the table, for kinds that have no fill constant of their own."""
_RATIO_SPREAD = 0.03
"""Scatter of the diameter ratios between canopies of one kind [-]."""


class DiameterMeasure(StrEnum):
    """What a canopy's stated diameter measures."""

    NOMINAL = "nominal"
    """Diameter of a flat disc with the area of all the cloth, gaps and vent included."""
    PROJECTED = "projected"
    """Diameter of the inflated canopy seen from below."""
    MOUTH = "mouth"
    """Diameter of the hem as sewn, laid out in a circle."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CanopyKind:
    """One row of the canopy table."""

    name: str
    drag_coefficient: Estimate
    """On the nominal area [-]."""
    opening_factor: float
    """Peak over steady drag force at constant speed [-]."""
    swing_rad: tuple[float, float]
    """Swing to either side in steady descent [rad]."""
    fill_constant: Estimate
    """Filling distance in nominal diameters [-]."""
    growth_exponent: float
    """Drag area grows with this power of time while filling [-]."""
    projected_ratio: float
    mouth_ratio: float
    source: str


@lru_cache(maxsize=1)
def canopy_kinds() -> tuple[CanopyKind, ...]:
    """All kinds in the table, in its order.

    Returns
    -------
    kinds : tuple of CanopyKind
        Each with its source.

    Examples
    --------
    >>> len(canopy_kinds()) > 10
    True
    """
    return tuple(_kind_from_row(row) for row in table_rows("finial.recovery", "canopies.csv"))


def canopy_kind(name: str) -> CanopyKind:
    """Look a kind of canopy up by name.

    Parameters
    ----------
    name : str
        Name as in the table, letter case ignored.

    Returns
    -------
    CanopyKind
        Drag coefficient on the nominal area [-] and the rest of its row.

    Raises
    ------
    MissingData
        If the table has no such kind; the message lists those it has.

    Notes
    -----
    Holds for unreefed canopies of usual cloth. Lower porosity means more drag, faster
    filling, a harder opening and more swing.

    References
    ----------
    .. [1] Knacke, Parachute Recovery Systems Design Manual, NWC TP 6575, 1991, tables
       5-1, 5-2 and 5-6; from memory, not re-read.

    Examples
    --------
    >>> canopy_kind("Flat circular").drag_coefficient.low
    0.75
    """
    row = row_named(table_rows("finial.recovery", "canopies.csv"), name)
    return next(kind for kind in canopy_kinds() if kind.name == row["name"])


def nominal_diameter(kind: CanopyKind, diameter_m: Estimate, measures: str) -> Estimate:
    r"""Nominal diameter of a canopy from whichever diameter the builder knows.

    .. math::  D_0 = D_p / (D_p / D_0), \qquad D_0 = D_c / (D_c / D_0)

    Parameters
    ----------
    kind : CanopyKind
        Kind of canopy, for its diameter ratios [-].
    diameter_m : Estimate
        Stated diameter [m].
    measures : str
        ``nominal``, ``projected`` or ``mouth``: what was measured.

    Returns
    -------
    Estimate
        Nominal diameter :math:`D_0` [m].

    Raises
    ------
    OutsideRange
        If ``measures`` is none of the three or the diameter is not positive.

    Notes
    -----
    The ratios scatter by about 3 % between canopies of one kind, more for odd cuts.

    References
    ----------
    .. [1] Knacke, NWC TP 6575, 1991, table 5-1; from memory, not re-read.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> annular = canopy_kind("annular")
    >>> round(nominal_diameter(annular, exact(0.94), "projected").value, 3)
    1.0
    """
    require_positive(diameter_m=diameter_m.low)
    if measures == DiameterMeasure.NOMINAL:
        return diameter_m
    ratio = _ratio(kind, measures)
    return over_corners(
        lambda diameter, ratio: diameter / ratio,
        {"diameter": diameter_m, "ratio": ratio},
        method=f"{measures} diameter over its ratio to the nominal one",
        source=kind.source,
    )


def canopy_drag_area(
    kind: CanopyKind, diameter_m: Estimate, measures: str, drag_coefficient: Estimate | None = None
) -> Estimate:
    r"""Drag area of an open canopy.

    .. math::  C_D S = C_D \, \tfrac{\pi}{4} D^2

    Parameters
    ----------
    kind : CanopyKind
        Kind of canopy; its coefficient belongs to the nominal area [m^2].
    diameter_m : Estimate
        Stated diameter [m].
    measures : str
        ``nominal``, ``projected`` or ``mouth``: what the diameter measures.
    drag_coefficient : Estimate, optional
        The builder's own coefficient [-]. It belongs to the disc of the **stated** diameter.

    Returns
    -------
    Estimate
        Drag area [m^2]. ``inside_range`` is false when the builder's coefficient, moved to
        the nominal area, lies more than a fifth outside the table's range for the kind.

    Raises
    ------
    OutsideRange
        If ``measures`` is none of the three, or a number is not positive.

    Notes
    -----
    Holds for steady vertical descent. A coefficient without its area means nothing: 2.2 on
    the projected disc less the vent and 0.8 on the cloth may be the same canopy.

    References
    ----------
    .. [1] Knacke, NWC TP 6575, 1991, section 5.2; from memory, not re-read.

    Examples
    --------
    >>> from finial.core.estimates import exact
    >>> flat = canopy_kind("flat circular")
    >>> round(canopy_drag_area(flat, exact(2.0), "nominal", exact(0.75)).value, 4)
    2.3562
    """
    nominal = nominal_diameter(kind, diameter_m, measures)
    diameter = nominal if drag_coefficient is None else diameter_m
    coefficient = drag_coefficient or kind.drag_coefficient
    require_positive(drag_coefficient=coefficient.low)
    on_nominal = coefficient.value * (diameter.value / nominal.value) ** 2
    usual = 0.8 * kind.drag_coefficient.low <= on_nominal <= 1.2 * kind.drag_coefficient.high
    area = over_corners(
        lambda diameter, coefficient: coefficient * math.pi / 4 * diameter**2,
        {"diameter": diameter, "coefficient": coefficient},
    )
    on_disc = "nominal" if drag_coefficient is None else measures
    return Estimate(
        value=area.value,
        low=area.low,
        high=area.high,
        known_by=area.known_by,
        method=f"drag coefficient on the {on_disc} disc",
        source=kind.source if drag_coefficient is None else (coefficient.source or "the builder's own"),
        inside_range=area.inside_range and usual,
    )


def _kind_from_row(row: dict[str, str]) -> CanopyKind:
    """Read one row of the table; angles become radians here."""
    low, high = float(row["drag_low"]), float(row["drag_high"])
    known_by = KnownBy.HANDBOOK if "Knacke" in row["source"] else KnownBy.ASSUMED
    return CanopyKind(
        name=row["name"],
        drag_coefficient=Estimate(
            value=(low + high) / 2, low=low, high=high, known_by=known_by, source=row["source"]
        ),
        opening_factor=float(row["opening_factor"]),
        swing_rad=(math.radians(float(row["swing_low_deg"])), math.radians(float(row["swing_high_deg"]))),
        fill_constant=_fill_constant(row),
        growth_exponent=float(row["growth_exponent"]),
        projected_ratio=float(row["projected"]),
        mouth_ratio=float(row["mouth"]),
        source=row["source"],
    )


def _fill_constant(row: dict[str, str]) -> Estimate:
    """Fill constant of a kind, or of all where its own is not known; some canopies fill faster."""
    measured = f"least {FILL_LEAST:g}: load tests after EN 12491, open data, logger_200hz"
    if not row["fill_constant"]:
        value, high = _FILL_UNKNOWN
        return Estimate(
            value=value,
            low=FILL_LEAST,
            high=high,
            known_by=KnownBy.ASSUMED,
            method="range over all kinds known",
            source=measured,
        )
    value = float(row["fill_constant"])
    return Estimate(
        value=value,
        low=min(FILL_LEAST, value),
        high=value * (1 + FILL_SPREAD),
        known_by=KnownBy.HANDBOOK,
        source=f"{row['source']}; {measured}",
    )


def _ratio(kind: CanopyKind, measures: str) -> Estimate:
    """Stated over nominal diameter, for the two that are not the nominal one itself."""
    ratios = {
        DiameterMeasure.PROJECTED: spread(kind.projected_ratio, _RATIO_SPREAD, known_by=KnownBy.HANDBOOK),
        DiameterMeasure.MOUTH: spread(kind.mouth_ratio, _RATIO_SPREAD, known_by=KnownBy.HANDBOOK),
    }
    if measures not in ratios:
        raise OutsideRange(
            f"diameter_measures = {measures!r}: say what the diameter measures, one of "
            f"{', '.join(DiameterMeasure)}; makers often quote the projected disc"
        )
    return ratios[DiameterMeasure(measures)]
