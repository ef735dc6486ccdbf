"""What is taken where the sheet gives no size: densities by kind, and sizes that are usual."""

from finial.core.estimates import Estimate, KnownBy
from finial.core.tables import row_named, table_rows

MOTOR_PLAY_M = 0.5e-3
"""How much wider than its motor a motor tube is [m]; common practice."""
PLATE_M = 6e-3
"""Thickness of a bulkhead [m]; common practice."""
RAIL_GAP_M = 3e-3
"""Distance of the rail's face from the skin at the buttons [m]; common practice."""
RAIL_WIDTH_M = 0.04
"""Width of a rail [m]: the wider of the two common ones, 25 and 38 mm, rounded up."""
BUTTON_M = 0.015
"""Diameter of a rail button [m]; common practice."""
SCREW_M = 5e-3
"""Diameter of the screw of a rail button [m]; common practice."""
SCREW_DEPTH_M = 10e-3
"""How deep such a screw reaches into the body [m]; common practice."""


def usual_density(kind: str) -> Estimate:
    """Density of a kind of thing whose material nobody gave.

    Parameters
    ----------
    kind : str
        As the build sheet writes it: ballast, sled, bulkhead, tube, screw, other.

    Returns
    -------
    density : Estimate
        Density [kg/m^3], assumed, as wide as what builders use.

    Raises
    ------
    MissingData
        If the table has no such kind.

    Examples
    --------
    >>> usual_density("ballast").high
    11340.0
    """
    row = row_named(table_rows("finial.inside", "densities.csv"), kind, column="kind")
    return Estimate(
        value=float(row["value"]),
        low=float(row["low"]),
        high=float(row["high"]),
        known_by=KnownBy.ASSUMED,
        method="density by kind",
        source=row["source"],
    )
