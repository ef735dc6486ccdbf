"""How much more of something brings a reserve to its limit."""

import math

from finial.findings.finding import Amount, Facts, Fix
from finial.structure.reserves import Because, FailureMode, Reserve

MOST_TIMES = 5.0
"""More of the same than this is no fix [-]; chosen."""
MOST_PLATE_M = 0.025
"""A plate thicker than this is no fix, however thin it is now [m]; chosen."""
_MORE = 1.05
"""A little more than just enough [-]."""
_POWERS = {
    FailureMode.WALL_CRUSHED: 1.0,
    FailureMode.WALL_WRINKLES: 1 / 3,
    FailureMode.WALL_COLLAPSES: 1 / 2,
    FailureMode.WALL_PULLED: 1.0,
    FailureMode.WALL_SHEARED: 1.0,
    FailureMode.WALL_PRESSED: 1 / 2,
    FailureMode.JOINT_OPENS: 1.0,
    FailureMode.ROD_PULLED: 1.0,
    FailureMode.ROD_BUCKLES: 1 / 2,
    FailureMode.ROD_STRIPS: 1.0,
    FailureMode.WASHER_SINKS: 1 / 2,
    FailureMode.NUT_PULLS_THROUGH: 1.0,
    FailureMode.DOWELS_SHEAR: 1.0,
    FailureMode.THRUST_PLATE_BREAKS: 1 / 2,
    FailureMode.MOTOR_TUBE_LETS_GO: 1.0,
    FailureMode.MOTOR_LEAVES: 1.0,
    FailureMode.PLATE_BREAKS: 1 / 2,
    FailureMode.PLATE_LETS_GO: 1.0,
    FailureMode.EYE_BREAKS: 1.0,
    FailureMode.EYE_SINKS: 1 / 2,
    FailureMode.EYE_PULLS_THROUGH: 1.0,
    FailureMode.FIN_BREAKS: 1 / 2,
    FailureMode.FIN_FLUTTERS: 2 / 3,
    FailureMode.FIN_FLUTTERS_BY_MODES: 2 / 3,
    FailureMode.FIN_ROOT_LETS_GO: 1.0,
    FailureMode.STAY_SLACKENS: 1.0,
    FailureMode.STAY_BREAKS: 1 / 2,
}
"""Power of the missing factor that thickness, preload or number must grow by [-]; the others do not scale."""


_SAY = {Because.MATERIAL_UNSAID: "say-material", Because.PRINT_UNSAID: "say-print"}


def reserve_fixes(row: Reserve, limit: float) -> tuple[Fix, ...]:
    """Say what to change so that a reserve reaches its limit, or what to enter where it is not known.

    Examples
    --------
    >>> from finial.core.dimensions import Dimension
    >>> from finial.core.estimates import exact
    >>> weak = Reserve(mode=FailureMode.NUT_PULLS_THROUGH, station_m=0.0, dimension=Dimension.PRESSURE,
    ...     reserve=exact(0.75))
    >>> reserve_fixes(weak, 1.5)[0].facts["times"].value
    2.1
    """
    if row.reserve is None:
        return (Fix(key=_SAY.get(row.because, "enter") if row.because else "enter"),)
    power = _POWERS.get(row.mode)
    if power is None:
        return (Fix(key="change"),)
    if row.reserve.low <= 0.0:
        return (Fix(key="measure-first" if row.reserve.value >= limit else "layout"),)
    times = (limit / row.reserve.low * _MORE) ** power
    # Rounded up: "1.0 times as thick" would change nothing.
    more = Amount(value=math.ceil(10 * times - 1e-9) / 10)
    if "thick" in row.numbers:
        return (_thicker(row, row.numbers["thick"] * times, {"times": more}),)
    return (Fix(key="change" if times <= MOST_TIMES else "too-much", facts={"times": more}),)


def _thicker(row: Reserve, thick_m: float, facts: Facts) -> Fix:
    """Make a plate of the sheet thicker, in whole millimetres."""
    if thick_m > MOST_PLATE_M:
        return Fix(key="too-much", facts=facts)
    changes = {f"item.{row.subject}.length": f"{math.ceil(1e3 * thick_m - 1e-9)} mm"}
    return Fix(key="change", facts=facts, changes=changes)
