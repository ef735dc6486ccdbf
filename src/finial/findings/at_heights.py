"""A vehicle at other heights, with the thrust that its limits want and the motors that lie beside it."""

from finial.assemble.start.motors import motors_beside
from finial.assemble.vehicle.loading import LoadedVehicle, motor_of
from finial.findings.limits import Limits
from finial.sizing.scale import Scaling, scaling_of


def scaling_wanted(vehicle: LoadedVehicle) -> Scaling:
    """Read off a vehicle what its size moves, at the thrust to weight of its limits.

    Raises
    ------
    OutsideRange
        If the air finds no centre of pressure.
    """
    motors = tuple(motor_of(file.motor) for file in motors_beside(vehicle) if file.motor is not None)
    wanted = Limits(own=vehicle.sheet.limits.own)["thrust_to_weight"].value
    return scaling_of(vehicle, wanted, motors)
