"""When each computer that fires something at the top takes it for reached, and by what it knows it."""

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from finial.assemble.electronics.at_port import AtPort
from finial.assemble.electronics.felt import felt_up, perfect_and_worst
from finial.assemble.electronics.results import SensedTop
from finial.assemble.flights.corners import Flights
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.core.constants import STANDARD_GRAVITY_M_S2
from finial.core.estimates import Estimate, KnownBy
from finial.core.kept_parts import kept
from finial.electronics.accelerometer import top_by_felt
from finial.files.sheet_recovery import AccelerometerEntry, ComputerEntry, IgniterEntry
from finial.flight.trace import Trace

LEAST_FALL_M, USUAL_FALL_M, MOST_FALL_M = 1.0, 2.0, 5.0
"""How far a reading falls before a computer takes it for the top [m]; assumed."""


def sensed_tops(vehicle: LoadedVehicle, flights: Flights, air: dict[str, AtPort]) -> Iterator[SensedTop]:
    """Say when every computer that fires at the top does, over the flights; ``air`` is that at each port."""
    for computer in vehicle.sheet.electronics.computer:
        canopies = tuple(_brought_out(vehicle, computer))
        if canopies:
            felt = computer.accelerometer is not None and computer.accelerometer.finds_top
            yield SensedTop(
                computer=computer.name,
                port="" if felt else computer.port,
                canopies=canopies,
                after_top=_moment(flights, computer, air.get(computer.port)),
            )


def _brought_out(vehicle: LoadedVehicle, computer: ComputerEntry) -> Iterator[str]:
    """Canopies whose bay a charge opens that this computer fires at the top."""
    sheet = vehicle.sheet
    fired = {one.fires for one in sheet.electronics.igniter if one.computer == computer.name and _at_top(one)}
    bays = {charge.bay for charge in sheet.recovery.charge if charge.name in fired}
    yield from (canopy.name for canopy in sheet.recovery.canopy if canopy.bay in bays)


def _at_top(igniter: IgniterEntry) -> bool:
    return igniter.event.falling_through is None and igniter.event.after_lift_off is None


def _moment(flights: Flights, computer: ComputerEntry, air: AtPort | None) -> Estimate | None:
    told = computer.accelerometer
    if told is not None and told.finds_top:
        return _by_felt(flights, told)
    return None if air is None else _by_barometer(air, flights.every)


def _by_felt(flights: Flights, told: AccelerometerEntry) -> Estimate:
    """Over flights and errors; the middle is the sheet's flight with none."""
    perfect, worst = perfect_and_worst(told)
    middle = top_by_felt(*felt_up(flights.nominal), perfect)[0]
    # A lean takes from what is felt to whichever side: no error at all may lie outside of both ends.
    ends = [middle, *(end for trace in flights.every for end in top_by_felt(*felt_up(trace), worst))]
    return Estimate(
        value=middle,
        low=min(ends),
        high=max(ends),
        known_by=KnownBy.COMPUTED,
        method="what its axis feels, added up along the flights",
    )


# Two computers at one port read the same.
@kept(8)
def _by_barometer(air: AtPort, traces: tuple[Trace, ...]) -> Estimate:
    """Over flights, the doubt about the flow at the holes, and how far a reading must fall."""
    drops = [(trace, _drop_m(shown)) for trace in traces for shown in air.shown_in_doubt_m(trace)]
    ends = [_fallen(*dropped, fall) for dropped in drops for fall in (LEAST_FALL_M, MOST_FALL_M)]
    return Estimate(
        value=_fallen(*drops[0], USUAL_FALL_M),
        low=min(ends),
        high=max(ends),
        known_by=KnownBy.ASSUMED,
        method="when the barometer's reading has fallen as far as a computer waits for, assumed",
    )


def _drop_m(shown_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far a reading stands below the highest before it [m]."""
    return np.maximum.accumulate(shown_m) - shown_m


def _fallen(trace: Trace, drop_m: NDArray[np.float64], fall_m: float) -> float:
    """When the reading has fallen so far, after the top [s]; beyond it the vehicle falls freely."""
    fallen = np.flatnonzero(drop_m >= fall_m)
    if not fallen.size:
        return math.sqrt(2 * fall_m / STANDARD_GRAVITY_M_S2)
    return float(trace.times_s[fallen[0]] - trace.times_s[len(drop_m) - 1])
