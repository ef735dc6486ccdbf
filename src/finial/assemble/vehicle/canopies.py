"""Canopies of the sheet: kind, size and drag area."""

import math

from finial.core.constants import (
    GAS_CONSTANT_AIR_J_KG_K,
    STANDARD_PRESSURE_PA,
    STANDARD_TEMPERATURE_K,
)
from finial.core.corners import over_corners
from finial.core.estimates import Estimate, KnownBy, exact
from finial.files.sheet_recovery import CanopyEntry
from finial.recovery.canopies.drop_testing import drop_test_drag_area
from finial.recovery.canopies.kinds import CanopyKind, canopy_drag_area, canopy_kind, nominal_diameter
from finial.recovery.canopies.reefing import reefed


def drag_area(canopy: CanopyEntry) -> Estimate:
    """Drag area of a canopy of the sheet [m^2]: dropped, the maker's, or from its kind and size."""
    if canopy.drop_test:
        test = canopy.drop_test
        temperature_k = test.temperature.value if test.temperature else STANDARD_TEMPERATURE_K
        pressure_pa = test.pressure.value if test.pressure else STANDARD_PRESSURE_PA
        known = KnownBy.MEASURED
        return drop_test_drag_area(
            test.mass.estimate(known),
            test.speed.estimate(known),
            exact(pressure_pa / (GAS_CONSTANT_AIR_J_KG_K * temperature_k), known_by=known),
        )
    if canopy.drag_area:
        whose = "the maker's drag area" if canopy.known_by is KnownBy.HANDBOOK else "drag area as entered"
        return canopy.drag_area.estimate(canopy.known_by, method=whose)
    given = canopy.drag_coefficient
    return canopy_drag_area(
        canopy_kind(canopy.kind),
        canopy.diameter.estimate(KnownBy.MEASURED),
        canopy.diameter_measures,
        given.estimate(canopy.known_by) if given else None,
    )


def reefed_kind(canopy: CanopyEntry) -> CanopyKind:
    """Kind of a canopy of the sheet, its filling slowed by what reefs it."""
    return reefed(canopy_kind(canopy.kind), canopy.reefing)


def cloth_kg_m2(canopy: CanopyEntry) -> Estimate:
    """Mass of a canopy with its lines over its nominal area [kg/m^2]."""
    return over_corners(
        lambda mass, diameter: mass / (math.pi / 4 * diameter**2),
        {"mass": canopy.mass.estimate(KnownBy.WEIGHED), "diameter": nominal(canopy)},
        method="mass over the nominal area",
    )


def nominal(canopy: CanopyEntry) -> Estimate:
    """Nominal diameter of a canopy of the sheet [m]."""
    diameter = canopy.diameter.estimate(KnownBy.MEASURED)
    return nominal_diameter(canopy_kind(canopy.kind), diameter, canopy.diameter_measures)
