"""A motor's data sheet in TOML and the thrust curve beside it."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pydantic import ValidationError

from finial.core.errors import BuildSheetError, Fault
from finial.core.units import Quantity
from finial.files.faults import faults_from
from finial.files.fields import (
    FileName,
    Force,
    Impulse,
    Name,
    Record,
    Share,
    SomeLength,
    SomeMass,
    Text,
    Time,
)
from finial.files.inside import file_inside
from finial.files.source import TomlSource, read_toml
from finial.files.thrust_curve import Curve, impulse_n_s, read_thrust_curve

CURVE_SUFFIXES = (".csv", ".txt", ".tsv", ".dat")
_CLAIM_SHARE = 0.05
"""How far the curve's impulse may differ from the claimed one [-]; common practice."""


class MotorSheet(Record):
    """A motor: its size, masses and thrust curve, and what its maker claims."""

    name: Name
    """What the motor is called."""
    note: Text = ""
    """For whoever opens the file; nothing is computed from it."""
    curve: FileName
    """File of the thrust curve beside this one: two columns, time in s and thrust in N."""
    diameter: SomeLength
    """Outer diameter of the case."""
    length: SomeLength
    """Length of the whole motor."""
    loaded_mass: SomeMass
    """Mass ready to fly."""
    propellant_mass: SomeMass
    """Mass that burns away."""
    claimed_impulse: Impulse | None = None
    """Total impulse that its maker claims; refused where the curve gives another."""
    claimed_average_thrust: Force | None = None
    """Average thrust that its maker claims, held against the curve by `finial motors`."""
    claimed_burn_time: Time | None = None
    """Burn time that its maker claims, held against the curve by `finial motors`."""
    claimed_letter: Name | None = None
    """Letter class that its maker claims, held against the curve by `finial motors`."""
    ignition_delay: Time | None = None
    """From the button to first thrust; none without it."""
    thrust_spread: Share | None = None
    """How much the impulse differs from motor to motor, either way; 5 % without it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorData:
    """A motor's data sheet with its curve: times [s] and thrusts [N], shape (n,), read-only.

    Times rise strictly from 0; the last thrust is 0.
    """

    name: str
    note: str
    path: Path
    curve_path: Path
    diameter: Quantity
    length: Quantity
    loaded_mass: Quantity
    propellant_mass: Quantity
    claimed_impulse: Quantity | None
    claimed_average_thrust: Quantity | None
    claimed_burn_time: Quantity | None
    claimed_letter: str | None
    ignition_delay: Quantity | None
    thrust_spread: Quantity | None
    times_s: NDArray[np.float64]
    thrusts_n: NDArray[np.float64]

    @property
    def impulse_n_s(self) -> float:
        """Total impulse of the curve [N s]."""
        return impulse_n_s((self.times_s, self.thrusts_n))


def read_motor(path: Path, folder: Path) -> MotorData:
    """Read a motor's TOML file and its curve, which may not leave ``folder``.

    Raises
    ------
    BuildSheetError
        With all faults in either file, and those between them.
    """
    source = read_toml(path)
    faults: list[Fault] = []
    sheet, curve, curve_path = None, None, path
    try:
        sheet = MotorSheet.model_validate(source.values)
    except ValidationError as error:
        faults += faults_from(error, source, MotorSheet)
    if isinstance(source.values.get("curve"), str):
        try:
            curve_path = file_inside(folder, source, ("curve",), CURVE_SUFFIXES)
            curve = read_thrust_curve(curve_path)
        except BuildSheetError as error:
            faults += error.faults
    if sheet and curve:
        faults += _faults_between(sheet, curve, source)
    if faults or sheet is None or curve is None:
        raise BuildSheetError(faults)
    fields = {name: getattr(sheet, name) for name in MotorSheet.model_fields if name != "curve"}
    return MotorData(**fields, path=path, curve_path=curve_path, times_s=curve[0], thrusts_n=curve[1])


def _faults_between(sheet: MotorSheet, curve: Curve, source: TomlSource) -> list[Fault]:
    faults: list[Fault] = []
    if sheet.propellant_mass.value >= sheet.loaded_mass.value:
        faults.append(
            source.fault(
                ("propellant_mass",),
                given=f"{sheet.propellant_mass.text} of propellant in a motor of {sheet.loaded_mass.text}",
                accepted="less propellant than the whole loaded motor weighs",
            )
        )
    claimed, found = sheet.claimed_impulse, impulse_n_s(curve)
    if claimed and abs(found / claimed.value - 1) > _CLAIM_SHARE:
        faults.append(
            source.fault(
                ("claimed_impulse",),
                given=f"{claimed.text} claimed, but the area under the curve is {found:.0f} N s",
                accepted=f"a curve within {_CLAIM_SHARE:.0%} of the claimed impulse",
                likely_slip="another motor's curve, or thrust not in N",
            )
        )
    return faults
