"""A sheet read anew beside a vehicle that stands is held against its shape like one read from a file."""

import copy
from dataclasses import replace
from pathlib import Path

import pytest

from finial.assemble.vehicle.changes import of_files
from finial.core.errors import BuildSheetError
from finial.files.sheet import sheet_from
from finial.files.source import read_toml
from finial.findings.check import load
from finial.findings.range_stage import codes_of

SKERRY = Path(__file__).parents[2] / "examples" / "skerry-light" / "skerry-light.toml"


@pytest.fixture(scope="module")
def lighthouse():
    return load(SKERRY)


@pytest.mark.parametrize(
    ("place", "value", "at"),
    [
        (("launch", "rail_length"), "0.36 m", "launch.rail_length"),
        (("motor", "nozzle_station"), "12 m", "motor.nozzle_station"),
        (("rod", 0, "on_circle"), "0 mm", "rod[1].on_circle"),
        (("fin", 0, "outline"), [["0 mm", "0 mm"], ["50 mm", "90 mm"], ["0 mm", "0 mm"]], "fin[1].outline"),
    ],
)
def test_what_does_not_fit_the_shape_is_refused(lighthouse, place, value, at: str) -> None:
    source = read_toml(SKERRY)
    values = copy.deepcopy(source.values)
    table = values
    for step in place[:-1]:
        table = table[step]
    table[place[-1]] = value
    with pytest.raises(BuildSheetError, match=at.replace("[", r"\[").replace("]", r"\]")):
        of_files(lighthouse, sheet_from(replace(source, values=values)), codes_of)
