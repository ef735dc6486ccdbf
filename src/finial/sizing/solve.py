"""One thing sized for one aim: ballast for a margin, a rail for a wind, a canopy for a landing speed."""

import math
from dataclasses import dataclass

from finial.assemble.looks.glance import Look, look_at
from finial.assemble.vehicle.changes import Changes, changed
from finial.assemble.vehicle.levers import ballast, rail
from finial.assemble.vehicle.levers import canopy as canopy_lever
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.errors import MissingData, OutsideRange
from finial.sizing.least import least_enough

MOST_BALLAST_KG = 5.0
LONGEST_RAIL_M = 12.0
GRAM_KG, CENTIMETRE_M = 0.001, 0.01
NOTHING: Changes = {}
WIDEST_CANOPY = 3.0
"""Times the sheet's diameter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sized:
    """The answer: what to change, what comes of it, how often was asked."""

    changes: Changes
    value: float
    """The sized quantity [SI]."""
    look: Look
    evaluations: int


def ballast_for(
    vehicle: LoadedVehicle,
    item: str,
    needed_m: float,
    *,
    most_kg: float = MOST_BALLAST_KG,
    others: Changes = NOTHING,
) -> Sized:
    """Least mass of an item, to the gram, with which the worst margin is enough at its bad end.

    Parameters
    ----------
    vehicle : LoadedVehicle
        Loaded vehicle.
    item : str
        Name of an item of its sheet.
    needed_m : float
        Margin needed [m].
    most_kg : float
        Most that may be tried [kg].
    others : mapping, optional
        Other changes, made before.

    Raises
    ------
    OutsideRange
        If even the most is not enough: the item stands too far aft, or the fins are too small.
    MissingData
        If the sheet has no such item.
    """

    def tried(mass_kg: float) -> Changes:
        return {**others, **ballast(vehicle.sheet, item, mass_kg)}

    def spare(mass_kg: float) -> float:
        return look_at(changed(vehicle, tried(mass_kg))).margin_m - needed_m

    try:
        value, asked = least_enough(spare, GRAM_KG, most_kg, GRAM_KG)
    except OutsideRange as error:
        raise OutsideRange(
            f"{most_kg:g} kg of {item} do not make the margin ({error}): move it forward, or enlarge the fins"
        ) from error
    return _sized(vehicle, tried(_rounded_up(value, GRAM_KG)), _rounded_up(value, GRAM_KG), asked)


def rail_for(vehicle: LoadedVehicle, speed_m_s: float) -> Sized:
    """Shortest rail, to the centimetre, off which the slowest corner leaves fast enough.

    Raises
    ------
    OutsideRange
        If even a rail of 12 m is too short.
    """
    if vehicle.sheet.guide is None:
        raise MissingData(
            "the sheet names no rail buttons: enter [guide], without which no rail can be sized"
        )
    # A rail must reach above the fore button, or nothing holds the vehicle.
    shortest = 0.1 + vehicle.skin.length_m

    def spare(rail_m: float) -> float:
        return look_at(changed(vehicle, rail(vehicle.sheet, "", rail_m))).rail_exit_low_m_s - speed_m_s

    try:
        value, asked = least_enough(spare, shortest, LONGEST_RAIL_M, CENTIMETRE_M)
    except OutsideRange as error:
        raise OutsideRange(
            f"a rail of {LONGEST_RAIL_M:g} m is too short for {speed_m_s:.1f} m/s ({error}): "
            "a lighter vehicle, a motor with more early thrust, or a calmer hour"
        ) from error
    length = _rounded_up(value, CENTIMETRE_M)
    return _sized(vehicle, rail(vehicle.sheet, "", length), length, asked)


def canopy_for(vehicle: LoadedVehicle, canopy: str, speed_m_s: float) -> Sized:
    """Smallest canopy, to the centimetre, under which the vehicle lands slowly enough at the bad end.

    Its mass grows with its area.

    Raises
    ------
    OutsideRange
        If one of three times the sheet's diameter is still too small.
    MissingData
        If the sheet has no such canopy.
    """

    def sized(diameter_m: float) -> Changes:
        return canopy_lever(vehicle.sheet, canopy, diameter_m)

    def spare(diameter_m: float) -> float:
        landing = look_at(changed(vehicle, sized(diameter_m))).landing_speed
        return -1.0 if landing is None else speed_m_s - landing.high

    sized(1.0)  # says which canopies there are
    now = next(one for one in vehicle.sheet.recovery.canopy if one.name == canopy).diameter.value
    value, asked = least_enough(spare, 0.1 * now, WIDEST_CANOPY * now, CENTIMETRE_M)
    diameter = _rounded_up(value, CENTIMETRE_M)
    return _sized(vehicle, sized(diameter), diameter, asked)


def _sized(vehicle: LoadedVehicle, changes: Changes, value: float, asked: int) -> Sized:
    look = look_at(changed(vehicle, changes))
    return Sized(changes=changes, value=value, look=look, evaluations=asked + 1)


def _rounded_up(value: float, step: float) -> float:
    # What is a whole number of steps already, but for its last bit, stays.
    return math.ceil(value / step - 1e-9) * step
