"""Bays of the sheet: where they lie, and what lies in them."""

import math

from finial.core.estimates import Estimate, KnownBy, exact, total
from finial.files.fields import across_m
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import BayEntry, CordEntry
from finial.recovery.cords.kinds import cord_named


def bay_axis(bay: BayEntry, station_m: float) -> tuple[float, float]:
    """Axis of a bay at a station [m], off the vehicle's (y, z) [m]: it may stand beside it, and lean."""
    middle = (bay.stations[0].value + bay.stations[1].value) / 2
    ahead = (middle - station_m) * math.tan(bay.tilt.value)
    y, z = across_m(bay.offset)
    return y + ahead * math.cos(bay.toward.value), z + ahead * math.sin(bay.toward.value)


def bay_of_joint(sheet: Sheet, joint: str) -> BayEntry | None:
    """First bay that a joint opens: its cord lies in it."""
    return next((bay for bay in sheet.recovery.bay if bay.joint == joint), None)


def cord_mass_per_m(cord: CordEntry) -> float | None:
    """Mass of a cord [kg/m]: its own, or its kind's; ``None`` where nobody knows it."""
    if cord.mass_per_length:
        return cord.mass_per_length.value
    if cord.breaking_load and cord.stretch_at_break:
        return None
    return cord_named(cord.material).mass_kg_per_m


def bay_contents(sheet: Sheet, bay: BayEntry) -> Estimate:
    """Canopies, protectors and cords in a bay [kg]; a cord whose mass nobody knows counts as none."""
    parts: list[Estimate] = []
    for canopy in sheet.recovery.canopy:
        if canopy.bay == bay.name:
            parts.append(canopy.mass.estimate(KnownBy.MEASURED))
            parts += [canopy.protector.estimate(KnownBy.MEASURED)] if canopy.protector else []
    if bay_of_joint(sheet, bay.joint) is bay:
        cords = (cord for cord in sheet.recovery.cord if cord.joint == bay.joint)
        parts += [
            exact((cord_mass_per_m(cord) or 0.0) * cord.length.value, known_by=KnownBy.HANDBOOK)
            for cord in cords
        ]
    return total(parts, method="canopies, protectors and cords in the bay")
