"""Bracing wires of the sheet in the fin's own measures."""

import math
from dataclasses import replace

import numpy as np

from finial.assemble.vehicle.loading import LoadedVehicle
from finial.assemble.vehicle.materials import sheet_material
from finial.core.estimates import Estimate, KnownBy
from finial.files.sheet_body import StayEntry
from finial.shape.fin_set import FinSet
from finial.shape.measures import radius_at, section_at
from finial.structure.fins.stays import StayLine, StayPair, stay_line

ANCHOR_STANDS_OFF_M = 0.002
"""How far an anchor's eye stands off the skin [m]; assumed."""


def stay_of(vehicle: LoadedVehicle, fins: FinSet, stay: StayEntry) -> StayPair:
    """Wires of the sheet in the fin's own measures."""
    station = fins.station_m + stay.along.value
    anchor = stay.anchor_station.value if stay.anchor_station else station
    turn = stay.anchor_turn.value if stay.anchor_turn else math.pi / max(fins.count, 2)
    return StayPair(
        along_m=stay.along.value,
        outward_m=stay.outward.value,
        diameter_m=stay.diameter.value,
        modulus_pa=sheet_material(vehicle.sheet, stay.material).modulus_pa.value,
        preload_n=stay.preload.value,
        to=stay.to,
        anchor_along_m=anchor - fins.station_m,
        anchor_radius_m=anchor_radius(vehicle, fins, anchor, turn),
        anchor_turn_rad=turn,
    )


def anchor_radius(vehicle: LoadedVehicle, fins: FinSet, station_m: float, turn_rad: float) -> float:
    """Distance of an anchor on the skin from the axis [m], the nearer of both sides of the first fin."""
    section = section_at(vehicle.skin, min(max(station_m, 0.0), vehicle.skin.length_m))
    reach = min(radius_at(section, fins.first_at_rad + side * turn_rad) for side in (1.0, -1.0))
    return reach + ANCHOR_STANDS_OFF_M


def crossing(vehicle: LoadedVehicle, fins: FinSet, pair: StayPair, line: StayLine) -> float | None:
    """Station where a stay would pass through the body [m]; ``None`` where it is clear of it."""
    import shapely

    start = np.array([pair.along_m, fins.root_radius_m + pair.outward_m, 0.0])
    shares = np.linspace(0.02, 0.97, 40)
    points = start + shares[:, None] * line.length_m * np.array(line.direction)
    for roll in fins.rolls_rad:
        out, aside = np.array([math.cos(roll), math.sin(roll)]), np.array([-math.sin(roll), math.cos(roll)])
        for along, reach, shift in points:
            station = fins.station_m + float(along)
            if not 0.0 <= station <= vehicle.skin.length_m:
                continue
            place = shapely.Point(reach * out + shift * aside)
            loops = section_at(vehicle.skin, station).loops
            if any(shapely.Polygon(loop).buffer(-1e-4).contains(place) for loop in loops):
                return station
    return None


def stay_run(fins: FinSet, pair: StayPair) -> StayLine:
    """Run of one wire of a pair."""
    return stay_line(pair, fins.root_radius_m, fins.count)


def wire_strength(vehicle: LoadedVehicle, stay: StayEntry, share: Estimate) -> Estimate:
    """Return the breaking load of a wire [N], with the share its fittings leave.

    Parameters
    ----------
    vehicle : LoadedVehicle
        For its materials.
    stay : StayEntry
        The stay.
    share : Estimate
        What the fittings leave of the wire's own strength [-].

    Returns
    -------
    strength : Estimate
        Breaking load [N].
    """
    area = math.pi / 4 * stay.diameter.value**2
    whole = sheet_material(vehicle.sheet, stay.material).ultimate_pa.scaled(area)
    return replace(
        whole,
        value=whole.value * share.value,
        low=whole.low * share.low,
        high=whole.high * share.high,
        known_by=max(whole.known_by, share.known_by, KnownBy.HANDBOOK),
    )
