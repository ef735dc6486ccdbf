"""What a refit changes in the sheet, as it would be written there, and what it leaves alone and why."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from finial.assemble.vehicle.canopies import drag_area
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.statistics import NINETY_FIVE
from finial.files.toml_places import KeyPath
from finial.logbook.refit import Learnt
from finial.logbook.unknowns import UnknownKind

_LEAST_FIXED = 0.5
_FROM_FLIGHT_TO_FLIGHT = 0.02
"""Assumed: no two flights of one vehicle fly alike to better than this share."""
_LEAST_DELAY_S = 0.05
_LEAST_CENTRE_M = 0.002
_LEAST_FRICTION = 0.02
"""Assumed: no two flights of one vehicle are alike to better than these."""


class LeftAlone(StrEnum):
    """Why a number that the log tells is not put into the sheet."""

    THAT_MOTOR = "that motor"
    """It is of the motor that was burnt; the next is another one."""
    THAT_DAY = "that day"
    """It is of the day."""
    NOT_FIXED = "not fixed"
    """The log takes less than half of the doubt."""
    NO_PLACE = "no place"
    """The sheet has no table of the rail's buttons to put it in."""
    DROPPED = "dropped"
    """The builder's drop test of the canopy goes before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetChange:
    """One number that the log puts into the sheet."""

    learnt: Learnt
    values: Mapping[KeyPath, Any]
    """New values by their places in the sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Untouched:
    """One number that stays as the sheet has it."""

    learnt: Learnt
    reason: LeftAlone


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetChanges:
    """What a refit does to the sheet."""

    changes: tuple[SheetChange, ...]
    untouched: tuple[Untouched, ...]

    @property
    def values(self) -> dict[KeyPath, Any]:
        """All new values by their places; those of one new table as one."""
        found: dict[KeyPath, Any] = {}
        for change in self.changes:
            for place, value in change.values.items():
                found[place] = {**found[place], **value} if place in found and _is_table(value) else value
        return found


def _is_table(value: Any) -> bool:
    return isinstance(value, Mapping)


def sheet_changes(vehicle: LoadedVehicle, learnt: Iterable[Learnt], logs: str) -> SheetChanges:
    """Say what the numbers learnt change in their vehicle's sheet; ``logs`` names where they come from."""
    changes: list[SheetChange] = []
    untouched: list[Untouched] = []
    for one in learnt:
        reason = _reason(vehicle, one)
        if reason is None:
            changes.append(SheetChange(learnt=one, values=dict(_values(vehicle, one, logs))))
        else:
            untouched.append(Untouched(learnt=one, reason=reason))
    return SheetChanges(changes=tuple(changes), untouched=tuple(untouched))


def _reason(vehicle: LoadedVehicle, one: Learnt) -> LeftAlone | None:
    kind = one.unknown.kind
    if kind in (UnknownKind.THRUST, UnknownKind.BURN_TIME):
        return LeftAlone.THAT_MOTOR
    if kind in (UnknownKind.WIND, UnknownKind.WIND_TURN):
        return LeftAlone.THAT_DAY
    if kind is UnknownKind.FRICTION and vehicle.sheet.guide is None:
        return LeftAlone.NO_PLACE
    if kind is UnknownKind.CANOPY and vehicle.sheet.recovery.canopy[_place(vehicle, one)].drop_test:
        return LeftAlone.DROPPED
    # Several flights may lie wider apart than the sheet has it: then that is what it must say.
    return LeftAlone.NOT_FIXED if one.flights == 1 and one.fixed < _LEAST_FIXED else None


def _values(vehicle: LoadedVehicle, one: Learnt, logs: str) -> Iterator[tuple[KeyPath, Any]]:
    kind, half = one.unknown.kind, NINETY_FIVE * one.sigma
    if kind is UnknownKind.DRAG:
        yield from _drag(vehicle, one.after.value, half, logs)
        return
    if kind is UnknownKind.CENTRE:
        yield from _centre(vehicle, one.after.value, half, logs)
        return
    if kind is UnknownKind.FRICTION:
        yield ("guide", "friction"), _friction(one.after.value, max(half, _LEAST_FRICTION))
        yield _logs(vehicle, logs)
        return
    index = _place(vehicle, one)
    place: KeyPath = ("recovery", "canopy", index)
    if kind is UnknownKind.CANOPY:
        area = drag_area(vehicle.sheet.recovery.canopy[index]).value
        told, reach = one.after.value * area, max(half, _FROM_FLIGHT_TO_FLIGHT) * area
        yield (*place, "drag_area"), f"{told:.4g} m2 +- {reach:.2g} m2"
        yield (*place, "known_by"), "measured"
    elif kind is UnknownKind.DELAY:
        yield (*place, "delay"), f"{one.after.value:.2f} s +- {max(half, _LEAST_DELAY_S):.2f} s"
    else:
        yield (*place, "event", "falling_through"), f"{one.after.value:.0f} m +- {max(half, 1.0):.0f} m"


def _drag(vehicle: LoadedVehicle, factor: float, half: float, logs: str) -> Iterator[tuple[KeyPath, Any]]:
    """Factor on what is computed: the flights were computed with the sheet's own factor already."""
    own = drag_factor(vehicle)
    drag = f"{own * factor:.3f} +- {max(own * half, _FROM_FLIGHT_TO_FLIGHT):.3f}"
    yield from _flown(vehicle, "drag", drag, logs)


def _centre(vehicle: LoadedVehicle, aft_m: float, half: float, logs: str) -> Iterator[tuple[KeyPath, Any]]:
    """Millimetres aft of what is computed: the flights were computed with the sheet's own shift already."""
    shift = 1e3 * (centre_shift_m(vehicle) + aft_m)
    centre = f"{shift:.1f} mm +- {1e3 * max(half, _LEAST_CENTRE_M):.1f} mm"
    yield from _flown(vehicle, "pressure_centre", centre, logs)


def _flown(vehicle: LoadedVehicle, key: str, value: str, logs: str) -> Iterator[tuple[KeyPath, Any]]:
    place, told = _logs(vehicle, logs)
    if vehicle.sheet.flown is None:
        yield place, {key: value, **told}
    else:
        yield ("flown", key), value
        yield place, told


def _logs(vehicle: LoadedVehicle, logs: str) -> tuple[KeyPath, Any]:
    """Where the sheet names the logs that told its numbers: beside those of flights before."""
    before = vehicle.sheet.flown
    if before is None:
        return ("flown",), {"logs": logs}
    return ("flown", "logs"), ", ".join(filter(None, (before.logs, logs)))


def _friction(value: float, half: float) -> str:
    """Write a coefficient whose interval does not reach below none."""
    middle, half = not_below_none(value, half)
    return f"{middle:.3f} +- {half:.3f}"


def not_below_none(value: float, half: float) -> tuple[float, float]:
    """Middle and half width of what is left of an interval above zero.

    Examples
    --------
    >>> not_below_none(0.25, 0.75)
    (0.5, 0.5)
    """
    low, high = max(value - half, 0.0), max(value + half, 0.0)
    return 0.5 * (low + high), 0.5 * (high - low)


def drag_factor(vehicle: LoadedVehicle) -> float:
    """Factor on the computed drag that the sheet has from flights before; one without any."""
    flown = vehicle.sheet.flown
    return 1.0 if flown is None or flown.drag is None else flown.drag.value


def centre_shift_m(vehicle: LoadedVehicle) -> float:
    """How far aft of the computed the sheet has the centre of pressure from flights before [m]."""
    flown = vehicle.sheet.flown
    return 0.0 if flown is None or flown.pressure_centre is None else flown.pressure_centre.value


def _place(vehicle: LoadedVehicle, one: Learnt) -> int:
    names = [canopy.name for canopy in vehicle.sheet.recovery.canopy]
    return names.index(one.unknown.canopy)
