"""A folder of motor data: every TOML file in it, read or refused."""

from dataclasses import dataclass
from pathlib import Path

from finial.core.errors import BuildSheetError, Fault
from finial.files.motor_data import MotorData, read_motor


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorFile:
    """One file: its motor, or the faults that keep it from being one."""

    path: Path
    motor: MotorData | None
    faults: tuple[Fault, ...] = ()


def read_motors(folder: Path) -> tuple[MotorFile, ...]:
    """Read every motor of a folder, by file name; one bad file does not hide the others.

    Raises
    ------
    BuildSheetError
        If there is no such folder, or no TOML file in it.
    """
    paths = sorted(folder.glob("*.toml"))
    if not paths:
        given = "no TOML file in it" if folder.is_dir() else "no such folder"
        fault = Fault(
            file=str(folder), field="motors", given=given, accepted="a folder with motors' TOML files"
        )
        raise BuildSheetError([fault])
    return tuple(_read(path, folder) for path in paths)


def _read(path: Path, folder: Path) -> MotorFile:
    try:
        return MotorFile(path=path, motor=read_motor(path, folder))
    except BuildSheetError as error:
        return MotorFile(path=path, motor=None, faults=error.faults)
