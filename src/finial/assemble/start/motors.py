"""Which motors of a project's own folder would go into the room at the base."""

from dataclasses import dataclass

from finial.assemble.inside.cavity import room_inside
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.files.motor_folder import MotorFile, read_motors
from finial.inside.drawn import MotorRoom, motor_room

FOLDER = "motors"


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorFits:
    """The room at the base, and the motors that lie beside the sheet."""

    room: MotorRoom | None
    """``None`` where the base is closed."""
    known: int
    """Motors that could be read; 0 without a folder of them."""
    fitting: tuple[str, ...]
    """Files of those that go in, the widest first."""


def motors_beside(vehicle: LoadedVehicle) -> tuple[MotorFile, ...]:
    """Read the folder of motors beside the sheet; empty where there is none."""
    folder = vehicle.files.folder / FOLDER
    return read_motors(folder) if any(folder.glob("*.toml")) else ()


def motor_fits(vehicle: LoadedVehicle) -> MotorFits:
    """Try the size alone of every motor in the folder beside the sheet; nothing is flown."""
    room = motor_room(room_inside(vehicle))
    motors = [(file.path.name, file.motor) for file in motors_beside(vehicle) if file.motor is not None]
    fits = [
        (motor.diameter.value, name)
        for name, motor in motors
        if room is not None and room.takes(motor.diameter.value, motor.length.value)
    ]
    return MotorFits(
        room=room, known=len(motors), fitting=tuple(name for _, name in sorted(fits, reverse=True))
    )
