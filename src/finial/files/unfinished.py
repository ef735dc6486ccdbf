"""A sheet that is only begun: what stands in for the tables a flight needs until they are written.

The stand-ins let shape, mass and air be found; whoever judges a flight refuses a sheet that has them.
"""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from finial.core.units import Quantity
from finial.files.motor_data import MotorData
from finial.files.site import Site
from finial.files.source import TomlSource, toml_from

_STAND_INS: dict[str, dict[str, Any]] = {
    "motor": {"data": "-", "nozzle_station": "0 mm"},
    "launch": {
        "site": "-",
        "rail_length": "1 m",
        "wind": "0 m/s",
        "wind_from": "0 deg",
        "terrain": "level open",
        "temperature": "15 degC",
        "code": "-",
    },
}
"""Still standard air, and a motor of nothing: for the words of each table see its record."""
NEEDED = tuple(_STAND_INS)
"""Tables without which nothing flies."""


def _of(value: float, text: str) -> Quantity:
    return Quantity(value=value, text=text)


NO_MOTOR = MotorData(
    name="no motor yet",
    note="",
    path=Path(),
    curve_path=Path(),
    diameter=_of(1e-3, "1 mm"),
    length=_of(1e-3, "1 mm"),
    loaded_mass=_of(2e-9, "0 g"),
    propellant_mass=_of(1e-9, "0 g"),
    claimed_impulse=None,
    claimed_average_thrust=None,
    claimed_burn_time=None,
    claimed_letter=None,
    ignition_delay=None,
    thrust_spread=None,
    times_s=np.array([0.0, 1.0, 2.0]),
    thrusts_n=np.array([0.0, 1e-9, 0.0]),
)
NO_SITE = Site(name="no site yet", ground_asl=_of(0.0, "0 m"))


def with_stand_ins(source: TomlSource) -> tuple[TomlSource, tuple[str, ...]]:
    """Return the source with a stand-in for each needed table that is not there, and their names.

    Examples
    --------
    >>> with_stand_ins(toml_from(Path("x.toml"), "[motor]"))[1]
    ('launch',)
    """
    missing = tuple(name for name in NEEDED if name not in source.values)
    more = {name: _STAND_INS[name] for name in missing}
    return replace(source, values={**source.values, **more}), missing


def sheet_of_mesh(mesh: Path, unit: str | None, up: str, *, us_units: bool) -> TomlSource:
    """Return the sheet that a mesh by itself stands for: one part, of nobody knows what."""
    quoted = json.dumps(mesh.name, ensure_ascii=False)
    named = json.dumps(mesh.stem, ensure_ascii=False)
    lines = [
        "[vehicle]",
        f"name = {named}",
        f'up = "{up}"',
        f'show_units = "{"us" if us_units else "metric"}"',
        "[[part]]",
        f"name = {named}",
        f"mesh = {quoted}",
        *([f'mesh_unit = "{unit}"'] if unit else []),
        'material = "PLA"',
    ]
    return toml_from(mesh, "\n".join(lines))
