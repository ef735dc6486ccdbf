"""A table of the builder's own, or logs, beside the air loads that they go before."""

import numpy as np

from finial.assemble.air.results import AirResult, OwnBeside
from finial.core.estimates import Estimate, KnownBy


def own_beside(table: str, own: AirResult, computed: AirResult) -> OwnBeside:
    """Set the drag and the centre of pressure that are flown with beside the computed ones.

    Parameters
    ----------
    table : str
        Table of the sheet that tells the own numbers.
    own : AirResult
        With the builder's own numbers.
    computed : AirResult
        The same vehicle without them.

    Returns
    -------
    beside : OwnBeside
        Drag straight ahead, over all Mach numbers [-]; the centre at a small angle, at the roll where the two
        lie farthest apart [m].
    """
    roll = int(np.argmax(np.abs(own.pressure_central_m - computed.pressure_central_m)[0]))
    rows = [row.coefficient for row in computed.drag_rows]
    middle = sum(row.value for row in rows)
    return OwnBeside(
        table=table,
        drag_ratio=_ahead(own) / _ahead(computed),
        drag_within=(sum(row.low for row in rows) / middle, sum(row.high for row in rows) / middle),
        place_m=_place(own, roll, KnownBy.MEASURED),
        computed_place_m=_place(computed, roll, KnownBy.COMPUTED),
    )


def _ahead(air: AirResult) -> float:
    """Axial force coefficient with the air from ahead, motor out [-]."""
    return float(air.table.axial_power_off[0].mean())


def _place(air: AirResult, roll: int, known_by: KnownBy) -> Estimate:
    """Centre of pressure at the smallest angle [m]."""
    ends = air.pressure_forward_m, air.pressure_central_m, air.pressure_aft_m
    low, value, high = (float(end[0, roll]) for end in ends)
    return Estimate(value=value, low=low, high=high, known_by=known_by)
