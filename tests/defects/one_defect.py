"""One known defect put into a sheet: one value changed, added or taken out."""

import copy
import csv
import re
import tomllib
from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from finial.assemble.vehicle.changes import of_files
from finial.assemble.vehicle.loading import LoadedVehicle
from finial.files.fields import SomeLength, SomeMass, SomeShare
from finial.files.sheet import sheet_from
from finial.files.source import read_toml
from finial.findings.check import readiness
from finial.findings.finding import Finding
from finial.findings.long_looks import left_open
from finial.findings.range_stage import codes_of
from finial.findings.readiness import Depth

STEP = re.compile(r"([a-z_]+)(?:\[(\d+)\])?")
OUT = "-"
FIRST = 3


def rows(path: Path) -> list[dict[str, str]]:
    """Rows of a table of defects; lines that begin with # are words."""
    lines = path.read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def with_defect(vehicle: LoadedVehicle, place: str, value: str) -> LoadedVehicle:
    """The vehicle of the sheet with one value changed or taken out; one past the end of a list is added."""
    if place.startswith("motor.file"):
        return _with_motor(vehicle, place.removeprefix("motor.file").removeprefix("."), value)
    return with_changes(vehicle, [(place, value)])


_source = cache(read_toml)


def with_changes(vehicle: LoadedVehicle, changes: Iterable[tuple[str, str]]) -> LoadedVehicle:
    """The vehicle of the sheet with several changes, one after the other."""
    source = _source(vehicle.files.path)
    values = copy.deepcopy(source.values)
    for place, value in changes:
        for one in place.split(" & "):
            _put(values, one, value)
    return of_files(vehicle, sheet_from(replace(source, values=values)), codes_of)


def _put(values: dict[str, Any], place: str, value: str) -> None:
    *above, last = _steps(place)
    table: Any = values
    for step in above:
        table = table[step] if isinstance(step, int) else table.setdefault(step, {})
    if value == OUT:
        del table[last]
    elif isinstance(last, int) and last == len(table):
        table.append(_read(value))
    else:
        table[last] = _read(value)


def _read(value: str) -> Any:
    return tomllib.loads(f"x = {value}")["x"]


def _steps(place: str) -> list[str | int]:
    found: list[str | int] = []
    for part in place.split("."):
        name, number = STEP.fullmatch(part).groups()
        found += [name, int(number) - 1] if number else [name]
    return found


def _with_motor(vehicle: LoadedVehicle, field: str, value: str) -> LoadedVehicle:
    """Change one field of the motor's own file, or several given as a table."""
    given = {field: _read(value)} if field else _read(value)
    kinds = {"thrust_spread": SomeShare, "propellant_mass": SomeMass, "loaded_mass": SomeMass}
    read = {key: kinds.get(key, SomeLength).__metadata__[0].read(one) for key, one in given.items()}
    motor = vehicle.files.motor
    changed = motor.model_copy(update=read) if hasattr(motor, "model_copy") else replace(motor, **read)
    return of_files(vehicle, replace(vehicle.files, motor=changed), codes_of)


def failing(findings: tuple[Finding, ...]) -> list[Finding]:
    """What keeps it on the ground, looks that were left out aside."""
    return [finding for finding in findings if finding.fails and not left_open(finding)]


def quickly(vehicle: LoadedVehicle) -> list[Finding]:
    """What the quick look alone says against it."""
    return failing(readiness(vehicle, depth=Depth.QUICK).findings)


def judged(vehicle: LoadedVehicle) -> list[Finding]:
    """What keeps it on the ground: by the quick look, and where that finds nothing by the whole one."""
    return quickly(vehicle) or failing(readiness(vehicle).findings)
