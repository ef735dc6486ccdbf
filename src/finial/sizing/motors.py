"""Motors that a search may choose among: a folder of them, weaker ones first."""

from collections.abc import Sequence
from pathlib import Path

from finial.core.errors import BuildSheetError, Fault
from finial.files.motor_data import MotorData, read_motor
from finial.files.motor_folder import read_motors
from finial.sizing.variables import MOTOR, Variable, choosing


def motor_choice(folder: Path, beside: Path) -> Variable:
    """Let a search choose among the motors of a folder beside or below the sheet, by total impulse.

    Raises
    ------
    BuildSheetError
        If one of its files is no motor, or the folder lies elsewhere: no sheet could name its motors.
    OutsideRange
        If it holds one motor alone.
    """
    there = (beside / folder).resolve()
    if not there.is_relative_to(beside.resolve()):
        accepted = "a folder beside or below the sheet, as for the sheet's own motor"
        raise BuildSheetError([Fault(file=str(folder), field="motor", given="elsewhere", accepted=accepted)])
    files = read_motors(there)
    faults = [fault for file in files for fault in file.faults]
    if faults:
        raise BuildSheetError(faults)
    found = [(file.motor.impulse_n_s, _name(file.path, beside)) for file in files if file.motor]
    return choosing(MOTOR, "", [name for _, name in sorted(found)])


def motors_named(variables: Sequence[Variable], beside: Path) -> dict[str, MotorData]:
    """Read the motors that variables choose among, by the names that a sheet has for them."""
    names = [name for one in variables if one.kind == MOTOR for name in one.choices]
    return {name: read_motor(beside / name, beside) for name in names}


def _name(path: Path, beside: Path) -> str:
    return path.relative_to(beside.resolve()).as_posix()
