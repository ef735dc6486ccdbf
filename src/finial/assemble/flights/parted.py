"""Drogue-less recovery: opened at the top without a canopy, it falls tumbling until the main opens."""

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.estimates import Estimate
from finial.core.kept_parts import kept
from finial.files.sheet_recovery import RecoveryEntry
from finial.recovery.canopies.tumbling import tumbling_drag_area
from finial.shape.measures import stretch_of
from finial.shape.skin import Skin

PARTED = "parted vehicle"
"""Stands among the flight's canopies as one without area."""


def parts_bare(recovery: RecoveryEntry) -> bool:
    """Tell whether a charge opens the vehicle at the top and every canopy waits for later."""
    opened = any(charge.event.apogee for charge in recovery.charge)
    canopies = recovery.canopy
    return opened and bool(canopies) and not any(canopy.event.apogee for canopy in canopies)


def parted_area(vehicle: LoadedVehicle) -> Estimate:
    """Drag area of the parted pieces [m^2]."""
    return _parted(vehicle.skin)


# Every corner falls alike, and so does whatever else changes inside the same skin.
@kept(4)
def _parted(skin: Skin) -> Estimate:
    return tumbling_drag_area(stretch_of(skin, 0.0, skin.length_m).planform_m2)
