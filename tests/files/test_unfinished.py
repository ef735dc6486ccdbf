"""The sheet that a mesh by itself stands for."""

from pathlib import Path

import pytest

from finial.files.unfinished import sheet_of_mesh


@pytest.mark.parametrize(("unit", "us_units"), [("in", True), (None, False)])
def test_a_mesh_by_itself_is_a_sheet_of_one_part(unit: str | None, us_units: bool) -> None:
    found = sheet_of_mesh(Path("drawn") / 'the "odd" one.stl', unit, "+y", us_units=us_units)
    shown = "us" if us_units else "metric"
    assert found.values == {
        "vehicle": {"name": 'the "odd" one', "up": "+y", "show_units": shown},
        "part": [
            {
                "name": 'the "odd" one',
                "mesh": 'the "odd" one.stl',
                **({"mesh_unit": unit} if unit else {}),
                "material": "PLA",
            }
        ],
    }
