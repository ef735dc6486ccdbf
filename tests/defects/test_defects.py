"""One known defect at a time in a sheet that goes: none may end in go, and each is named at once."""

import copy
import csv
import re
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.vehicle.changes import of_files
from finial.assemble.vehicle.loading import Vehicle
from finial.core.errors import BuildSheetError
from finial.files.fields import SomeLength, SomeShare
from finial.files.sheet import sheet_from
from finial.files.source import read_toml
from finial.findings.check import load, readiness
from finial.findings.finding import Finding
from finial.findings.long_looks import NOT_LOOKED
from finial.findings.range_stage import codes_of
from finial.findings.readiness import Depth

HERE = Path(__file__).parent
SKERRY = HERE.parents[1] / "examples" / "skerry-light" / "skerry-light.toml"
STEP = re.compile(r"([a-z_]+)(?:\[(\d+)\])?")
OUT = "-"
CAUTION_ALONE = frozenset({"own-limits", "fits-the-bed", "test-bars"})
"""Defects that are told as a caution: they take nothing from the flight itself."""
FIRST = 3


def rows() -> list[dict[str, str]]:
    lines = (HERE / "defects.csv").read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@pytest.fixture(scope="module")
def lighthouse() -> Vehicle:
    return load(SKERRY)


def steps(place: str) -> list[str | int]:
    found: list[str | int] = []
    for part in place.split("."):
        name, number = STEP.fullmatch(part).groups()
        found += [name, int(number) - 1] if number else [name]
    return found


def with_defect(vehicle: Vehicle, place: str, value: str) -> Vehicle:
    """The vehicle of the sheet with one value changed or taken out."""
    if place.startswith("motor.file."):
        field = place.removeprefix("motor.file.")
        kind = SomeShare if field == "thrust_spread" else SomeLength
        read = kind.__metadata__[0].read(tomllib.loads(f"x = {value}")["x"])
        return of_files(vehicle, replace_motor(vehicle, field, read), codes_of)
    source = read_toml(SKERRY)
    values = copy.deepcopy(source.values)
    for one in place.split(" & "):
        put(values, one, value)
    return of_files(vehicle, sheet_from(replace(source, values=values)), codes_of)


def put(values: dict, place: str, value: str) -> None:
    *above, last = steps(place)
    table = values
    for step in above:
        table = table[step] if isinstance(step, int) else table.setdefault(step, {})
    if value == OUT:
        del table[last]
    else:
        table[last] = tomllib.loads(f"x = {value}")["x"]


def replace_motor(vehicle: Vehicle, field: str, value):
    motor = vehicle.files.motor
    changed = (
        motor.model_copy(update={field: value})
        if hasattr(motor, "model_copy")
        else replace(motor, **{field: value})
    )
    return replace(vehicle.files, motor=changed)


def failing(findings: tuple[Finding, ...]) -> list[Finding]:
    return [finding for finding in findings if finding.fails and finding.key not in NOT_LOOKED]


def judged(vehicle: Vehicle) -> list[Finding]:
    """What keeps it on the ground: by the quick look, and where that finds nothing by the whole one."""
    quick = failing(readiness(vehicle, depth=Depth.QUICK).findings)
    return quick or failing(readiness(vehicle).findings)


def test_the_sheet_goes_without_a_defect(lighthouse: Vehicle) -> None:
    assert judged(lighthouse) == []


def test_there_are_many_defects_of_many_kinds() -> None:
    every = rows()
    assert len({row["defect"] for row in every}) == len(every) >= 120
    assert len({row["place"].split(".")[0].split("[")[0] for row in every}) >= 10


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["defect"])
def test_no_defect_goes(lighthouse: Vehicle, row: dict[str, str]) -> None:
    wanted = set(row["found"].split("|"))
    try:
        vehicle = with_defect(lighthouse, row["place"], row["value"])
    except BuildSheetError:
        assert "refused" in wanted
        return
    if wanted <= CAUTION_ALONE:
        told = readiness(vehicle, depth=Depth.QUICK).findings
        assert wanted & {finding.key for finding in told if finding.verdict > 0}
        return
    first = [finding.key for finding in judged(vehicle)[:FIRST]]
    assert first, "it goes"
    assert wanted & set(first), f"found {first}"
