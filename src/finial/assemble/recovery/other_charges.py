"""Charges that open a canopy's joint at another moment than the canopy's own: backups, and slips."""

from collections.abc import Iterator
from dataclasses import replace

from finial.assemble.basis import Basis
from finial.assemble.flights.corners import Flights, fly_corners, trigger_of
from finial.assemble.flights.outcome import METHOD, canopy_opening
from finial.assemble.recovery.moments import recovery_moments
from finial.assemble.recovery.quick import recovery_result
from finial.assemble.recovery.results import OtherOpening
from finial.core.estimates import Estimate, KnownBy
from finial.files.sheet import Sheet
from finial.files.sheet_recovery import CanopyEntry, EventEntry, PowderChargeEntry, RecoveryEntry
from finial.flight.timing import trigger_time


def other_openings(basis: Basis) -> tuple[OtherOpening, ...]:
    """Follow every charge that opens a joint at another moment than a canopy behind it waits for.

    Each is followed as if the other charges of that joint had failed.
    """
    return tuple(
        opening
        for charge, canopies in _beside_the_moment(basis.vehicle.sheet.recovery)
        for opening in _opened_by(basis, charge, canopies)
    )


def _beside_the_moment(
    recovery: RecoveryEntry,
) -> Iterator[tuple[PowderChargeEntry, tuple[CanopyEntry, ...]]]:
    joints = {bay.name: bay.joint for bay in recovery.bay}
    for charge in recovery.charge:
        canopies = tuple(
            canopy
            for canopy in recovery.canopy
            if joints[canopy.bay] == joints[charge.bay]
            and trigger_of(canopy.event) != trigger_of(charge.event)
        )
        if canopies:
            yield charge, canopies


def _opened_by(
    basis: Basis, charge: PowderChargeEntry, canopies: tuple[CanopyEntry, ...]
) -> Iterator[OtherOpening]:
    names = [canopy.name for canopy in canopies]
    alone = replace(basis.vehicle, sheet=_alone(basis.vehicle.sheet, charge, names))
    flights = fly_corners(alone, basis.rows, basis.air, basis.mass)
    moments = recovery_moments(replace(basis, vehicle=alone, flights=flights))
    results = recovery_result(alone.sheet, basis.mass, moments).canopies
    for canopy, found in zip(alone.sheet.recovery.canopy, results, strict=True):
        if canopy.name in names:
            planned = next(one.event for one in canopies if one.name == canopy.name)
            yield OtherOpening(
                canopy=canopy.name,
                charge=charge.name,
                after=_between(basis.flights, planned, charge.event),
                height_agl=canopy_opening(flights, canopy.name).height_agl,
                opening_load=found.opening_load,
            )


def _alone(sheet: Sheet, charge: PowderChargeEntry, canopies: list[str]) -> Sheet:
    """Return the sheet whose canopies come at the charge's moment, the joint's other charges unfired."""
    recovery = sheet.recovery
    joint = next(bay.joint for bay in recovery.bay if bay.name == charge.bay)
    behind = {bay.name for bay in recovery.bay if bay.joint == joint}
    fired = tuple(one for one in recovery.charge if one.bay not in behind or one.name == charge.name)
    moved = tuple(
        canopy.model_copy(update={"event": charge.event}) if canopy.name in canopies else canopy
        for canopy in recovery.canopy
    )
    return sheet.model_copy(
        update={"recovery": recovery.model_copy(update={"charge": fired, "canopy": moved})}
    )


def _between(flights: Flights, first: EventEntry, second: EventEntry) -> Estimate | None:
    """Time from one event to another over the flights [s]; ``None`` where a flight misses one of them."""
    times = [
        (trigger_time(trace, *trigger_of(first)), trigger_time(trace, *trigger_of(second)))
        for trace in flights.every
    ]
    lags = [two - one for one, two in times if one is not None and two is not None]
    if len(lags) < len(times):
        return None
    return Estimate(value=lags[0], low=min(lags), high=max(lags), known_by=KnownBy.COMPUTED, method=METHOD)
