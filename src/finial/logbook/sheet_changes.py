"""What a refit changes in the sheet, as it would be written there, and what it leaves alone and why."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from finial.assemble.vehicle.canopies import drag_area
from finial.assemble.vehicle.loading import Vehicle
from finial.files.toml_places import KeyPath
from finial.logbook.refit import Learnt, Refit
from finial.logbook.unknowns import UnknownKind

NINETEEN_OF_TWENTY = 1.96
"""Deviations that a tolerance of the sheet reaches."""
_LEAST_FIXED = 0.5
_FROM_FLIGHT_TO_FLIGHT = 0.02
"""Assumed: no two flights of one vehicle fly alike to better than this share."""
_LEAST_DELAY_S = 0.05


class LeftAlone(StrEnum):
    """Why a number that the log tells is not put into the sheet."""

    THAT_MOTOR = "that motor"
    """It is of the motor that was burnt; the next is another one."""
    THAT_DAY = "that day"
    """It is of the day."""
    NOT_FIXED = "not fixed"
    """The log takes less than half of the doubt."""
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
        """All new values by their places."""
        return {place: value for change in self.changes for place, value in change.values.items()}


def sheet_changes(vehicle: Vehicle, found: Refit, logs: str) -> SheetChanges:
    """Say what the refit changes in the sheet of its vehicle; ``logs`` names where it comes from."""
    changes: list[SheetChange] = []
    untouched: list[Untouched] = []
    for one in found.learnt:
        reason = _reason(vehicle, one)
        if reason is None:
            changes.append(SheetChange(learnt=one, values=dict(_values(vehicle, one, logs))))
        else:
            untouched.append(Untouched(learnt=one, reason=reason))
    return SheetChanges(changes=tuple(changes), untouched=tuple(untouched))


def _reason(vehicle: Vehicle, one: Learnt) -> LeftAlone | None:
    kind = one.unknown.kind
    if kind in (UnknownKind.THRUST, UnknownKind.BURN_TIME):
        return LeftAlone.THAT_MOTOR
    if kind is UnknownKind.WIND:
        return LeftAlone.THAT_DAY
    if kind is UnknownKind.CANOPY and vehicle.sheet.recovery.canopy[_place(vehicle, one)].drop_test:
        return LeftAlone.DROPPED
    return LeftAlone.NOT_FIXED if one.fixed < _LEAST_FIXED else None


def _values(vehicle: Vehicle, one: Learnt, logs: str) -> Iterator[tuple[KeyPath, Any]]:
    kind, half = one.unknown.kind, NINETEEN_OF_TWENTY * one.sigma
    if kind is UnknownKind.DRAG:
        yield from _drag(vehicle, one.after.value, half, logs)
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


def _drag(vehicle: Vehicle, factor: float, half: float, logs: str) -> Iterator[tuple[KeyPath, Any]]:
    """Factor on what is computed: the flights were computed with the sheet's own factor already."""
    before = vehicle.sheet.flown
    own = 1.0 if before is None else before.drag.value
    drag = f"{own * factor:.3f} +- {max(own * half, _FROM_FLIGHT_TO_FLIGHT):.3f}"
    if before is None:
        yield ("flown",), {"drag": drag, "logs": logs}
    else:
        yield ("flown", "drag"), drag
        yield ("flown", "logs"), ", ".join(filter(None, (before.logs, logs)))


def _place(vehicle: Vehicle, one: Learnt) -> int:
    names = [canopy.name for canopy in vehicle.sheet.recovery.canopy]
    return names.index(one.unknown.canopy)
